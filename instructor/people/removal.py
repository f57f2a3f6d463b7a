"""A learner taken out of a class wholly: roster, gradebook, work, marks, pages, slips, terms and history."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from course.quickly import quickly
from instructor.errors import ClassError
from instructor.files import read_json, remove_folder, write_json, write_text
from instructor.handout.terms import read_terms, without, write_terms
from instructor.intake.matching import keep_matches, read_matches
from instructor.layout import ClassFolder
from instructor.marking.gradebook import nbgraders_own
from instructor.people.roster import find, read_roster, roster_text
from instructor.progress import doing
from instructor.records.history import forget

BY_LEARNER = ("received", "submitted", "autograded", "marks", "feedback")


def holdings(folder: ClassFolder, learner: str) -> list[Path]:
    """Return the folders and files of a class that are a learner's alone, or name them and are made again.

    Raises
    ------
    ClassError : nobody on the roster has the id
    """
    find(read_roster(folder.roster), learner)
    own = [folder.root / step / learner for step in BY_LEARNER]
    made = [folder.root / name for name in ("reports", "exports", "paper")]
    made += sorted(
        folder.root.glob("gradebook-before-*.db")
    )  # kept by 'restore --gradebook'; they name everyone
    return [path for path in (*own, *own_slips(folder, learner), *made) if path.exists()]


def own_slips(folder: ClassFolder, learner: str) -> list[Path]:
    """Return the stored slips that are this learner's and nobody else's."""
    mine: set[str] = set()
    others: set[str] = set()
    for path in (folder.root / "released").glob("*.json"):
        for who, slips in read_json(path, "the index of the release").get("slips", {}).items():
            (mine if who == learner else others).update(slips.values())
    return [folder.slip(digest) for digest in sorted(mine - others)]


def remove(folder: ClassFolder, learner: str) -> list[Path]:
    """Remove a learner and everything that tells of them; return the folders and files deleted.

    The class's reports, exports and sheets on paper name everyone, so they go too and are to be made again. A kill in the middle is
    mended by running it again: the roster's line goes last.

    Raises
    ------
    ClassError : nobody on the roster has the id, or nobody else would be left
    """
    learners = read_roster(folder.roster)
    others = [one for one in learners if one.id != find(learners, learner).id]
    if not others:
        raise ClassError(
            f"'{learner}' is the only one on the roster; to remove a whole class delete its folder."
        )
    gone = holdings(folder, learner)
    _from_gradebook(folder, learner)
    for path in gone:
        _delete(path)
    for path in (folder.root / "released").glob("*.json"):
        index = read_json(path, "the index of the release")
        if index.get("slips", {}).pop(learner, None) is not None:
            write_json(path, index)
    for path in (folder.root / "terms").glob("*.json"):
        write_terms(folder, path.stem, without(read_terms(folder, path.stem), learner))
    matches = {name: who for name, who in read_matches(folder).items() if who != learner}
    if matches != read_matches(folder):
        keep_matches(folder, matches)
    names = folder.root / "pseudonyms.json"
    if names.exists():
        kept = {
            who: name for who, name in read_json(names, "the list of pseudonyms").items() if who != learner
        }
        write_json(names, kept)
    forget(folder.root, learner)
    write_text(folder.roster, roster_text(others))
    return gone


def _from_gradebook(folder: ClassFolder, learner: str) -> None:
    doing("Taking them out of the gradebook")
    quickly("nbformat")  # before nbgrader imports it the slow way
    from nbgrader.api import MissingEntry

    with nbgraders_own(folder) as gradebook:
        try:
            gradebook.remove_student(learner)
        except MissingEntry:
            return
    with closing(sqlite3.connect(folder.root / "gradebook.db")) as database:
        database.execute("vacuum")  # else what was deleted stays readable in the file


def _delete(path: Path) -> None:
    if path.is_dir():
        remove_folder(path)
    else:
        path.unlink(missing_ok=True)


def summary(folder: ClassFolder, paths: Sequence[Path]) -> list[str]:
    """Return the paths as they are called within the class folder."""
    return [path.relative_to(folder.root).as_posix() for path in paths]
