"""Words in bold are terms of the glossary, beginnings of a line, numbers, or stand in a short list of plain words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from course.boats.glossary import terms

PLAIN_WORDS = Path(__file__).with_name("plain_bold.txt")
WORDS_TITLE = "## Words"
_BOLD = re.compile(r"\*\*(.+?)\*\*", re.DOTALL)
_STARTS = re.compile(r"(?:^|\n)[ \t]*(?:[-*>]|\d+\.|\|)?[ \t]*(?:>[ \t]*)?$")


def listed(path: Path) -> frozenset[str]:
    """Return the lines of a list of words, in small letters, without its remarks."""
    lines = (line.split("#")[0].strip().lower() for line in path.read_text(encoding="utf-8").splitlines())
    return frozenset(line for line in lines if line)


@cache
def _plain() -> frozenset[str]:
    return listed(PLAIN_WORDS)


@cache
def _terms() -> frozenset[str]:
    return frozenset(term.lower() for term in terms())


def is_term(words: str) -> bool:
    """Return whether words are a term of the glossary, in the singular or plural."""
    name = words.strip().lower()
    return name in _terms() or (name.endswith("s") and name[:-1] in _terms())


def unknown_terms(text: str) -> Iterator[str]:
    """Yield a sentence for each bold word of a passage that ought to be a term, and is none.

    In the words at the end of a module every bold one is a term. Elsewhere a bold beginning of a line, whole sentences and
    numbers are emphasis.
    """
    of_words = text.lstrip().startswith(WORDS_TITLE)
    for found in _BOLD.finditer(text):
        words = " ".join(found.group(1).split())
        emphasis = _STARTS.search(text[: found.start()]) or re.search(r"\d", words) or words[-1] in ".:?!,"
        if is_term(words) or (not of_words and (emphasis or words.lower() in _plain())):
            continue
        yield f"**{words}** is in bold and is no term of the glossary."
