"""One learner's handed-in folder, read without trusting anything in it."""

from __future__ import annotations

import json
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.files import read_regular
from instructor.layout import ANSWERS, LEARNER, LEARNERS_FILES, LOGBOOK, ClassFolder
from instructor.roster import Learner

MAXIMUM_BYTES = {LEARNER: 64_000, ANSWERS: 20_000_000, LOGBOOK: 20_000_000}  # what marking reads
MAXIMUM_NOTEBOOK_BYTES = 50_000_000


@dataclass(frozen=True)
class HandedIn:
    """What one learner handed in of one module: file name -> content, the notebook as it came included."""

    learner: str
    files: dict[str, bytes]


def read_handed_in(place: Path, module: str, folder: ClassFolder, roster: dict[str, Learner]) -> HandedIn:
    """Read one learner's folder: learner.json with the module's folder beside it, or all in one.

    Parameters
    ----------
    place : the learner's folder, named by the learner's id
    module : the module that is taken in
    folder, roster : the class, its learners by id

    Raises
    ------
    ClassError : one sentence that names the folder; the folder is left as it is
    """
    if place.is_symlink():
        raise ClassError(f"'{place.name}' is a link to another folder, and is not followed.")
    inside = place / module
    if inside.is_symlink():
        raise ClassError(
            f"'{place.name}' holds a link in place of the folder '{module}', and it is not followed."
        )
    work = inside if inside.is_dir() else place
    learner = _identity(place, work, folder, roster)
    notebook = f"{module}.ipynb"
    limits = {**MAXIMUM_BYTES, notebook: MAXIMUM_NOTEBOOK_BYTES}
    found = {name: read_regular(work / name, limit) for name, limit in limits.items()}
    if all(found[name] is None for name in (ANSWERS, LOGBOOK, notebook)):
        raise ClassError(f"'{place.name}' holds nothing of the module '{module}'.")
    content = {name: data for name, data in found.items() if data is not None}
    content[LEARNER] = json.dumps(
        {"schema": 1, "id": learner, "cohort": folder.cohort}, ensure_ascii=False
    ).encode("utf-8")
    return HandedIn(learner, content)


def marked_files(handed_in: HandedIn) -> dict[str, bytes]:
    """Return only the files that marking reads."""
    return {name: data for name, data in handed_in.files.items() if name in LEARNERS_FILES}


def _identity(place: Path, work: Path, folder: ClassFolder, roster: dict[str, Learner]) -> str:
    """Return the learner's id once learner.json, roster and folder name agree on it."""
    name = unicodedata.normalize("NFC", place.name)  # some systems take accents apart in file names
    says = _learner_file(place) or (_learner_file(work) if work != place else None)
    if says is None:
        raise ClassError(f"'{name}' holds no {LEARNER}, so it cannot be told whose work it is.")
    learner, cohort = (_plain(says.get(key)) for key in ("id", "cohort"))
    if not isinstance(learner, str) or learner not in roster:
        raise ClassError(
            f"'{name}' is the work of {learner!r} by its {LEARNER}, and nobody on the roster has that id."
        )
    if learner != name:
        raise ClassError(f"The folder '{name}' and its {LEARNER} disagree: that names '{learner}'.")
    if cohort != folder.cohort:
        raise ClassError(
            f"'{name}' was worked with the cohort code {cohort!r}, and this class has '{folder.cohort}', "
            "so its boats are other ones."
        )
    return learner


def _plain(value: Any) -> Any:
    return unicodedata.normalize("NFC", value) if isinstance(value, str) else value


def _learner_file(place: Path) -> dict[str, Any] | None:
    """Return what a folder's learner.json says, {} when it is not JSON, None when there is none."""
    content = read_regular(place / LEARNER, MAXIMUM_BYTES[LEARNER])
    if content is None:
        return None
    try:
        says = json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        says = None
    if not isinstance(says, dict):
        raise ClassError(
            f"The {LEARNER} of '{place.name}' is damaged, so it cannot be told whose work it is."
        )
    return says
