"""Learners at the bench, named by what they do wrong."""

from __future__ import annotations

from functools import cache

import pytest

from course.instruments.rows import read_rows
from course.instruments.slip import Slip
from graders.answers import answers_in, record_answer
from graders.exercises import EXERCISES
from graders.marking import mark
from graders.personal import plan_for


@cache
def _plan(exercise, learner, attempt=0):
    return plan_for(EXERCISES[exercise], learner, "CR26", attempt=attempt)


class Bench:
    """One learner's bench for one exercise: a slip, its answers and its mark."""

    def __init__(self, exercise, folder, learner="ana", attempt=0):
        self.exercise = EXERCISES[exercise]
        self.plan = _plan(exercise, learner, attempt)
        self.folder = folder
        self.learner = learner
        self.slip = Slip(self.plan, folder)

    def set_up(self, x=5.6, depth=1.0, dial="2 V", point="common_bonding_point", swapped=False, wait=40):
        self.slip.turn_dial(dial)
        self.slip.plug("cell lead", "V" if swapped else "COM")
        self.slip.plug("test lead", "COM" if swapped else "V")
        self.slip.clip(point)
        self.slip.hang_cell(x, depth)
        if wait:
            self.slip.wait(wait)

    def read(self, **place):
        """Record a reading and return it as the millivolts one would write down."""
        if place:
            self.slip.hang_cell(place["x"], place.get("depth", 1.0))
        row = self.slip.record()
        scale = {"V": 1000, "mV": 1, "mA": 1}[row["unit"]]
        return round(float(row["display"]) * scale, 1) if row["display"] != "OL" else None

    def answer(self, **values):
        record_answer(self.folder, self.exercise, self.plan.digest, self.learner, values)

    def mark(self):
        return mark(self.exercise, self.plan, answers_in(self.folder).rows, read_rows(self.slip.path).rows)

    def part(self, name):
        return next(part for part in self.mark().parts if part.part == name)


@pytest.fixture
def bench(tmp_path):
    def at(exercise, learner="ana", attempt=0):
        return Bench(exercise, tmp_path, learner, attempt)

    return at
