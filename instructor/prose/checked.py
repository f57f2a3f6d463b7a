"""All checks of one file together."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from statistics import mean
from typing import NamedTuple

from instructor.errors import ClassError
from instructor.prose.links import bad_links, wordless_pictures
from instructor.prose.reading import lengths, too_long
from instructor.prose.spelling import misspelt
from instructor.prose.terms import unknown_terms
from instructor.prose.texts import Passage, passages


class Finding(NamedTuple):
    """Something to put right: in which file, where in it, and a sentence."""

    path: Path
    where: str
    says: str

    def __str__(self) -> str:
        """Return it as one line."""
        return f"{self.path}, {self.where}: {self.says}"


def files_under(folder: Path) -> Iterator[Path]:
    """Yield the notebooks and Markdown files below a folder, or the one file named."""
    if folder.is_file():
        yield folder
        return
    for path in sorted(folder.rglob("*")):
        if path.suffix in (".ipynb", ".md") and ".ipynb_checkpoints" not in path.parts:
            yield path


def _read(path: Path) -> list[Passage]:
    try:
        return list(passages(path))
    except (ValueError, KeyError, TypeError) as error:
        raise ClassError(f"{path} cannot be read as a notebook.") from error


def sentence_lengths(path: Path) -> tuple[float, int, str]:
    """Return the mean number of words of a file's sentences, the number of the longest, and that sentence."""
    found = lengths(text for _, text in _read(path))
    if not found:
        return 0.0, 0, ""
    return mean(words for words, _ in found), *found[0]


def check_file(path: Path) -> Iterator[Finding]:
    """Yield everything to be put right in a notebook or a Markdown file; terms and sentences are a notebook's only.

    Raises ClassError where it cannot be read.
    """
    found = _read(path)
    for where, text in found:
        says = [*bad_links(text, path), *wordless_pictures(text), *misspelt(text)]
        if path.suffix == ".ipynb":
            says += unknown_terms(text)
        yield from (Finding(path, where, each) for each in says)
    if path.suffix == ".ipynb":
        yield from (Finding(path, "as a whole", each) for each in too_long(text for _, text in found))
