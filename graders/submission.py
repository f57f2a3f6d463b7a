"""Marking what was handed in: a folder with ``answers.jsonl`` and ``logbook.jsonl``, whatever they hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from course.boats.plan import SlipPlan
from course.instruments import logbook
from course.instruments.rows import Rows, rows_of
from graders import answers
from graders.exercises import module_named
from graders.marking import mark
from graders.marks import Mark

LARGEST_BYTES = 20_000_000


def _read(path: Path, notices: list[str]) -> Rows:
    """Return a file's rows; say in a notice what could not be read. A link is not followed."""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        notices.append(f"{path.name} is no plain file, so it was not read.")
        return Rows((), ())
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        return Rows((), ())
    except OSError as error:
        notices.append(f"{path.name} could not be read: {error.strerror}.")
        return Rows((), ())
    if len(data) > LARGEST_BYTES:
        notices.append(
            f"{path.name} is larger than {LARGEST_BYTES // 1_000_000} MB; only its beginning was read."
        )
    rows = rows_of(data[:LARGEST_BYTES].decode("utf-8", errors="replace"))
    if torn := len(rows.set_aside):
        lines = "1 torn line, which was" if torn == 1 else f"{torn} torn lines, which were"
        notices.append(f"{path.name} has {lines} set aside; the other rows count.")
    return rows


def mark_folder(
    folder: Path, module: str, learner_id: str, plans: Mapping[str, SlipPlan]
) -> tuple[Mark, ...]:
    """Return one mark an exercise of a module, for one learner's folder.

    ``plans`` are the learner's slips by exercise id; answers signed by another learner count as another's. Never
    raises for anything the learner's files hold.
    """
    notices: list[str] = []
    written, logged = _read(folder / answers.FILE_NAME, notices), _read(folder / logbook.FILE_NAME, notices)
    own = [row if row.get("learner") == learner_id else {**row, "slip": None} for row in written.rows]
    marks = (
        mark(exercise, plans[exercise.id], own, logged.rows, hints_cost=True)
        for exercise in module_named(module)
    )
    return tuple(replace(marked, notices=(*notices, *marked.notices)) for marked in marks)
