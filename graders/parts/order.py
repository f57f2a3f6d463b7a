"""Steps to be put in order: judged by which must come before which, what concerns safety first."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from graders.case import Case
from graders.exercise import Field
from graders.marks import PartMark
from graders.mistake import NO_ORDER, NOT_ORDERED, Mistake
from graders.parts.several import split
from graders.task import Task, Tell, said, told


@dataclass(frozen=True)
class Before:
    """One step must come before another; ``name`` is the mistake of having it the other way round.

    A broken order that concerns ``safety`` is told first and leaves no points.
    """

    name: str
    first: str
    then: str
    says: Tell
    safety: bool = False


@dataclass(frozen=True)
class OrderPart:
    """Steps, given here in a right order as (value, words), and what must come before what. Every other order that keeps all
    of ``before`` is as right. The learner sees them shuffled, each learner in another order.
    """

    field: str
    label: str
    points: float
    steps: tuple[tuple[str, str], ...]
    before: tuple[Before, ...]
    why: Tell = "That order is right."

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the one field."""
        return (Field(self.field, self.label, kind="order", choices=self.steps),)

    @property
    def out_of(self) -> float:
        """Return the points."""
        return self.points

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        return tuple(pair.name for pair in self.before)

    @property
    def _order(self) -> tuple[str, ...]:
        return tuple(value for value, _ in self.steps)

    def broken(self, order: tuple[str, ...]) -> list[Before]:
        """Return the pairs that an order has the wrong way round, safety first."""
        place = {value: k for k, value in enumerate(order)}
        wrong = [pair for pair in self.before if place[pair.first] > place[pair.then]]
        return sorted(wrong, key=lambda pair: not pair.safety)

    def truth_of(self, field: str, task: Task) -> str:
        """Return the right order as it is written."""
        return ", ".join(self._order)

    def apart(self, task: Task) -> bool:
        """Return whether the order given as right keeps every pair."""
        return not self.broken(self._order)

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the right answer."""
        return {self.field: ", ".join(self._order)}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return for each pair an order in which it is the first thing told."""
        made: dict[str, Mapping[str, str]] = {}
        for order in _near(self._order):
            wrong = self.broken(order)
            if wrong and wrong[0].name not in made:
                made[wrong[0].name] = {self.field: ", ".join(order)}
        return made

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the mark."""
        label, words = said(self.label, case.task), dict(self.steps)
        order = split(case.given(self.field) or "")
        if sorted(order) != sorted(words):
            blank = NO_ORDER if order else NOT_ORDERED
            return (PartMark(self.field, label, 0.0, self.points, None, blank.name, blank.sentence),)
        given = "; ".join(said(words[value], case.task) for value in order)
        wrong = self.broken(order)
        if not wrong:
            why = told(self.why, case.task)
            return (PartMark(self.field, label, self.points, self.points, given, None, why),)
        kept = 1 - len(wrong) / len(self.before)
        points = 0.0 if wrong[0].safety else round(self.points * kept / 2, 2)
        found = Mistake(wrong[0].name, told(wrong[0].says, case.task))
        return (PartMark(self.field, label, points, self.points, given, found.name, found.sentence),)


def _near(order: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Yield orders one move or one exchange away, the smallest moves first."""
    size = len(order)
    for distance in range(1, size):
        for k in range(size - distance):
            for source, target in ((k, k + distance), (k + distance, k)):
                moved = list(order)
                moved.insert(target, moved.pop(source))
                yield tuple(moved)
            changed = list(order)
            changed[k], changed[k + distance] = changed[k + distance], changed[k]
            yield tuple(changed)


def shuffled(choices: tuple[tuple[str, str], ...], seed: str) -> tuple[tuple[str, str], ...]:
    """Return steps in an order that depends on the seed alone, and is not the one given."""
    keyed = sorted(choices, key=lambda pair: hashlib.sha256(f"{seed}|step {pair[0]}".encode()).hexdigest())
    return (*keyed[1:], keyed[0]) if tuple(keyed) == choices else tuple(keyed)
