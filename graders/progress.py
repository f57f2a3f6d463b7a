"""How a learner stands: every objective of the course, mastered or not, and what is due to be looked at again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path

from course.instruments.rows import Row, read_rows
from graders.answers import FILE_NAME
from graders.exercises import EXERCISES, MODULES, objectives_of
from graders.mastery import Standing, standings
from graders.spacing import after

SPACED = frozenset({"convert", "judge", "choose", "order"})  # facts, symbols and limits; not whole hunts


def rows_under(root: Path) -> tuple[Row, ...]:
    """Return the rows of all answers in a learner's folder and the modules' folders in it, oldest first."""
    paths = [root / FILE_NAME, *sorted(root.glob(f"*/{FILE_NAME}"))]
    found = [row for path in paths for row in read_rows(path).rows]
    return tuple(sorted(found, key=lambda row: str(row.get("at", ""))))


def _day(row: Row) -> date | None:
    try:
        return datetime.fromisoformat(str(row.get("at"))).date()
    except ValueError:
        return None


def due(rows: Iterable[Row], today: date) -> tuple[str, ...]:
    """Return the exercises that are worth another look by a day, in the order of the course."""
    tries: dict[str, list[tuple[date, bool]]] = {}
    for row in rows:
        name, right, day = str(row.get("exercise")), row.get("right"), _day(row)
        if (
            isinstance(right, bool)
            and day is not None
            and name in EXERCISES
            and EXERCISES[name].kind in SPACED
        ):
            tries.setdefault(name, []).append((day, right))
    return tuple(name for name in sorted(tries) if after(tries[name]).due <= today)


def told(rows: Iterable[Row], today: date) -> tuple[str, ...]:
    """Return a learner's standing as lines of text."""
    known = tuple(rows)
    found = {standing.objective: standing for standing in standings(known)}
    lines = []
    for module in MODULES:
        mine = [(o, found.get(o.id)) for o in objectives_of(module)]
        if any(standing for _, standing in mine):
            lines.append(module.replace("_", " "))
            lines += [f"  {_standing(standing)}: {o.says}" for o, standing in mine]
    if not lines:
        return ("Nothing is answered yet.",)
    again = due(known, today)
    if again:
        lines.append(f"Worth another look today, on a fresh boat: {', '.join(again)}.")
    return tuple(lines)


def _standing(standing: Standing | None) -> str:
    if standing is None:
        return "not tried"
    word = "mastered" if standing.mastered else "on the way"
    return f"{word} ({standing.right} of {standing.tries} right)"
