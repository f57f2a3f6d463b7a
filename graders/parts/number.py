"""A number to be found: right within a tolerance, or recognised as what a mistake gives. Value, unit and precision told apart."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from graders.case import Case
from graders.exercise import Field
from graders.marks import PartMark
from graders.mistake import FOLLOWS, Mistake
from graders.parts.explained import Wrongly
from graders.task import Task, Tell, said, told


@dataclass(frozen=True)
class Wrong:
    """A named mistake in a number: the value it gives (None where it cannot be made on this plan) and a sentence that teaches.

    The sentence may use {given}, {unit} and every name of the task; it does not say the right answer.
    """

    name: str
    value: Callable[[Task], float | None]
    says: Tell
    share: float = 0.0


@dataclass(frozen=True)
class NumberPart:
    """A field for a number. ``truth`` and the mistakes' values are functions of the task.

    An answer is right within ``within`` (same unit) plus ``share`` of the value: what instrument, table and rounding allow.
    ``how`` tells how to go about it on this boat, for a wrong answer that is no mistake we know. ``decimals`` is how one would
    write the answer down. ``why`` is said of a right answer.
    """

    field: str
    label: str
    unit: str
    points: float
    truth: Callable[[Task], float]
    wrong: tuple[Wrong, ...]
    how: Tell
    within: float = 0.0
    share: float = 0.0
    decimals: int = 0
    signed: bool = True
    why: Tell = "That is right."

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the one field."""
        return (Field(self.field, self.label, self.unit),)

    @property
    def out_of(self) -> float:
        """Return the points."""
        return self.points

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        return tuple(wrong.name for wrong in self.wrong)

    def tolerance(self, value: float) -> float:
        """Return how far from a value an answer still counts as that value."""
        return self.within + self.share * abs(value)

    def meets(self, answer: float, value: float) -> bool:
        """Return whether an answer is a value, within its tolerance."""
        return abs(answer - value) <= self.tolerance(value) * (1 + 1e-9)

    def truth_of(self, field: str, task: Task) -> float:
        """Return the true value."""
        return self.truth(task)

    def values(self, task: Task) -> Iterator[tuple[Wrong, float]]:
        """Yield each mistake that can be made on this plan with the value it gives."""
        for wrong in self.wrong:
            value = wrong.value(task)
            if value is not None:
                yield wrong, value

    def apart(self, task: Task) -> bool:
        """Return whether truth and mistakes are finite and further from one another than both their tolerances."""
        values = [self.truth(task), *(value for _, value in self.values(task))]
        if not all(math.isfinite(value) for value in values):
            return False
        pairs = ((a, b) for k, a in enumerate(values) for b in values[:k])
        return all(abs(a - b) > self.tolerance(a) + self.tolerance(b) for a, b in pairs)

    def written(self, value: float) -> str:
        """Return a value as one would write it down."""
        short = f"{value:.{self.decimals}f}"
        return short if self.meets(float(short), value) else f"{value:.4g}"

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the right answer."""
        return {self.field: self.written(self.truth(task))}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return each mistake's answer."""
        return {wrong.name: {self.field: self.written(value)} for wrong, value in self.values(task)}

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the mark."""
        value, given = case.number(self.field, self.unit), case.given(self.field)
        if value is None:
            return (self._marked(case, given, case.no_number(self.field, self.unit)),)
        if self.meets(value, self.truth(case.task)):
            return (self._marked(case, given, None),)
        if case.earlier and self._follows(case, value):
            return (self._follow_mark(case, given),)
        tasks = (case.as_answered, case.task) if case.earlier else (case.task,)
        mistake, share = Wrongly(self, case.task, tasks, value).explained()
        return (self._marked(case, given, mistake, share),)

    def _marked(self, case: Case, given: str | None, mistake: Mistake | None, share: float = 0.0) -> PartMark:
        label = said(self.label, case.task)
        if mistake is None:
            why = told(self.why, case.task)
            return PartMark(self.field, label, self.points, self.points, given, None, why)
        points = self.points * share
        told_as = (mistake.name, mistake.sentence)
        return PartMark(self.field, label, points, self.points, given, *told_as, also=mistake.also)

    def _follows(self, case: Case, value: float) -> bool:
        """Work from one's own earlier values is right within their tolerance, and of earlier wrong ones is rightly done."""
        return self.meets(value, self.truth(case.as_answered))

    def _follow_mark(self, case: Case, given: str | None) -> PartMark:
        if case.sound_so_far:
            return self._marked(case, given, None)
        says = "It follows rightly from what you found before, so it counts; put the earlier value right and this changes with it."
        return self._marked(case, given, Mistake(FOLLOWS, says), 1.0)
