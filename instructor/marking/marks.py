"""Marks as data on disk: what reports are made from, and what an appeal can be checked against.

Beside the marks stand what they were made from (fingerprints) and every change of a mark since the first.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import read_json, write_text
from instructor.layout import ANSWERS, LOGBOOK, SCHEMA, ClassFolder

if TYPE_CHECKING:
    from graders.marks import Mark

Evidence = Mapping[str, str]
WHY = {  # piece of evidence that differs -> the sentence's words; in this order
    "answers": "other answers were handed in",
    "logbook": "another logbook was handed in",
    "slips": "the stored boats are not those that were marked before",
    "physics": "another version of the physics marked it",
    "marking": "the exercise or its marking was mended",
}
NOTEBOOK = "notebook"  # the marked notebook among the evidence
SAME = "it was marked again from the same files"


@dataclass(frozen=True)
class Change:
    """A part whose mark changed: points and mistake before and after, and why."""

    exercise: str
    part: str
    before: float
    after: float
    mistake_before: str | None
    mistake_after: str | None
    why: str


@dataclass(frozen=True)
class Stored:
    """One learner's marks of a module, what they were made from, and their changes, oldest first."""

    marks: tuple[Mark, ...]
    evidence: Evidence
    changes: tuple[Change, ...]


def write_marks(
    folder: ClassFolder,
    module: str,
    learner: str,
    marks: tuple[Mark, ...],
    evidence: Evidence,
    durable: bool = False,
) -> tuple[Change, ...]:
    """Store one learner's marks of a module; return what changed beside those stored before."""
    try:
        before = read_stored(folder, module, learner)
    except ClassError:
        before = None  # damaged: they are made anew
    fresh = () if before is None else changes(before, marks, evidence)
    kept = () if before is None else before.changes
    lists = {
        "changes": [json.dumps(asdict(change), ensure_ascii=False) for change in (*kept, *fresh)],
        "marks": [json.dumps(asdict(mark), ensure_ascii=False) for mark in marks],
    }
    head = json.dumps({"schema": SCHEMA, "learner": learner, "from": dict(evidence)}, ensure_ascii=False)
    between = ",\n"  # a line for each mark: a pretty form would take the longer part of the marking time
    rows = "".join(f',\n"{name}": [\n{between.join(lines)}\n]' for name, lines in lists.items())
    write_text(folder.marks(learner, module), f"{head[:-1]}{rows}\n}}\n", durable)
    return fresh


def read_stored(folder: ClassFolder, module: str, learner: str) -> Stored | None:
    """Return one learner's stored marks and what stands beside them, or None when nothing of theirs is marked.

    Raises
    ------
    ClassError : the stored marks are damaged
    """
    path = folder.marks(learner, module)
    if not path.exists():
        return None
    content = read_json(path, "the stored marks")
    try:
        return Stored(
            tuple(_mark(row) for row in content["marks"]),
            {str(name): str(value) for name, value in content.get("from", {}).items()},
            tuple(Change(**row) for row in content.get("changes", ())),
        )
    except (TypeError, KeyError, AttributeError):
        raise ClassError(
            f"the stored marks '{path}' are damaged; run 'wetslip class mark {module}' again."
        ) from None


def read_marks(folder: ClassFolder, module: str, learner: str) -> tuple[Mark, ...] | None:
    """Return one learner's stored marks, or None when nothing of theirs is marked.

    Raises
    ------
    ClassError : the stored marks are damaged
    """
    stored = read_stored(folder, module, learner)
    return None if stored is None else stored.marks


def by_cell(marks: Iterable[Mark]) -> dict[str, Mark]:
    """Return marks by the grade id of their check cell."""
    from graders.marks import check_cell

    return {check_cell(mark.exercise): mark for mark in marks}


def damage(marks: Iterable[Mark]) -> list[str]:
    """Return what of the notices says that a file came in damaged: they are the same for every exercise."""
    said = dict.fromkeys(notice for mark in marks for notice in mark.notices)
    found = [notice.rstrip(".") for notice in said if notice.startswith((ANSWERS, LOGBOOK))]
    return [*found[:-1], f"{found[-1]}: ask for the file again"] if found else []


def changes(before: Stored, marks: tuple[Mark, ...], evidence: Evidence) -> tuple[Change, ...]:
    """Return the parts whose points or mistake are other ones than before, a part that came or went included."""
    why = "; ".join(words for name, words in WHY.items() if before.evidence.get(name) != evidence.get(name))
    old, new = _parts(before.marks), _parts(marks)
    return tuple(
        Change(exercise, new.get(key, old.get(key, ("",)))[0], was[1], now[1], was[2], now[2], why or SAME)
        for key in dict.fromkeys((*old, *new))
        for exercise in (key[0],)
        for was, now in ((old.get(key, ("", 0.0, None)), new.get(key, ("", 0.0, None))),)
        if was[1:] != now[1:]
    )


def _parts(marks: tuple[Mark, ...]) -> dict[tuple[str, str], tuple[str, float, str | None]]:
    return {
        (mark.exercise, part.part): (part.title, part.points, part.mistake)
        for mark in marks
        for part in mark.parts
    }


def _mark(row: dict[str, Any]) -> Mark:
    from graders.marks import Mark, PartMark

    lists: dict[str, Any] = {name: tuple(row[name]) for name in ("notices", "method", "trail")}
    for name in ("parts", "first"):
        lists[name] = tuple(PartMark(**part) for part in row.get(name, ()))
    return Mark(**{**row, **lists})
