"""Who a learner is: one small file, learner.json, at the top of their folder."""

from __future__ import annotations

import json
import os
import re
import secrets
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FILE = "learner.json"
SCHEMA = 1
SELF_COHORT = "self-study"

LONGEST_NAME = 64
_SHAPE = re.compile(r"[^\W_][\w.@-]*")
# names that Windows keeps for devices (Microsoft, "Naming Files, Paths, and Namespaces")
_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{kind}{n}" for kind in ("com", "lpt") for n in range(10))]
)


class LearnerError(ValueError):
    """A learner's id, cohort or learner.json cannot be used; the message is one sentence to show."""


def unfit_name(name: str) -> str | None:
    """Say why a name cannot be an id or a cohort code, as the end of a sentence; None if it can.

    It must be fit to be a folder on any system, a row in a gradebook and a part of a web address at once.
    """
    plain = unicodedata.normalize("NFC", name)
    if len(plain) > LONGEST_NAME or not _SHAPE.fullmatch(plain) or plain.endswith("."):
        return (
            "allowed are letters, digits, '.', '_', '-' and '@', beginning with a letter or digit, "
            f"at most {LONGEST_NAME} characters"
        )
    if plain.split(".")[0].casefold() in _DEVICES:
        return "Windows keeps that name for a device"
    return None


@dataclass(frozen=True)
class Learner:
    """A learner, as known to the class.

    Parameters
    ----------
    id : str
        As on the roster, or "self-" and eight random hexadecimal digits; see `unfit_name`. Accented letters
        are kept in one form (Unicode NFC), so that the same id typed on two systems is the same learner.
    cohort : str
        The class's code, of the same letters. It goes into the seed of every personal boat.

    Raises
    ------
    LearnerError
        If the id or the cohort holds anything else.
    """

    id: str
    cohort: str

    def __post_init__(self) -> None:
        for field in ("id", "cohort"):
            value = unicodedata.normalize("NFC", getattr(self, field))
            why = unfit_name(value)
            if why:
                raise LearnerError(f"The {field} {value!r} cannot be used: {why}.")
            object.__setattr__(self, field, value)


def new_self_learner() -> Learner:
    """Return a learner of no class, with a random id."""
    return Learner(f"self-{secrets.token_hex(4)}", SELF_COHORT)


def learner_file(start: Path) -> Path | None:
    """Return the learner.json of a folder or of the nearest folder above it; None if there is none."""
    folder = start.absolute()
    return next((path for above in (folder, *folder.parents) if (path := above / FILE).is_file()), None)


def read_learner(start: Path) -> Learner:
    """Return the learner whose folder this is, or lies above.

    Raises
    ------
    LearnerError
        If there is no learner.json from here upward, or it cannot be read as one.
    """
    path = learner_file(start)
    if path is None:
        raise LearnerError(
            f"There is no {FILE} in {start} nor in any folder above it; "
            "open the course with 'wetslip learn', which writes it."
        )
    try:
        row: Any = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError) as error:
        raise LearnerError(f"{path} cannot be read as JSON: {error}.") from error
    if not isinstance(row, dict) or row.get("schema") != SCHEMA:
        raise LearnerError(f'{path} is no learner file: it must hold "schema": {SCHEMA}, "id" and "cohort".')
    learner_id, cohort = row.get("id"), row.get("cohort")
    if not isinstance(learner_id, str) or not isinstance(cohort, str):
        raise LearnerError(
            f'{path} must give "id" and "cohort" as text, and gives {learner_id!r} and {cohort!r}.'
        )
    return Learner(learner_id, cohort)


def write_learner(folder: Path, learner: Learner) -> Path:
    """Write learner.json into a folder, whole or not at all, and return its path; one that is there is kept.

    Raises
    ------
    LearnerError
        If the folder belongs to another learner already.
    OSError
        If it cannot be written.
    """
    path = begin_learner(folder, learner)
    owner = read_learner(folder)
    if owner != learner:
        raise LearnerError(
            f"{folder} belongs to learner {owner.id!r} of cohort {owner.cohort!r}, "
            f"not to {learner.id!r} of {learner.cohort!r}; give another folder."
        )
    return path


def begin_learner(folder: Path, learner: Learner) -> Path:
    """Write learner.json into a folder where there is none and return its path; of two at once the first one counts.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    path = folder / FILE
    if path.exists():
        return path
    row = {"schema": SCHEMA, "id": learner.id, "cohort": learner.cohort}
    part = path.with_name(
        f".{FILE}.{os.getpid()}.part"
    )  # hidden: it does not make the folder one of other things
    try:
        part.write_text(json.dumps(row, indent=1) + "\n", encoding="utf-8")
        _move_first(part, path)
    except OSError as error:
        error.filename = error.filename or str(path)  # a full disk does not say which file it was
        raise
    finally:
        part.unlink(missing_ok=True)
    return path


def _move_first(part: Path, path: Path) -> None:
    """Move a file to where none is; where the file system knows no links (FAT), two in one moment may still meet."""
    try:
        path.hardlink_to(part)
    except FileExistsError:
        return
    except (OSError, NotImplementedError):
        if not path.exists():
            part.replace(path)
