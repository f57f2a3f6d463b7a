"""The roster of a class that runs: added to and corrected without losing anybody's work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from instructor.errors import ClassError
from instructor.files import write_text
from instructor.layout import ClassFolder
from instructor.marking.gradebook import open_gradebook, put_learners
from instructor.people.roster import Learner, columns_of, read_roster, roster_text


@dataclass(frozen=True)
class Enrolled:
    """Whom a change of the roster added and corrected, who was not in the file and stays, and what to release again."""

    added: tuple[str, ...]
    corrected: tuple[str, ...]
    missing: tuple[str, ...]
    to_release: tuple[str, ...]


def enrol_file(folder: ClassFolder, path: Path) -> Enrolled:
    """Take a newer roster file: who is new is added, who is known is corrected in the columns that it has.

    Nobody is taken out; see `instructor.people.removal`.

    Raises
    ------
    ClassError : the file is no roster, or an id differs from a known one by its capitals alone
    """
    given, columns = read_roster(path), columns_of(path)
    known = {learner.id: learner for learner in read_roster(folder.roster)}
    changed = [_merged(known.get(learner.id), learner, columns) for learner in given]
    missing = tuple(learner for learner in known if learner not in {one.id for one in given})
    return _enrolled(folder, known, changed, missing)


def enrol_one(folder: ClassFolder, learner: Learner, columns: Sequence[str]) -> Enrolled:
    """Add one learner, or correct the given columns of one who is known.

    Raises
    ------
    ClassError : a new learner has no name, or a value is unfit
    """
    known = {one.id: one for one in read_roster(folder.roster)}
    if learner.id not in known and not learner.name:
        raise ClassError(f"'{learner.id}' is not on the roster yet; to add them give a --name.")
    return _enrolled(folder, known, [_merged(known.get(learner.id), learner, columns)], ())


def _merged(before: Learner | None, given: Learner, columns: Sequence[str]) -> Learner:
    if before is None:
        return given
    return Learner(
        before.id,
        given.name if "name" in columns else before.name,
        given.email if "email" in columns else before.email,
        given.group if "group" in columns else before.group,
        given.extra_time if "extra time" in columns else before.extra_time,
    )


def _enrolled(
    folder: ClassFolder, known: dict[str, Learner], changed: Sequence[Learner], missing: tuple[str, ...]
) -> Enrolled:
    folded = {learner.casefold(): learner for learner in known}
    for learner in changed:
        other = folded.get(learner.id.casefold(), learner.id)
        if other != learner.id:
            raise ClassError(f"The id '{learner.id}' differs from '{other}' on the roster by capitals alone.")
    added = tuple(learner.id for learner in changed if learner.id not in known)
    corrected = tuple(one.id for one in changed if one.id in known and one != known[one.id])
    everyone = tuple({**known, **{learner.id: learner for learner in changed}}.values())
    checked = roster_text(everyone)
    if added or corrected:
        write_text(folder.roster, checked)
        read_roster(folder.roster)
        with open_gradebook(folder) as gradebook:
            put_learners(gradebook, everyone)
    return Enrolled(added, corrected, missing, _released(folder) if added else ())


def _released(folder: ClassFolder) -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in (folder.root / "released").glob("*.json")))
