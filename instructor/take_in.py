"""`wetslip class take-in`: originals kept aside; data and the released notebook go to be marked."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.check_cells import filled_with, notebook_bytes, read_notebook
from instructor.errors import ClassError, sentence_for
from instructor.files import read_regular, replace_folder
from instructor.handed_in import HandedIn, marked_files, read_handed_in
from instructor.layout import SECRET, TIMESTAMP, ClassFolder
from instructor.progress import progress
from instructor.released import read_released
from instructor.roster import read_roster

MAXIMUM_VERSION_BYTES = 200_000_000


@dataclass(frozen=True)
class TakenIn:
    """What came in, by learner id, and one sentence for each folder that was left where it is."""

    new: tuple[str, ...]
    unchanged: tuple[str, ...]
    problems: tuple[str, ...]
    absent: tuple[str, ...]


def take_in(folder: ClassFolder, module: str, place: Path) -> TakenIn:
    """Take in the folders of a whole class; one folder that is not in order keeps nobody else out.

    Parameters
    ----------
    folder : the class
    module : the released module
    place : the folder that holds one folder a learner

    Raises
    ------
    ClassError : the module is not released, or `place` is not such a folder
    """
    read_released(folder, module)
    notebook = notebook_bytes(filled_with(read_notebook(folder.release_notebook(module)), {})[0])
    roster = {learner.id: learner for learner in read_roster(folder.roster)}
    new: list[str] = []
    unchanged: list[str] = []
    problems: list[str] = []
    for path in progress(_learner_folders(place), f"taking in {module}"):
        try:
            handed_in = read_handed_in(path, module, folder, roster)
            (new if _keep(folder, module, handed_in, notebook) else unchanged).append(handed_in.learner)
        except ClassError as problem:
            problems.append(f"Not taken in, left where it is: {problem}")
        except OSError as problem:
            problems.append(f"Not taken in, left where it is: '{path.name}': {sentence_for(problem)}")
    absent = [learner for learner in roster if learner not in {*new, *unchanged}]
    return TakenIn(tuple(new), tuple(unchanged), tuple(problems), tuple(absent))


def _learner_folders(place: Path) -> Sequence[Path]:
    """Return the folders to look at, in order of name."""
    root = place.expanduser().absolute()
    if not root.is_dir():
        raise ClassError(f"There is no folder '{root}' to take in.")
    if (root / "learner.json").exists():
        raise ClassError(
            f"'{root}' is a learner's own folder; name the folder that holds the learners' folders."
        )
    folders = sorted(path for path in root.iterdir() if path.is_dir() and not path.name.startswith("."))
    if not folders:
        raise ClassError(f"'{root}' holds no learners' folders.")
    return folders


def _keep(folder: ClassFolder, module: str, handed_in: HandedIn, notebook: bytes) -> bool:
    """Keep one submission; return False when it is the version that came last and nothing was to be done."""
    versions = folder.received(handed_in.learner, module)
    last = _last_version(versions)
    target = folder.submitted(handed_in.learner, module)
    same = last is not None and _content(last, handed_in.files) == handed_in.files
    data = marked_files(handed_in)
    if same and (target / TIMESTAMP).exists() and _content(target, data, only=True) == data:
        return False
    now = datetime.now(UTC)
    if not same:
        replace_folder(_fresh_version(versions, now), handed_in.files, folder.work)
    replace_folder(target, _submission(handed_in, module, notebook, now), folder.work)
    return True


def _submission(handed_in: HandedIn, module: str, notebook: bytes, now: datetime) -> dict[str, bytes]:
    """Return what is marked: the learner's data, the released notebook, and the two files nbgrader wants."""
    return {
        **marked_files(handed_in),
        f"{module}.ipynb": notebook,
        TIMESTAMP: now.strftime("%Y-%m-%d %H:%M:%S.%f UTC").encode("ascii"),
        SECRET: secrets.token_hex(32).encode("ascii"),
    }


def _last_version(versions: Path) -> Path | None:
    """Return the newest kept version; names sort by time."""
    kept = sorted(path for path in versions.glob("*") if path.is_dir())
    return kept[-1] if kept else None


def _fresh_version(versions: Path, now: datetime) -> Path:
    """Return a folder name that is free and sorts after every one there."""
    number = 1 + max((int(path.name.split("-")[0]) for path in versions.glob("[0-9]*-*")), default=0)
    return versions / f"{number:04d}-{now:%Y%m%dT%H%M%SZ}"


def _content(folder: Path, wanted: dict[str, bytes], only: bool = False) -> dict[str, Any]:
    """Return what a folder of ours holds: the files wanted, and unless `only`, every other one too."""
    names = {*wanted} if only else {*wanted, *(path.name for path in folder.iterdir())}
    return {name: read_regular(folder / name, MAXIMUM_VERSION_BYTES) for name in names}
