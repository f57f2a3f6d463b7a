"""Files of JSON lines that only ever grow: one row an act, written under a lock and flushed to disk."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from filelock import FileLock

Row = dict[str, Any]


@dataclass(frozen=True)
class Rows:
    """The rows of a file in order, and the lines that could not be read, kept aside as text."""

    rows: tuple[Row, ...]
    set_aside: tuple[str, ...]


def _refuse_constant(name: str) -> Any:
    raise ValueError(f"{name} is not JSON")


def parse_line(line: str) -> Row | None:
    """Return the row a line holds, or None when it is not one JSON object."""
    try:
        row = json.loads(line, parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        return None
    return row if isinstance(row, dict) else None


def rows_of(text: str) -> Rows:
    """Return the rows in a text of JSON lines; a torn or foreign line is set aside, not lost and not fatal."""
    good: list[Row] = []
    aside: list[str] = []
    for line in text.split("\n"):
        if not line.strip():
            continue
        row = parse_line(line)
        if row is None:
            aside.append(line)
        else:
            good.append(row)
    return Rows(tuple(good), tuple(aside))


def read_rows(path: Path) -> Rows:
    """Return the rows of a file; a missing file has none."""
    try:
        return rows_of(path.read_bytes().decode("utf-8", errors="replace"))
    except FileNotFoundError:
        return Rows((), ())


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock that belongs to a file of rows (a hidden file beside it)."""
    with FileLock(str(path.with_name(f".{path.name}.lock"))):
        yield


def append(path: Path, make_row: Callable[[Rows], Row | None]) -> Row | None:
    """Append one row, made from all that stand in the file, as one write flushed to disk.

    ``make_row`` is called inside the lock and may return None to append nothing. A torn last line (a process killed while
    writing) is closed with a line end, never rewritten. Raises OSError when the folder cannot be written.
    """
    with locked(path):
        row = make_row(read_rows(path))
        if row is None:
            return None
        line = json.dumps(row, ensure_ascii=False, allow_nan=False) + "\n"
        with path.open("ab+") as stream:
            if stream.tell() and not _ends_with_newline(stream):
                line = "\n" + line
            stream.write(line.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        return row


def _ends_with_newline(stream: Any) -> bool:
    stream.seek(-1, os.SEEK_END)
    last: bytes = stream.read(1)
    return last == b"\n"
