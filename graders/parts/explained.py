"""What a wrong number came of: every explanation that fits it, the likeliest first, and one or two of them said.

A known mistake is told where the number is close to what it gives. Where it is only within the tolerance, it is said as a guess:
any number at all may fall there. Where two things come to the same number, both are said, for nothing in it tells which it was.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING

from graders.mistake import UNNAMED, Mistake
from graders.numbers import is_rounded
from graders.parts.slips import (
    Meets,
    Right,
    changed_places,
    other_unit,
    point_moved,
    shown_numbers,
)
from graders.task import Task, told

if TYPE_CHECKING:
    from graders.parts.number import NumberPart

# Of the tolerance, but not less than a share of what is multiplied out: two steps rounded to three figures seldom move it further.
CLOSE, CLOSE_SHARE = 0.15, 0.003
ROUNDED_SHARE = 0.5
ROUNDED_WITHIN = 12  # tolerances; what is rounded further than that earns nothing
NO_MINUS = "This is a size, so it has no minus. "
POINT = "The figures are right, the size is not. Look for a decimal point that moved, or a thousand lost between units."
EXCHANGED = (
    "Two figures that stand side by side have changed places. Copy the number from your working again."
)
# What may have made the same number besides, by what is the likelier. A slip that only adds to what the first says already is
# not said again: a known mistake may well be a number of the question.
BESIDES = {
    "known": ("known", "rounded", "exchanged"),
    "rounded": ("copied",),
    "form": ("copied",),
    "turned": ("rounded", "exchanged", "point"),
    "copied": ("point", "exchanged", "rounded"),
    "point": ("exchanged", "rounded"),
}


@dataclass(frozen=True)
class Cause:
    """One explanation of a wrong number: what kind it is, the mistake and its sentence, the share of the points it leaves."""

    kind: str
    mistake: Mistake
    share: float = 0.0


@dataclass(frozen=True)
class Wrongly:
    """A wrong number in a part. ``tasks`` is the task as it follows from the learner's earlier answers, then as it truly is."""

    part: NumberPart
    task: Task
    tasks: tuple[Task, ...]
    value: float

    def causes(self) -> Iterator[Cause]:
        """Yield everything that explains the number well, the likeliest first."""
        likely = (self._known, self._rounded_near, self._form, self._and_sign, self._both_forms)
        slips = (self._copied, self._point, self._exchanged, self._and_unit, self._rounded_far)
        return chain.from_iterable(way() for way in (*likely, *slips))

    def explained(self) -> tuple[Mistake, float]:
        """Return what is told, and the share of the points that is left."""
        causes = list(self.causes())
        if not causes:
            return self._guess(), 0.0
        first = causes[0]
        fits = (other for other in causes[1:] if other.kind in BESIDES.get(first.kind, ()))
        second = next((other for other in fits if other.mistake.name != first.mistake.name), None)
        if second is None:
            return first.mistake, first.share
        other_way = f"Or you came to the same number another way: {second.mistake.sentence}"
        says = f"{first.mistake.sentence} {other_way}"
        both = replace(first.mistake, sentence=says, also=second.mistake.name)
        return both, first.share

    def _close(self, value: float, its: float) -> bool:
        """Return whether a value is close to one of the part's values, or what one would write for it."""
        step = CLOSE_SHARE * abs(its) if self.part.share else 0.0
        near = abs(value - its) <= max(CLOSE * self.part.tolerance(its), step) * (1 + 1e-9)
        as_written = math.isclose(value, float(self.part.written(its)), rel_tol=1e-9)
        return as_written or (near and self.part.meets(value, its))

    @property
    def _how(self) -> str:
        return told(self.part.how, self.task)

    @property
    def _truths(self) -> tuple[float, ...]:
        return tuple(self.part.truth(task) for task in self.tasks)

    @property
    def _rights(self) -> Iterator[Right]:
        for true in self._truths:
            meets, close = partial(self.part.meets, value=true), partial(self._close, its=true)
            yield Right(meets, close, float(self.part.written(true)))

    def _near(self, task: Task) -> list[tuple[float, bool, Cause]]:
        """Return the known mistakes of a task that the number may be, the nearest first: how far off, whether close, what is told."""
        near = []
        for wrong, its in self.part.values(task):
            if self.part.meets(self.value, its):
                says = told(wrong.says, task, given=self.part.written(self.value), unit=self.part.unit)
                cause = Cause("known", Mistake(wrong.name, says), wrong.share)
                near.append((abs(self.value - its), self._close(self.value, its), cause))
        return sorted(near, key=lambda one: one[0])

    def _known(self) -> Iterator[Cause]:
        """Yield the mistakes of the learner's own task; what would come of other earlier answers only where there is none."""
        found = ([cause for _, close, cause in self._near(task) if close] for task in self.tasks)
        yield from next((causes for causes in found if causes), ())

    def _rounded_near(self) -> Iterator[Cause]:
        for truth in self._truths:
            near = abs(self.value - truth) <= ROUNDED_WITHIN * self.part.tolerance(truth)
            if near and self._is_rounded(truth):
                yield Cause("rounded", self._coarse(), ROUNDED_SHARE)

    def _rounded_far(self) -> Iterator[Cause]:
        if any(self._is_rounded(truth) for truth in self._truths):
            yield Cause("rounded", self._coarse())

    def _is_rounded(self, truth: float) -> bool:
        return is_rounded(self.value, truth) or is_rounded(self.value, float(self.part.written(truth)))

    def _coarse(self) -> Mistake:
        says = f"Rounded too far: the work is right, but {self.value:g} {self.part.unit} is coarser than it allows. "
        return Mistake("rounded_too_far", says + "Give one digit more.")

    def _form(self) -> Iterator[Cause]:
        for true in self._rights:
            other = other_unit(self.value, self.part.unit, true.close)
            if other is not None:
                yield Cause("form", self._unit(other))
            elif self.value != 0 and true.meets(-self.value):
                says = "The size is right, the sign is not. " if self.part.signed else NO_MINUS
                yield Cause("form", Mistake("sign", says + self._how))

    def _both_forms(self) -> Iterator[Cause]:
        for true in self._rights:
            other = other_unit(-self.value, self.part.unit, true.close)
            if other is not None:
                wrong = self._unit(other)
                yield Cause("form", replace(wrong, sentence=wrong.sentence + " And the sign is not right."))

    def _unit(self, other: str) -> Mistake:
        says = f"The size is right, the unit is not: this field wants {self.part.unit}, and you wrote it in {other}."
        return Mistake("unit", says)

    def _and_sign(self) -> Iterator[Cause]:
        return self._turned(lambda value, _unit, meets: "sign" if value != 0 and meets(-value) else None)

    def _and_unit(self) -> Iterator[Cause]:
        return self._turned(lambda value, unit, meets: "unit" if other_unit(value, unit, meets) else None)

    def _turned(self, besides: Callable[[float, str, Meets], str | None]) -> Iterator[Cause]:
        """Yield the known mistakes whose value was written with the other sign, or in another unit."""
        for task in self.tasks:
            for wrong, its in self.part.values(task):
                form = besides(self.value, self.part.unit, partial(self._close, its=its))
                if form is not None:
                    says = told(wrong.says, task, given=self.part.written(self.value), unit=self.part.unit)
                    yield Cause("turned", Mistake(wrong.name, f"{says} And the {form} is not right either."))

    def _copied(self) -> Iterator[Cause]:
        if self.value in shown_numbers(self.task):
            shown = f"{self.value:g} {self.part.unit}".rstrip()
            says = f"{shown} already stands in the question: it is where you start, not what is asked. {self._how}"
            yield Cause("copied", Mistake("given_number", says))

    def _point(self) -> Iterator[Cause]:
        if any(point_moved(self.value, true) for true in self._rights):
            yield Cause("point", Mistake("decimal_point", POINT))

    def _exchanged(self) -> Iterator[Cause]:
        if any(changed_places(self.value, true) for true in self._rights):
            yield Cause("exchanged", Mistake("figures_exchanged", EXCHANGED))

    def _guess(self) -> Mistake:
        """Return how to go about it, and what may have happened where the number is only within a tolerance, said as a guess."""
        near = next((found[0] for task in self.tasks if (found := self._near(task))), None)
        perhaps = self._slip_perhaps() if near is None else near[2].mistake.sentence
        guess = f" Perhaps this is what happened: {perhaps}" if perhaps else ""
        return Mistake(UNNAMED, f"Not yet. {self._how}{guess}")

    def _slip_perhaps(self) -> str:
        for true in self._rights:
            loosely = true._replace(close=true.meets)
            other = other_unit(self.value, self.part.unit, true.meets)
            if other is not None:
                return self._unit(other).sentence
            if point_moved(self.value, loosely):
                return POINT
            if changed_places(self.value, loosely):
                return EXCHANGED
        return ""
