"""What marking hands over: points, the mistake recognised and a sentence that teaches, for each part."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PartMark:
    """One part of an exercise, marked. ``mistake`` is the name of a recognised mistake; ``given`` what the learner wrote."""

    part: str
    title: str
    points: float
    out_of: float
    given: str | None
    mistake: str | None
    reason: str

    @property
    def right(self) -> bool:
        """Return whether the part earned all its points."""
        return self.points >= self.out_of


@dataclass(frozen=True)
class Mark:
    """One exercise, marked. ``trail`` tells what the logbook shows was done, ``method`` what a good method finds here."""

    exercise: str
    title: str
    points: float
    out_of: float
    parts: tuple[PartMark, ...]
    notices: tuple[str, ...] = ()
    method: tuple[str, ...] = ()
    trail: tuple[str, ...] = ()
    tries: int = 0
