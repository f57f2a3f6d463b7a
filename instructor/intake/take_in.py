"""`wetslip class take-in`: originals kept aside; data and the released notebook go to be marked."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.errors import ClassError, sentence_for
from instructor.files import read_regular, replace_folder
from instructor.handout.check_cells import filled_with, plain_bytes, read_plain
from instructor.handout.released import read_released
from instructor.intake.handed_in import HandedIn, Reader, marked_files, settled
from instructor.intake.matching import Ask, keep_matches, parse_matches, read_matches
from instructor.intake.sources import Source, sources_in
from instructor.layout import SECRET, TIMESTAMP, ClassFolder
from instructor.people.roster import read_roster
from instructor.progress import progress

MAXIMUM_VERSION_BYTES = 200_000_000
STAMP = "%Y%m%dT%H%M%SZ"
LEFT = "Not taken in, left where it is: "


@dataclass(frozen=True)
class TakenIn:
    """What came in, by learner id, one sentence for each folder that was left where it is, and of whom nothing has come yet."""

    new: tuple[str, ...]
    unchanged: tuple[str, ...]
    problems: tuple[str, ...]
    absent: tuple[str, ...]


@dataclass(frozen=True)
class How:
    """How a taking-in goes: names matched on the command line, who is asked, and when it all came in.

    `trusted` says that the sources' names are ids for certain; `times` are their own times of arrival, by id.
    """

    matches: Sequence[str] = ()
    ask: Ask | None = None
    at: datetime | None = None
    trusted: bool = False
    times: Mapping[str, datetime] = field(default_factory=dict)


def take_in(folder: ClassFolder, module: str, place: Path, how: How | None = None) -> TakenIn:
    """Take in the work of a whole class from a folder or a zip; one that is not in order keeps nobody else out.

    Parameters
    ----------
    folder : the class
    module : the released module
    place : a folder, or a zip, that holds one folder or zip a learner
    how : matched names, and the time that counts as the time of handing in (default: now)

    Raises
    ------
    ClassError : the module is not released, or `place` is not such a folder
    """
    read_released(folder, module)
    sources, problems = sources_in(place)
    return take_in_sources(folder, module, sources, how or How(), problems)


def take_in_sources(
    folder: ClassFolder, module: str, sources: Sequence[Source], how: How, problems: Sequence[str] = ()
) -> TakenIn:
    """Take in work from sources that are known already; see `take_in`."""
    notebook = plain_bytes(filled_with(read_plain(folder.release_notebook(module)), {})[0])
    learners = read_roster(folder.roster)
    matches = {**read_matches(folder), **parse_matches(how.matches, learners)}
    asked = _Asked(how.ask, matches)
    reader = Reader(folder, module, learners, matches, asked if how.ask else None, how.trusted)
    new: list[str] = []
    unchanged: list[str] = []
    left = list(problems)
    for found in progress(settled(reader, sources, left), f"taking in {module}"):
        when = how.times.get(found.learner) or how.at or datetime.now(UTC)
        try:
            kept = _keep(folder, module, reader.read(found), notebook, when)
            (new if kept else unchanged).append(found.learner)
        except ClassError as problem:
            left.append(str(problem))
        except OSError as problem:
            left.append(f"'{found.source.name}': {sentence_for(problem)}")
    if matches != read_matches(folder):
        keep_matches(folder, matches)
    absent = [learner.id for learner in learners if not folder.submitted(learner.id, module).is_dir()]
    sentences = tuple(LEFT + sentence for sentence in left)
    return TakenIn(tuple(sorted(new)), tuple(sorted(unchanged)), sentences, tuple(absent))


class _Asked:
    """Asks the instructor whose a folder is, and remembers the answer."""

    def __init__(self, ask: Ask | None, matches: dict[str, str]) -> None:
        self._ask, self._matches = ask, matches

    def __call__(self, name: str, question: str) -> str:
        answer = self._ask(name, question).strip() if self._ask else ""
        if answer:
            self._matches[name] = answer
        return answer


def _keep(folder: ClassFolder, module: str, handed_in: HandedIn, notebook: bytes, now: datetime) -> bool:
    """Keep one submission; return False when it is the version that came last and nothing was to be done."""
    versions = folder.received(handed_in.learner, module)
    last = _last_version(versions)
    target = folder.submitted(handed_in.learner, module)
    same = last is not None and _content(last, handed_in.files) == handed_in.files
    data = marked_files(handed_in)
    if same and (target / TIMESTAMP).exists() and _content(target, data, only=True) == data:
        return False
    if last is not None and same:
        now = _time_of(last)  # what is marked was lost, and is made again as it first came in
    else:
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
    return versions / f"{number:04d}-{now.strftime(STAMP)}"


def _time_of(version: Path) -> datetime:
    """Return when a kept version came in, from its name."""
    return datetime.strptime(version.name.split("-")[-1], STAMP).replace(tzinfo=UTC)


def _content(folder: Path, wanted: dict[str, bytes], only: bool = False) -> dict[str, Any]:
    """Return what a folder of ours holds: the files wanted, and unless `only`, every other one too."""
    names = {*wanted} if only else {*wanted, *(path.name for path in folder.iterdir())}
    return {name: read_regular(folder / name, MAXIMUM_VERSION_BYTES) for name in names}
