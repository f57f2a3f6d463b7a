"""Marks as data on disk: what reports are made from and what an appeal can be checked against."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import read_json, write_json
from instructor.layout import SCHEMA, ClassFolder

if TYPE_CHECKING:
    from graders.marks import Mark


def write_marks(folder: ClassFolder, module: str, learner: str, marks: tuple[Mark, ...]) -> None:
    """Store one learner's marks of a module."""
    content = {"schema": SCHEMA, "learner": learner, "marks": [asdict(mark) for mark in marks]}
    write_json(folder.marks(learner, module), content, durable=False)


def read_marks(folder: ClassFolder, module: str, learner: str) -> tuple[Mark, ...] | None:
    """Return one learner's stored marks, or None when nothing of theirs is marked.

    Raises
    ------
    ClassError : the stored marks are damaged
    """
    path = folder.marks(learner, module)
    if not path.exists():
        return None
    content = read_json(path, "the stored marks")
    try:
        return tuple(_mark(row) for row in content["marks"])
    except (TypeError, KeyError):
        raise ClassError(
            f"the stored marks '{path}' are damaged; run 'wetslip class mark {module}' again."
        ) from None


def _mark(row: dict[str, Any]) -> Mark:
    from graders.marks import Mark, PartMark

    lists = {name: tuple(row[name]) for name in ("notices", "method", "trail")}
    return Mark(**{**row, **lists, "parts": tuple(PartMark(**part) for part in row["parts"])})
