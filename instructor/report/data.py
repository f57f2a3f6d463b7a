"""What a class report is made from: each learner's first answers, and what their files tell of time and of acts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import read_regular
from instructor.handout.released import Released
from instructor.layout import ANSWERS, LOGBOOK, ClassFolder
from instructor.marking.results import Result

if TYPE_CHECKING:
    from graders.exercise import Exercise
    from graders.marks import Mark, PartMark

MOST_BYTES = 20_000_000
PERSONAL = re.compile(r"\{[^{}]*\}")  # in a label: what each learner has their own of
PAUSE_S = 600  # a longer gap between two acts is a break, and counts as this much


@dataclass(frozen=True)
class Pupil:
    """One learner as the report sees them.

    `minutes` are at the screen and `on_slip` on the slip's clock, `readings` how many were written down: by exercise
    id. `acts` are the acts of each exercise's logbook, for comparing, `ids` the names of all rows.
    """

    result: Result
    minutes: Mapping[str, float] = field(default_factory=dict)
    on_slip: Mapping[str, int] = field(default_factory=dict)
    readings: Mapping[str, int] = field(default_factory=dict)
    acts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    ids: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        """The learner's id."""
        return self.result.learner.id

    def shares(self) -> dict[str, float]:
        """The share of the points that the first answer to each exercise earned; what a person marks is left out."""
        return {scored.mark.exercise: first_share(scored.mark) for scored in self.result.exercises}


def general_titles(exercises: Sequence[Exercise]) -> dict[tuple[str, str], str]:
    """Return what parts are called whoever's boat it is, by exercise and part, where a learner's own title is personal."""
    return {
        (exercise.id, field.name): PERSONAL.sub("…", field.label)
        for exercise in exercises
        for field in exercise.fields
        if "{" in field.label
    }


def first_parts(mark: Mark) -> tuple[PartMark, ...]:
    """Return the parts as the first answer earned them."""
    return mark.first or mark.parts


def first_share(mark: Mark) -> float:
    """Return the share of the points that the first answer earned, hints apart."""
    earned = sum(part.points for part in first_parts(mark))
    return min(1.0, max(0.0, earned / mark.out_of)) if mark.out_of > 0 else 0.0


def read_pupil(folder: ClassFolder, released: Released, result: Result) -> Pupil:
    """Return a learner's part of the report. Files that cannot be read only leave their figures out."""
    place = folder.submitted(result.learner.id, released.module)
    rows = {name: _rows(place / name) for name in (ANSWERS, LOGBOOK)}
    of_slip = {digest: exercise for exercise, digest in released.slips.get(result.learner.id, {}).items()}
    mine: dict[str, list[Mapping[str, Any]]] = {exercise: [] for exercise in of_slip.values()}
    for row in (*rows[ANSWERS], *rows[LOGBOOK]):
        exercise = of_slip.get(str(row.get("slip")))
        if exercise is not None:
            mine[exercise].append(row)
    minutes = _minutes([*rows[ANSWERS], *rows[LOGBOOK]], of_slip)
    ids = (row.get("id") for name in rows for row in rows[name])
    return Pupil(
        result,
        {exercise: minutes.get(exercise, 0.0) for exercise in mine},
        {exercise: _on_slip(own) for exercise, own in mine.items()},
        {exercise: sum(row.get("kind") == "reading" for row in own) for exercise, own in mine.items()},
        {exercise: tuple(_act(row) for row in own if "action" in row) for exercise, own in mine.items()},
        frozenset(name for name in ids if isinstance(name, str) and name),
    )


def _rows(path: Any) -> Sequence[Mapping[str, Any]]:
    from course.instruments.rows import rows_of

    try:
        content = read_regular(path, MOST_BYTES)
    except (ClassError, OSError):
        return ()
    return rows_of((content or b"").decode("utf-8", errors="replace")).rows


def _minutes(rows: Sequence[Mapping[str, Any]], of_slip: Mapping[str, str]) -> dict[str, float]:
    """Return the minutes that led to the rows of each exercise, by the rows' own times.

    The time before a row belongs to its exercise, so a question on paper that is answered once counts too. Breaks are
    cut short, a clock set back counts nothing, and what was practised meanwhile is nobody's.
    """
    timed = [(time, str(row.get("slip"))) for row in rows if (time := _time(row.get("at"))) is not None]
    minutes: dict[str, float] = {}
    for (earlier, _), (later, slip) in pairwise(sorted(timed)):
        if slip in of_slip:
            gap = min((later - earlier).total_seconds(), PAUSE_S) / 60
            minutes[of_slip[slip]] = minutes.get(of_slip[slip], 0.0) + gap
    return minutes


def _time(text: Any) -> datetime | None:
    try:
        time = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        return None
    return time.replace(tzinfo=UTC) if time.tzinfo is None else time


def _on_slip(rows: Sequence[Mapping[str, Any]]) -> int:
    minutes = (row.get("minute") for row in rows)
    return max(
        (m for m in minutes if isinstance(m, int) and not isinstance(m, bool) and 0 <= m < 10**6), default=0
    )


def _act(row: Mapping[str, Any]) -> str:
    """Return an act as a word, its numbers and places included."""
    args = row.get("args")
    told = ",".join(f"{k}={str(v)[:40]}" for k, v in sorted(args.items())) if isinstance(args, dict) else ""
    return f"{str(row.get('action'))[:40]}({told[:200]})"
