"""The class in numbers: what each part's answers were, and the marks as CSV."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graders.marks import Mark
    from instructor.people.roster import Learner
    from instructor.report.class_report import ClassReport
    from instructor.report.data import Pupil

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")  # what spreadsheets take for a formula


@dataclass(frozen=True)
class PartRow:
    """One part of one exercise over the class: how many were marked, right, and made each mistake."""

    exercise: str
    title: str
    marked: int
    right: int
    mistakes: tuple[tuple[str, int], ...]


def mistake_rows(
    marks: Sequence[Mark], general: Mapping[tuple[str, str], str] | None = None
) -> list[PartRow]:
    """Count right first answers and named mistakes, part by part, in the order of the exercises.

    `general` has titles of parts, by exercise and part, in place of those that speak of one learner's boat.
    """
    from instructor.report.data import first_parts

    titles: dict[tuple[str, str], str] = {}
    marked: Counter[tuple[str, str]] = Counter()
    right: Counter[tuple[str, str]] = Counter()
    mistakes: dict[tuple[str, str], Counter[str]] = {}
    for mark in marks:
        for part in first_parts(mark):
            key = (mark.exercise, part.part)
            titles.setdefault(key, (general or {}).get(key, part.title))
            marked[key] += 1
            right[key] += part.right
            if part.mistake is not None:
                mistakes.setdefault(key, Counter())[part.mistake] += 1
    return [
        PartRow(key[0], title, marked[key], right[key], tuple(mistakes.get(key, Counter()).most_common()))
        for key, title in titles.items()
    ]


def plain_cell(text: str) -> str:
    """Return text that a spreadsheet shows and does not run: an apostrophe goes before a formula's sign."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def class_csv(learners: Sequence[Learner], pupils: Sequence[Pupil]) -> str:
    """Return the marks as CSV: a row a learner in the roster's order, empty where nothing is marked."""
    of_learner = {pupil.id: pupil for pupil in pupils}
    exercises = [scored.mark.exercise for scored in pupils[0].result.exercises] if pupils else []
    rows = [["id", "name", "group", *exercises, "points", "out of", "mistakes", "minutes", "readings"]]
    for learner in learners:
        pupil = of_learner.get(learner.id)
        cells = _cells(pupil) if pupil else [""] * (len(exercises) + 5)
        rows.append([*(plain_cell(text) for text in (learner.id, learner.name, learner.group)), *cells])
    return _csv(rows)


def _cells(pupil: Pupil) -> list[str]:
    points = [f"{scored.points:.4g}" for scored in pupil.result.exercises]
    mistakes = [
        f"{scored.mark.exercise} {part.title}: {part.mistake}"
        for scored in pupil.result.exercises
        for part in scored.mark.parts
        if part.mistake is not None
    ]
    return [
        *points,
        f"{pupil.result.points:.4g}",
        f"{pupil.result.out_of:.4g}",
        plain_cell("; ".join(mistakes)),
        f"{sum(pupil.minutes.values()):.0f}",
        str(sum(pupil.readings.values())),
    ]


def items_csv(report: ClassReport, parts: Sequence[PartRow]) -> str:
    """Return the figures of the exercises and of their parts as CSV; first answers only, and n in every row."""
    rows = [["exercise", "part", "n", "share right", "discrimination", "verdict", "mistakes"]]
    for item in report.items:
        told = "" if item.with_rest is None else f"{item.with_rest:.2f}"
        rows.append([item.name, "", str(item.n), f"{item.difficulty:.3f}", told, item.verdict, ""])
    for part in parts:
        counts = "; ".join(f"{name} {count}" for name, count in part.mistakes)
        cells = [
            part.exercise,
            part.title,
            str(part.marked),
            f"{part.right / part.marked:.3f}",
            "",
            "",
            counts,
        ]
        rows.append([plain_cell(cell) for cell in cells])
    return _csv(rows)


def _csv(rows: Sequence[Sequence[str]]) -> str:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\r\n").writerows(rows)
    return stream.getvalue()
