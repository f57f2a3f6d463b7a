"""Whose work a folder is, when mail or a learning platform has named it: matched or asked about, never guessed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence

from instructor.errors import ClassError
from instructor.files import read_json, write_json
from instructor.layout import ClassFolder
from instructor.people.roster import Learner, find

Ask = Callable[[str, str], str]  # a folder's name and a question about it -> an id, or nothing


def plain(text: str) -> str:
    """Return text in one form of accents and without capitals, for comparing."""
    return unicodedata.normalize("NFC", text).casefold()


def candidates(name: str, learners: Sequence[Learner]) -> list[Learner]:
    """Return whom a folder's name can mean: by id, by e-mail, or by every word of the name.

    An id or e-mail must stand by itself in the folder's name; the words of a name may stand in any order, or be
    written together.
    """
    said = plain(name)
    exact = [learner for learner in learners if plain(learner.id) == said]
    return exact or [learner for learner in learners if _named(said, learner)]


def _named(said: str, learner: Learner) -> bool:
    if any(mark and _alone(plain(mark), said) for mark in (learner.id, learner.email)):
        return True
    words, names = set(_words(said)), _words(plain(learner.name))
    if len(names) < 2:
        return False
    return words.issuperset(names) or bool(words & {"".join(names), "".join(reversed(names))})


def _alone(mark: str, said: str) -> bool:
    return re.search(rf"(?<![^\W_]){re.escape(mark)}(?![^\W_])", said) is not None


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text)


def whose(
    name: str,
    says: str | None,
    learners: Sequence[Learner],
    matches: Mapping[str, str],
    ask: Ask | None = None,
) -> str:
    """Return the id of the learner whose folder this is.

    Parameters
    ----------
    name : the folder's name
    says : the id in its learner.json, or None
    learners : the roster
    matches : names the instructor has matched already, folder name -> id
    ask : how the instructor is asked, or None when nobody is there to answer

    Raises
    ------
    ClassError : nobody, or more than one, can be meant; the sentence says how to match it
    """
    told = matches.get(unicodedata.normalize("NFC", name))
    if told is not None:
        return find(learners, told).id
    found = candidates(name, learners)
    if len(found) == 1:
        return found[0].id
    question = _question(name, says, found, learners)
    answer = ask(name, question).strip() if ask else ""
    if answer:
        return find(learners, answer).id
    claims = not found and any(learner.id == says for learner in learners)
    if claims:
        raise ClassError(f"{question} If that is so, say it with --match '{name}={says}'.")
    raise ClassError(f"{question} Say whose it is with --match '{name}=ID'.")


def _question(name: str, says: str | None, found: Sequence[Learner], learners: Sequence[Learner]) -> str:
    if found:
        people = ", ".join(f"'{learner.id}' ({learner.name})" for learner in found)
        return f"The name '{name}' fits {len(found)} on the roster: {people}."
    claim = next((learner for learner in learners if learner.id == says), None)
    if claim is None:
        return f"The name '{name}' fits nobody on the roster."
    return f"The name '{name}' fits nobody on the roster, and its learner.json names '{claim.id}' ({claim.name})."


def read_matches(folder: ClassFolder) -> dict[str, str]:
    """Return what the instructor has matched so far, folder name -> id."""
    path = folder.root / "matches.json"
    content = read_json(path, "the file of matched names") if path.exists() else {}
    return {str(name): str(learner) for name, learner in content.items()} if isinstance(content, dict) else {}


def keep_matches(folder: ClassFolder, matches: Mapping[str, str]) -> None:
    """Keep them for the next time the same names come in."""
    write_json(folder.root / "matches.json", dict(sorted(matches.items())))


def parse_matches(given: Sequence[str], learners: Sequence[Learner]) -> dict[str, str]:
    """Read `FOLDER=ID` as given on the command line.

    Raises
    ------
    ClassError : there is no '=' in one, or nobody has the id
    """
    matches: dict[str, str] = {}
    for text in given:
        name, sign, learner = text.rpartition("=")
        if not sign or not name:
            raise ClassError(f"'{text}' is no match; write it as 'FOLDER=ID'.")
        matches[unicodedata.normalize("NFC", name)] = find(learners, learner.strip()).id
    return matches
