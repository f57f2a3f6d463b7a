"""A module's terms: when it is due, what lateness costs, and who has a time of their own."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from instructor.errors import ClassError
from instructor.files import read_json, write_json
from instructor.layout import SCHEMA, TIMESTAMP, ClassFolder
from instructor.people.roster import Learner

DAY = timedelta(days=1)
TIME_SHAPES = ("%Y-%m-%d %H:%M:%S.%f UTC", "%Y-%m-%d %H:%M:%S UTC")


@dataclass(frozen=True)
class Terms:
    """What holds for one module; all times are in UTC.

    Parameters
    ----------
    due : when it must be in, or None for no such time
    begins : the start of a sitting that ends at `due`, which extra time lengthens; None for work at home
    per_day : what is taken off for each day begun late [per cent of the points earned]
    last_day : from how many days late on nothing counts, or None
    own : learner id -> a due time of their own
    """

    due: datetime | None = None
    begins: datetime | None = None
    per_day: float = 0.0
    last_day: float | None = None
    own: Mapping[str, datetime] = field(default_factory=dict)

    def due_for(self, learner: Learner) -> datetime | None:
        """Return when a learner's work is due: their own time, or the class's, lengthened by extra time in a sitting."""
        if learner.id in self.own:
            return self.own[learner.id]
        if self.due is None or self.begins is None:
            return self.due
        return self.due + (self.due - self.begins) * (learner.extra_time / 100)

    def late(self, learner: Learner, handed_in: datetime | None) -> Late | None:
        """Return how late a learner's work is and what it costs, or None when it is in time."""
        due = self.due_for(learner)
        if due is None or handed_in is None or handed_in <= due:
            return None
        days = (handed_in - due) / DAY
        if self.last_day is not None and days > self.last_day:
            return Late(due, days, 100.0)
        return Late(due, days, min(100.0, self.per_day * math.ceil(days)))


@dataclass(frozen=True)
class Late:
    """Work that came late: when it was due, by how much it is late [days], what that costs [per cent of the points]."""

    due: datetime
    days: float
    per_cent: float


def _path(folder: ClassFolder, module: str) -> Path:
    return folder.root / "terms" / f"{module}.json"


def read_terms(folder: ClassFolder, module: str) -> Terms:
    """Return a module's terms; without any, nothing is ever late.

    Raises
    ------
    ClassError : the file is damaged
    """
    path = _path(folder, module)
    if not path.exists():
        return Terms()
    content = read_json(path, "the terms")
    try:
        if content["schema"] != SCHEMA:
            raise ValueError
        times = {name: _time(content[name]) for name in ("due", "begins")}
        own = {str(learner): datetime.fromisoformat(text) for learner, text in content["own"].items()}
        last = content["last_day"]
        return Terms(**times, per_day=float(content["per_day"]), last_day=last, own=own)
    except (KeyError, TypeError, ValueError, AttributeError):
        raise ClassError(
            f"the terms '{path}' are damaged; set them again with 'wetslip class due'."
        ) from None


def _time(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def write_terms(folder: ClassFolder, module: str, terms: Terms) -> None:
    """Keep a module's terms.

    Raises
    ------
    ClassError : they contradict each other
    """
    if terms.begins is not None and (terms.due is None or terms.begins >= terms.due):
        raise ClassError("A sitting begins before it is due; give both times, the earlier one with --from.")
    if not 0 <= terms.per_day <= 100:
        raise ClassError(f"What a late day costs is from 0 to 100 per cent, and not {terms.per_day:g}.")
    if terms.last_day is not None and terms.last_day < 0:
        raise ClassError(f"The last day that counts is 0 days late or more, and not {terms.last_day:g}.")
    content = {
        "schema": SCHEMA,
        "due": terms.due.isoformat() if terms.due else None,
        "begins": terms.begins.isoformat() if terms.begins else None,
        "per_day": terms.per_day,
        "last_day": terms.last_day,
        "own": {learner: time.isoformat() for learner, time in sorted(terms.own.items())},
    }
    write_json(_path(folder, module), content)


def without(terms: Terms, learner: str) -> Terms:
    """Return the terms without a learner's own time."""
    return replace(terms, own={one: time for one, time in terms.own.items() if one != learner})


def handed_in_at(folder: ClassFolder, module: str, learner: str) -> datetime | None:
    """Return when the work that is marked came in, or None when there is none or its stamp cannot be read."""
    try:
        text = (folder.submitted(learner, module) / TIMESTAMP).read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return None
    for shape in TIME_SHAPES:
        try:
            return datetime.strptime(text, shape).replace(tzinfo=UTC)
        except ValueError:
            continue
    return None
