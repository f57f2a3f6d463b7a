"""The roster: who is in the class, read from the CSV files that spreadsheets really write."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from course.learner import unfit_name
from instructor.errors import ClassError
from instructor.names import nearest

COLUMNS = ("id", "name", "email", "group", "extra time")
NEEDED = ("id", "name")
MAXIMUM_BYTES = 5_000_000


@dataclass(frozen=True)
class Learner:
    """One row of the roster. `extra_time` [per cent of the usual time] is 0 unless the roster says more."""

    id: str
    name: str
    email: str = ""
    group: str = ""
    extra_time: float = 0.0


def read_roster(path: Path) -> tuple[Learner, ...]:
    """Read a roster.

    The file is CSV in utf-8, with or without a byte-order mark; cells are separated by commas, semicolons or
    tabs. Columns: id, name, and if wanted email, group, extra time (per cent); others are left alone.

    Parameters
    ----------
    path : the CSV file

    Returns
    -------
    the learners in the file's order

    Raises
    ------
    ClassError : one sentence with line and value for whatever is wrong
    """
    text = _text(path)
    header, rows = _table(text, path)
    places = _places(header, path)
    learners: list[Learner] = []
    seen: dict[str, tuple[int, str]] = {}
    for line, cells in rows:
        learner = _learner(cells, places, len(header), path, line)
        key = learner.id.casefold()
        if key in seen:
            before, spelled = seen[key]
            same = "" if spelled == learner.id else f" (as '{spelled}': ids may not differ by capitals alone)"
            raise ClassError(
                f"The id '{learner.id}' in line {line} of '{path}' was given in line {before} already{same}."
            )
        seen[key] = (line, learner.id)
        learners.append(learner)
    if not learners:
        raise ClassError(f"The roster '{path}' names nobody: it needs one line a learner below its header.")
    return tuple(learners)


def columns_of(path: Path) -> tuple[str, ...]:
    """Return the columns that a roster file has, of those we know.

    Raises
    ------
    ClassError : see `read_roster`
    """
    header, _ = _table(_text(path), path)
    return tuple(_places(header, path))


def checked_learner(cells: Mapping[str, str], where: str) -> Learner:
    """Return a learner from cells by column, or say what is wrong and where; a name may be missing.

    Raises
    ------
    ClassError
    """
    value = {column: unicodedata.normalize("NFC", text.strip()) for column, text in cells.items()}
    for column, text in value.items():
        odd = next((sign for sign in text if unicodedata.category(sign) in ("Cc", "Zl", "Zp")), None)
        if odd is not None:
            raise ClassError(f"The {column} in {where} holds the control character {odd!r}.")
    if not value["id"]:
        raise ClassError(f"The id in {where} is empty.")
    reason = unfit_name(value["id"])
    if reason:
        raise ClassError(f"The id {value['id']!r} in {where} cannot name a folder: {reason}.")
    extra = _per_cent(value.get("extra time", ""), where)
    return Learner(value["id"], value.get("name", ""), value.get("email", ""), value.get("group", ""), extra)


def roster_text(learners: Sequence[Learner]) -> str:
    """Return the roster as normalised CSV: utf-8, commas, all columns, in the given order."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for learner in learners:
        writer.writerow([learner.id, learner.name, learner.email, learner.group, f"{learner.extra_time:g}"])
    return stream.getvalue()


def _text(path: Path) -> str:
    """Return the file as text, or say in which line it stops being utf-8."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise ClassError(f"There is no roster file '{path}'.") from None
    except IsADirectoryError:
        raise ClassError(f"'{path}' is a folder; the roster is a CSV file.") from None
    if len(content) > MAXIMUM_BYTES:
        raise ClassError(f"'{path}' holds {len(content)} bytes; a roster holds at most {MAXIMUM_BYTES}.")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        byte = content[problem.start]
        raise ClassError(
            f"Line {line} of the roster '{path}' is not utf-8 (byte 0x{byte:02x}); save it as 'CSV UTF-8'."
        ) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise ClassError(f"Line {line} of the roster '{path}' holds a zero byte; save it as 'CSV UTF-8'.")
    return unicodedata.normalize("NFC", text)


def _table(text: str, path: Path) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Return the header and the rows that hold anything, each with the line it ends in."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = list(_filled(reader))
    except csv.Error as problem:
        raise ClassError(f"Line {reader.line_num} of the roster '{path}' is not CSV: {problem}.") from None
    if not rows:
        raise ClassError(
            f"The roster '{path}' is empty; its first line names the columns: {', '.join(COLUMNS)}."
        )
    return rows[0][1], rows[1:]


def _filled(reader: Iterator[list[str]]) -> Iterator[tuple[int, list[str]]]:
    for cells in reader:
        stripped = [cell.strip() for cell in cells]
        if any(stripped):
            yield reader.line_num, stripped  # type: ignore[attr-defined]


def _places(header: Sequence[str], path: Path) -> dict[str, int]:
    """Return where each known column is; spelling may differ in capitals, '_', '-' and spaces."""
    places: dict[str, int] = {}
    for place, title in enumerate(header):
        plain = " ".join(title.casefold().replace("_", " ").replace("-", " ").split())
        column = {"e mail": "email", "extratime": "extra time"}.get(plain, plain)
        if column in COLUMNS:
            if column in places:
                raise ClassError(f"The roster '{path}' has the column '{column}' twice.")
            places[column] = place
    for column in NEEDED:
        if column not in places:
            found = ", ".join(f"'{title}'" for title in header)
            raise ClassError(f"The roster '{path}' has no column '{column}'; its first line names {found}.")
    return places


def _learner(cells: Sequence[str], places: dict[str, int], width: int, path: Path, line: int) -> Learner:
    """Return one row as a learner, or say what is wrong with it."""
    where = f"line {line} of '{path}'"
    if any(cells[width:]):
        raise ClassError(f"There are {len(cells)} cells in {where}, and the header names {width}.")
    learner = checked_learner(
        {column: cells[place] if place < len(cells) else "" for column, place in places.items()}, where
    )
    if not learner.name:
        raise ClassError(f"The name of '{learner.id}' in {where} is empty.")
    return learner


def _per_cent(text: str, where: str) -> float:
    """Read extra time, with decimal point or comma, with or without a per cent sign."""
    plain = text.removesuffix("%").strip().replace(",", ".")
    if not plain:
        return 0.0
    try:
        value = float(plain)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 1000.0:
        raise ClassError(f"The extra time {text!r} in {where} is not a number of per cent from 0 to 1000.")
    return value


def find(learners: Sequence[Learner], learner_id: str) -> Learner:
    """Return the learner with this id; a wrong one is answered with the nearest."""
    for learner in learners:
        if learner.id == learner_id:
            return learner
    ids = [learner.id for learner in learners]
    raise ClassError(f"Nobody on the roster has the id '{learner_id}'; {nearest(learner_id, ids)}")
