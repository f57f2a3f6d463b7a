"""One learner's work on one task, laid out for judging: what was answered, and the logbook taken again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from course.boats.afloat import Afloat
from course.instruments.replay import Reading, Replay
from graders.mistake import NOT_ANSWERED, Mistake
from graders.numbers import Unreadable, parse_number

if TYPE_CHECKING:
    from graders.task import Known, Task

NO_LOGBOOK = Replay((), (), ())


@dataclass(frozen=True)
class Case:
    """``values`` holds what was typed, by field; ``replay`` the readings, each known to be real or not.

    ``earlier`` holds what was answered in the parts before the one being judged, ``sound_so_far`` whether all of it was right.
    """

    task: Task
    values: Mapping[str, str]
    replay: Replay = NO_LOGBOOK
    earlier: Known = field(default_factory=dict)
    sound_so_far: bool = True

    @property
    def afloat(self) -> Afloat:
        """Return the boat in her water."""
        return self.task.afloat

    @property
    def as_answered(self) -> Task:
        """Return the task as it looks to someone who found what was answered in the earlier parts."""
        return self.task.on(self.earlier)

    @property
    def taken(self) -> tuple[Reading, ...]:
        """Return the readings that were really taken on this boat."""
        return tuple(reading for reading in self.replay.readings if reading.replays)

    @property
    def untrue(self) -> tuple[Reading, ...]:
        """Return the readings that do not come out when taken again."""
        return tuple(reading for reading in self.replay.readings if not reading.replays)

    def given(self, field: str) -> str | None:
        """Return what was typed into a field, or None for a blank."""
        value = self.values.get(field)
        return value.strip() if isinstance(value, str) and value.strip() else None

    def number(self, field: str, unit: str) -> float | None:
        """Return the number typed into a field, or None when there is none to read."""
        try:
            return parse_number(self.values.get(field, ""), unit)
        except Unreadable:
            return None

    def no_number(self, field: str, unit: str) -> Mistake:
        """Return why there is no number to read in a field: it is blank, or what was typed into it cannot be read."""
        if self.given(field) is None:
            return NOT_ANSWERED
        try:
            parse_number(self.values.get(field, ""), unit)
        except Unreadable as error:
            return Mistake("unread", f"This cannot be read: {error}.")
        return NOT_ANSWERED
