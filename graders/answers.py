"""The learner's answers on disk: one row a try, appended to ``answers.jsonl`` and never rewritten."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from course.instruments.rows import Row, Rows, append, read_rows
from graders.exercise import Exercise
from graders.numbers import Unreadable, parse_number
from graders.versions import frozen_versions

FILE_NAME = "answers.jsonl"
VERSION = 1


class Unanswerable(ValueError):
    """Answers that cannot be read; ``faults`` gives a sentence for each field. It costs no try."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__(" ".join(faults.values()))
        self.faults = dict(faults)


def unreadable_fields(exercise: Exercise, values: Mapping[str, object]) -> dict[str, str]:
    """Return a sentence for each field that holds no readable answer; blanks are no fault while any field is filled."""
    faults: dict[str, str] = {}
    known = {field.name for field in exercise.fields}
    for stranger in sorted(set(values) - known):
        faults[stranger] = (
            f"Exercise {exercise.id} has no field {stranger!r}; it has {', '.join(sorted(known))}."
        )
    for field in exercise.fields:
        value = values.get(field.name)
        text = "" if value is None else str(value).strip()
        if not text:
            continue
        if field.kind == "choice" and text not in dict(field.choices):
            faults[field.name] = (
                f"{field.label}: {text!r} is none of {', '.join(choice for choice, _ in field.choices)}."
            )
        if field.kind == "number":
            try:
                parse_number(text, field.unit)
            except Unreadable as error:
                faults[field.name] = f"{field.label}: {error}."
    if not faults and not any(str(value).strip() for value in values.values() if value is not None):
        faults["all"] = "Nothing is written yet; fill in at least one field."
    return faults


def record_answer(
    folder: Path, exercise: Exercise, slip: str, learner_id: str, values: Mapping[str, object]
) -> Row:
    """Append one try to the answers in a module's folder and return its row.

    Raises Unanswerable when a field cannot be read (nothing is written then), OSError when the folder cannot be written.
    """
    faults = unreadable_fields(exercise, values)
    if faults:
        raise Unanswerable(faults)
    row: Row = {
        "v": VERSION,
        "id": uuid.uuid4().hex,
        "exercise": exercise.id,
        "slip": slip,
        "learner": learner_id,
        "physics": frozen_versions()["physics"],
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        "values": {name: str(value) for name, value in values.items() if value is not None},
    }
    append(folder / FILE_NAME, lambda _found: row)
    return row


def answers_in(folder: Path) -> Rows:
    """Return the answers in a module's folder."""
    return read_rows(folder / FILE_NAME)


def last_values(folder: Path, exercise: Exercise, slip: str) -> dict[str, str]:
    """Return what was answered last for a slip, to fill a reopened form."""
    rows = [
        row
        for row in answers_in(folder).rows
        if row.get("exercise") == exercise.id and row.get("slip") == slip
    ]
    values = rows[-1].get("values") if rows else None
    return {str(name): str(value) for name, value in values.items()} if isinstance(values, dict) else {}
