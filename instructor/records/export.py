"""Marks for other programs: CSV a module and an item, and JSON with the field names of LTI scores.

The names are those of a line item and a score in "Learning Tools Interoperability Assignment and Grade Services",
version 2.0, 1EdTech Consortium, 16 April 2019, 3.4 "Score publish service",
https://www.imsglobal.org/spec/lti-ags/v2p0/#score-publish-service (its lists of values as three open implementations
give them).
"""

from __future__ import annotations

import csv
import io
import re
import secrets
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.files import read_json, write_bytes, write_json
from instructor.layout import ClassFolder
from instructor.marking.gradebook import open_gradebook
from instructor.marking.results import Result, read_result
from instructor.names import nearest
from instructor.pages import module_title
from instructor.people.roster import Learner, read_roster

FORMULA = "=+-@"  # what spreadsheets take for the beginning of a formula
NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
ITEM_COLUMNS = (
    "id", "name", "group", "module", "exercise", "part", "title", "points", "out of", "given", "mistake",
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One learner of an export, under the name that it gives them; `result` is None when nothing is marked."""

    learner: Learner
    result: Result | None


def cell(text: str) -> str:
    """Return text that a spreadsheet shows and does not run.

    An apostrophe goes before what begins like a formula, also after blanks or in full-width signs; plain numbers
    stay numbers. Line breaks and tabs become blanks.
    """
    flat = re.sub(r"[\x00-\x1f\x7f\u2028\u2029]+", " ", text)
    begins = unicodedata.normalize("NFKC", flat).lstrip()[:1]
    return f"'{flat}" if begins and begins in FORMULA and not NUMBER.fullmatch(flat) else flat


def export(
    folder: ClassFolder, modules: Sequence[str], target: Path, group: str | None, anonymous: bool
) -> list[Path]:
    """Write the exports of modules into a folder and return the files.

    Parameters
    ----------
    folder : the class
    modules : released modules, or none for all that are released
    target : the folder to write into
    group : only this group of the roster, or None
    anonymous : pseudonyms in place of ids, no names, groups, texts, comments or answers that could not be read

    Raises
    ------
    ClassError : nothing is released, or nobody is in the group
    """
    released = sorted(path.stem for path in (folder.root / "released").glob("*.json"))
    for module in modules:
        if module not in released:
            raise ClassError(f"The module '{module}' is not released; {nearest(module, released)}")
    chosen = list(modules) or released
    if not chosen:
        raise ClassError("No module is released yet, so there is nothing to export.")
    learners = _chosen(read_roster(folder.roster), group)
    names = pseudonyms(folder, learners) if anonymous else None
    written: list[Path] = []
    totals: dict[str, list[Row]] = {}
    for module in chosen:
        totals[module] = rows = _rows(folder, module, learners, names)
        for ending, content in (("", _marks(rows)), ("-items", _items(rows, module, anonymous))):
            written.append(_csv(target / f"{module}{ending}.csv", content))
        path = target / f"{module}-scores.json"
        write_json(path, scores(module, rows, anonymous))
        written.append(path)
    written.append(_csv(target / "all-modules.csv", _totals(totals)))
    return written


def _chosen(learners: Sequence[Learner], group: str | None) -> list[Learner]:
    if group is None:
        return list(learners)
    found = [learner for learner in learners if learner.group == group]
    if not found:
        groups = {learner.group for learner in learners if learner.group}
        raise ClassError(f"Nobody on the roster is in the group '{group}'; {nearest(group, groups)}")
    return found


def pseudonyms(folder: ClassFolder, learners: Sequence[Learner]) -> dict[str, str]:
    """Return a name drawn by lot for each learner, the same in every export; kept in pseudonyms.json."""
    path = folder.root / "pseudonyms.json"
    names: dict[str, str] = read_json(path, "the list of pseudonyms") if path.exists() else {}
    new = [learner.id for learner in learners if learner.id not in names]
    for learner in new:
        name = ""
        while not name or name in names.values():
            name = f"L-{secrets.token_hex(3)}"
        names[learner] = name
    if new:
        write_json(path, names)
    return names


def _rows(
    folder: ClassFolder, module: str, learners: Sequence[Learner], names: dict[str, str] | None
) -> list[Row]:
    with open_gradebook(folder) as gradebook:
        rows = [Row(learner, read_result(folder, module, learner, gradebook)) for learner in learners]
    if names is None:
        return rows
    hidden = [replace(row, learner=Learner(names[row.learner.id], "")) for row in rows]
    return sorted(hidden, key=lambda row: row.learner.id)


def _csv(path: Path, rows: Iterable[Sequence[str]]) -> Path:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\r\n").writerows([cell(text) for text in row] for row in rows)
    write_bytes(path, stream.getvalue().encode("utf-8-sig"))  # the mark tells spreadsheets that it is utf-8
    return path


def _number(value: float) -> str:
    return f"{value:.6g}"


def _marks(rows: Sequence[Row]) -> Iterator[Sequence[str]]:
    """Yield a row a learner: points for each exercise, what they earned, what lateness leaves."""
    first = next((row.result for row in rows if row.result is not None), None)
    exercises = [scored.mark.exercise for scored in first.exercises] if first else []
    yield [
        "id",
        "name",
        "group",
        *exercises,
        "earned",
        "late, per cent off",
        "points",
        "out of",
        "waits for a person",
    ]
    for row in rows:
        who = [row.learner.id, row.learner.name, row.learner.group]
        if row.result is None:
            yield [*who, *[""] * (len(exercises) + 5)]
            continue
        result = row.result
        late = result.late.per_cent if result.late else 0.0
        points = [_number(scored.points) for scored in result.exercises]
        more = [_number(value) for value in (result.earned, late, result.points, result.out_of)]
        yield [*who, *points, *more, "yes" if result.waiting else "no"]


def _items(rows: Sequence[Row], module: str, anonymous: bool) -> Iterator[Sequence[str]]:
    """Yield a row a learner and part, first what marking found, then what a person gave for written answers."""
    yield ITEM_COLUMNS
    for row in rows:
        who = [row.learner.id, row.learner.name, row.learner.group, module]
        for scored in row.result.exercises if row.result else ():
            hand = {written.part: written for written in scored.written}
            for part in scored.mark.parts:
                points, out_of = part.points, part.out_of
                if part.part in hand:
                    points, out_of = hand[part.part].points or 0.0, hand[part.part].out_of
                free = (
                    part.part in hand or part.mistake == "unread"
                )  # in one's own words, which may name somebody
                given = "" if anonymous and free else part.given or ""
                words = [scored.mark.exercise, part.part, part.title, _number(points), _number(out_of)]
                yield [*who, *words, given, part.mistake or ""]


def _totals(totals: dict[str, list[Row]]) -> Iterator[Sequence[str]]:
    """Yield a row a learner with the points of each module."""
    yield ["id", "name", "group", *totals]
    for rows in zip(*totals.values(), strict=True):
        who = rows[0].learner
        points = [_number(row.result.points) if row.result else "" for row in rows]
        yield [who.id, who.name, who.group, *points]


def scores(module: str, rows: Sequence[Row], anonymous: bool) -> dict[str, Any]:
    """Return one module's scores: a line item, and a score a learner."""
    now = datetime.now(UTC).isoformat(timespec="milliseconds")
    best = max((row.result.out_of for row in rows if row.result), default=0.0)
    return {
        "lineItem": {"label": module_title(module), "resourceId": module, "scoreMaximum": best},
        "scores": [_score(row, now, anonymous) for row in rows],
    }


def _score(row: Row, now: str, anonymous: bool) -> dict[str, Any]:
    score: dict[str, Any] = {"userId": row.learner.id, "timestamp": now}
    if row.result is None:
        return {**score, "activityProgress": "Initialized", "gradingProgress": "NotReady"}
    score |= {
        "scoreGiven": row.result.points,
        "scoreMaximum": row.result.out_of,
        "activityProgress": "Completed",
        "gradingProgress": "PendingManual" if row.result.waiting else "FullyGraded",
    }
    return score if anonymous else {**score, "comment": _comment(row.result)}


def _comment(result: Result) -> str:
    lines = [
        f"{one.mark.exercise} {one.mark.title}: {one.points:g} of {one.out_of:g}" for one in result.exercises
    ]
    if result.late:
        lines.append(f"late: {result.late.per_cent:g} per cent off")
    return "; ".join(lines) + "."
