"""The learner's answers on disk: one row a try, appended to ``answers.jsonl`` and never rewritten."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from course.instruments.rows import Row, Rows, append, read_rows
from graders.exercise import Exercise, Field
from graders.numbers import Unreadable, parse_number
from graders.parts.several import split
from graders.versions import frozen_versions

FILE_NAME = "answers.jsonl"
VERSION = 1
LONGEST_TEXT = 6000


class Unanswerable(ValueError):
    """Answers that cannot be read; ``faults`` gives a sentence for each field. It costs no try."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__(" ".join(faults.values()))
        self.faults = dict(faults)


def unreadable_fields(
    exercise: Exercise, values: Mapping[str, object], shown: tuple[Field, ...] | None = None
) -> dict[str, str]:
    """Return a sentence for each field that holds no readable answer; blanks are no fault while any field is filled.

    ``shown`` are the fields as one learner saw them, where their choices depend on the boat.
    """
    faults: dict[str, str] = {}
    fields = exercise.fields if shown is None else shown
    known = {field.name for field in fields}
    for stranger in sorted(set(values) - known):
        faults[stranger] = (
            f"Exercise {exercise.id} has no field {stranger!r}; it has {', '.join(sorted(known))}."
        )
    for field in fields:
        value = values.get(field.name)
        text = "" if value is None else str(value).strip()
        fault = _fault(field, text) if text else ""
        if fault:
            faults[field.name] = f"{field.label}: {fault}."
    if not faults and not any(str(value).strip() for value in values.values() if value is not None):
        faults["all"] = "Nothing is written yet; fill in at least one field."
    return faults


def _fault(field: Field, text: str) -> str:
    """Return what keeps a text from being read as an answer to a field, or nothing."""
    known = [value for value, _ in field.choices]
    if field.kind == "number":
        try:
            parse_number(text, field.unit)
        except Unreadable as error:
            return str(error)
    if field.kind == "text" and len(text) > LONGEST_TEXT:
        return f"it has {len(text)} letters; at most {LONGEST_TEXT} are kept"
    if field.personal is not None:  # without the learner's own plan nobody can say
        return ""
    if field.kind == "choice" and text not in known:
        return f"{text!r} is none of {', '.join(known)}"
    strange = [value for value in split(text) if value not in known]
    if field.kind in ("several", "order") and strange:
        return f"{strange[0]!r} is none of {', '.join(known)}"
    if field.kind == "order" and sorted(split(text)) != sorted(known):
        return f"an order names each step once; the steps are {', '.join(known)}"
    return ""


def record_answer(
    folder: Path,
    exercise: Exercise,
    slip: str,
    learner_id: str,
    values: Mapping[str, object],
    shown: tuple[Field, ...] | None = None,
) -> Row:
    """Append one try to the answers in a module's folder and return its row. ``shown``: the fields as this learner saw them.

    Raises Unanswerable when a field cannot be read (nothing is written then), OSError when the folder cannot be written.
    """
    faults = unreadable_fields(exercise, values, shown)
    if faults:
        raise Unanswerable(faults)
    typed = {name: str(value) for name, value in values.items() if value is not None}
    return _append(folder, exercise, slip, learner_id, {"values": typed})


def record_hint(folder: Path, exercise: Exercise, slip: str, learner_id: str, step: int) -> Row:
    """Append that a hint was taken, step 1 to 3. Raises OSError when the folder cannot be written."""
    return _append(folder, exercise, slip, learner_id, {"hint": step})


def record_result(folder: Path, exercise: Exercise, slip: str, learner_id: str, right: bool) -> Row:
    """Append whether the last try was right: what a learner's own progress is told from; marking never reads it."""
    return _append(folder, exercise, slip, learner_id, {"right": right})


def record_practice(folder: Path, exercise: Exercise, slip: str, learner_id: str, number: int) -> Row:
    """Append that a copy for practice was fetched: by this a page knows it again; marking never reads it."""
    return _append(folder, exercise, slip, learner_id, {"practice": number})


def practised(folder: Path, exercise: Exercise) -> tuple[int, ...]:
    """Return the numbers of the copies for practice that were fetched, in order."""
    rows = (row.get("practice") for row in answers_in(folder).rows if row.get("exercise") == exercise.id)
    return tuple(sorted({number for number in rows if type(number) is int and number > 0}))


def last_result(folder: Path, exercise: Exercise, slip: str) -> bool | None:
    """Return whether the last try for a slip was right in all its parts; None before the first."""
    rows = [
        row["right"]
        for row in answers_in(folder).rows
        if row.get("exercise") == exercise.id and row.get("slip") == slip and "right" in row
    ]
    return bool(rows[-1]) if rows else None


def _append(folder: Path, exercise: Exercise, slip: str, learner_id: str, what: Row) -> Row:
    row: Row = {
        "v": VERSION,
        "id": uuid.uuid4().hex,
        "exercise": exercise.id,
        "slip": slip,
        "learner": learner_id,
        "physics": frozen_versions()["physics"],
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        **what,
    }
    append(folder / FILE_NAME, lambda _found: row)
    return row


def hints_taken(rows: Iterable[Row], exercise: Exercise, slip: str) -> int:
    """Return the furthest hint taken for a slip, 0 for none."""
    taken = [r.get("hint") for r in rows if r.get("exercise") == exercise.id and r.get("slip") == slip]
    steps = [step for step in taken if isinstance(step, int) and 1 <= step <= len(exercise.hints)]
    return max(steps, default=0)


def answers_in(folder: Path) -> Rows:
    """Return the answers in a module's folder."""
    return read_rows(folder / FILE_NAME)


def last_values(folder: Path, exercise: Exercise, slip: str) -> dict[str, str]:
    """Return what was answered last for a slip, to fill a reopened form."""
    rows = [
        row
        for row in answers_in(folder).rows
        if row.get("exercise") == exercise.id and row.get("slip") == slip and "values" in row
    ]
    values = rows[-1].get("values") if rows else None
    return {str(name): str(value) for name, value in values.items()} if isinstance(values, dict) else {}
