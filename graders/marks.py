"""What marking hands over: points, the mistake recognised and a sentence that teaches, for each part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


def check_cell(exercise: str) -> str:
    """Return the name of an exercise's check cell in the notebook: "03.1" -> "check-03-1"."""
    return f"check-{exercise.replace('.', '-')}"


@dataclass(frozen=True)
class PartMark:
    """One part of an exercise, marked. ``mistake`` is the name of a recognised mistake; ``given`` what the learner wrote.

    ``also`` names a second mistake that gives the same answer, where the reason says either the one or the other.
    ``pending`` are points that a person gives by hand for a written part; they are no part of ``out_of``.
    """

    part: str
    title: str
    points: float
    out_of: float
    given: str | None
    mistake: str | None
    reason: str
    pending: float = 0.0
    also: str = ""

    @property
    def right(self) -> bool:
        """Return whether the part earned all its points; a written part is right once something is written."""
        return self.points >= self.out_of and (self.out_of > 0 or self.mistake is None)


@dataclass(frozen=True)
class Mark:
    """One exercise, marked. ``trail`` tells what the logbook shows was done, ``method`` what a good method finds here.

    ``points`` is what the parts earned less what ``hints`` cost. ``first`` are the parts as the first answer would have earned
    them, where several were handed in: what statistics are made from. ``par`` is the measurements the reference hunter needed,
    ``card`` the score card of a hunt: what was watched -> how much of it, from 0 to 1, or how many.
    """

    exercise: str
    title: str
    points: float
    out_of: float
    parts: tuple[PartMark, ...]
    notices: tuple[str, ...] = ()
    method: tuple[str, ...] = ()
    trail: tuple[str, ...] = ()
    tries: int = 0
    hints: int = 0
    first: tuple[PartMark, ...] = ()
    par: float | None = None
    card: Mapping[str, float] = field(default_factory=dict)

    @property
    def pending(self) -> float:
        """Return the points a person still gives by hand."""
        return sum(part.pending for part in self.parts)
