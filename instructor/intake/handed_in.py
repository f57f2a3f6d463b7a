"""One learner's handed-in work, read without trusting anything in it."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from instructor.errors import ClassError, sentence_for
from instructor.intake.matching import Ask, whose
from instructor.intake.sources import Source, parents, unwrapped
from instructor.layout import ANSWERS, LEARNER, LEARNERS_FILES, LOGBOOK, ClassFolder
from instructor.people.roster import Learner

MAXIMUM_BYTES = {LEARNER: 64_000, ANSWERS: 20_000_000, LOGBOOK: 20_000_000}  # what marking reads
MAXIMUM_NOTEBOOK_BYTES = 50_000_000


@dataclass(frozen=True)
class Found:
    """Whose work of a module lies where: in `source`, in the folder `work` of it ('' or with its '/')."""

    learner: str
    source: Source
    work: str


@dataclass(frozen=True)
class HandedIn:
    """What one learner handed in of one module: file name -> content, the notebook as it came included."""

    learner: str
    files: dict[str, bytes]


@dataclass(frozen=True)
class Reader:
    """Reads what a class hands in of one module.

    `matches` are folder names that the instructor has matched to an id; `ask` asks for one more, or is None;
    `trusted` says that the folders' names are ids for certain, as nbgrader's exchange vouches for.
    """

    folder: ClassFolder
    module: str
    learners: Sequence[Learner]
    matches: Mapping[str, str]
    ask: Ask | None = None
    trusted: bool = False

    def find(self, source: Source) -> Found:
        """Return whose work a source holds, and where in it.

        Raises
        ------
        ClassError : one sentence that names the source; it is left as it is
        """
        _refuse_untouched(source, self.module)
        work = _work(source, self.module)
        if work is None:
            source = unwrapped(source)
            _refuse_untouched(source, self.module)
            work = _work(source, self.module)
        place = "" if work is None else work
        learner = self._identity(source, place)
        if work is None:
            raise ClassError(f"'{source.name}' holds nothing of the module '{self.module}'.")
        return Found(learner, source, work)

    def read(self, found: Found) -> HandedIn:
        """Return the files of a found work.

        Raises
        ------
        ClassError : a file is too large, damaged or no plain file
        """
        limits = {**MAXIMUM_BYTES, f"{self.module}.ipynb": MAXIMUM_NOTEBOOK_BYTES}
        read = {name: found.source.read(found.work + name, limit) for name, limit in limits.items()}
        content = {name: data for name, data in read.items() if data is not None}
        content[LEARNER] = json.dumps(
            {"schema": 1, "id": found.learner, "cohort": self.folder.cohort}, ensure_ascii=False
        ).encode("utf-8")
        return HandedIn(found.learner, content)

    def _identity(self, source: Source, work: str) -> str:
        """Return the learner's id once learner.json, roster and the source's name agree on it."""
        name = unicodedata.normalize("NFC", source.name)  # some systems take accents apart in file names
        vouched = self.trusted or name in self.matches
        says = _learner_file(source, work)
        if says is None and not vouched:
            raise ClassError(f"'{name}' holds no {LEARNER}, so it cannot be told whose work it is.")
        if says is None:
            return whose(name, None, self.learners, self.matches)
        learner, cohort = (_plain(says.get(key)) for key in ("id", "cohort"))
        if not isinstance(learner, str) or learner not in {one.id for one in self.learners}:
            raise ClassError(
                f"'{name}' is the work of {learner!r} by its {LEARNER}, and nobody on the roster has that id."
            )
        if learner != whose(name, learner, self.learners, self.matches, self.ask):
            raise ClassError(f"The folder '{name}' and its {LEARNER} disagree: that names '{learner}'.")
        if cohort != self.folder.cohort:
            raise ClassError(
                f"'{name}' was worked with the cohort code {cohort!r}, and this class has "
                f"'{self.folder.cohort}', so its boats are other ones."
            )
        return learner


def marked_files(handed_in: HandedIn) -> dict[str, bytes]:
    """Return only the files that marking reads."""
    return {name: data for name, data in handed_in.files.items() if name in LEARNERS_FILES}


def settled(reader: Reader, sources: Sequence[Source], problems: list[str]) -> list[Found]:
    """Return one found work a learner; of two that differ neither is taken, and a sentence goes to `problems`."""
    by_learner: dict[str, list[Found]] = {}
    for source in sources:
        try:
            found = reader.find(source)
        except ClassError as problem:
            problems.append(str(problem))
        except OSError as problem:
            problems.append(f"'{source.name}': {sentence_for(problem)}")
        else:
            by_learner.setdefault(found.learner, []).append(found)
    for learner, works in list(by_learner.items()):
        if len(works) > 1 and not _alike(reader, works, problems):
            del by_learner[learner]
    return [works[0] for works in by_learner.values()]


def _alike(reader: Reader, works: list[Found], problems: list[str]) -> bool:
    try:
        first, *others = [reader.read(work) for work in works]
    except ClassError as problem:
        problems.append(str(problem))
        return False
    if all(other == replace(first) for other in others):
        return True
    names = " and ".join(f"'{work.source.name}'" for work in works)
    problems.append(
        f"{names} are all the work of '{first.learner}' and differ; leave only the one that counts."
    )
    return False


def _refuse_untouched(source: Source, module: str) -> None:
    """Refuse a source that holds a link in place of the work, or anything in a zip that is not to be touched."""
    refused = source.refused
    if refused.get("") is not None:
        raise ClassError(f"'{source.name}' {refused['']}, and is not followed.")
    if hasattr(source, "archive"):
        for path, why in refused.items():
            raise ClassError(f"'{path}' in '{source.archive.name}' {why}, so nothing of it is taken in.")
    if module in refused:
        raise ClassError(
            f"'{source.name}' holds a link in place of the folder '{module}', and it is not followed."
        )


def _work(source: Source, module: str) -> str | None:
    """Return the folder in a source that holds the module's work, or None.

    Raises
    ------
    ClassError : there are two such folders
    """
    wanted = {ANSWERS, LOGBOOK, f"{module}.ipynb"}
    places = {path.rpartition("/")[0] for path in source.paths() if path.rpartition("/")[2] in wanted}
    named = sorted(place for place in places if place.split("/")[-1] == module)
    if len(named) > 1:
        raise ClassError(
            f"'{source.name}' holds the folder '{module}' twice, as '{named[0]}' and '{named[1]}'; "
            "leave only the one that counts."
        )
    if named:
        return f"{named[0]}/"
    return "" if "" in places else None


def _plain(value: Any) -> Any:
    return unicodedata.normalize("NFC", value) if isinstance(value, str) else value


def _learner_file(source: Source, work: str) -> dict[str, Any] | None:
    """Return what the nearest learner.json above the work, or else in it, says; None when there is none.

    Raises
    ------
    ClassError : it is not JSON
    """
    above = list(parents(work.rstrip("/"))) if work else []
    content = None
    for place in [*above, work]:
        content = source.read(f"{place}{LEARNER}", MAXIMUM_BYTES[LEARNER])
        if content is not None:
            break
    if content is None:
        return None
    try:
        says = json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        says = None
    if not isinstance(says, dict):
        raise ClassError(
            f"The {LEARNER} of '{source.name}' is damaged, so it cannot be told whose work it is."
        )
    return says
