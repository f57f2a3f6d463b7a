"""How long the sentences are: a school leaver reads them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from statistics import mean

from instructor.prose.texts import plain

MOST_MEAN_WORDS = 18
MOST_WORDS = 40  # a sentence longer than this is two
_ENDS = re.compile(r"(?<=[.!?])[\"')*]*\s+")
_MARKS = re.compile(r"^(?:[-*>]|\d+\.)+\s*|[*#|]")


def sentences(text: str) -> Iterator[str]:
    """Yield the sentences of a passage; titles, tables and lines of code are none."""
    block: list[str] = []
    for line in [*text.splitlines(), ""]:
        bare = line.strip().lstrip("> ")
        if bare and not bare.startswith(("#", "|", "```", "- ", "* ")) and not re.match(r"\d+\.\s", bare):
            block.append(bare)
            continue
        yield from _split(" ".join(block))
        block = [bare] if bare and not bare.startswith(("#", "|", "```")) else []
    yield from _split(" ".join(block))


def _split(text: str) -> Iterator[str]:
    for piece in _ENDS.split(text):
        words = _MARKS.sub("", piece).strip()
        if len(words.split()) > 2:
            yield words


def lengths(texts: Iterable[str]) -> list[tuple[int, str]]:
    """Return the number of words of each sentence of some passages, with the sentence; the longest first."""
    found = [(len(plain(each).split()), each) for text in texts for each in sentences(text)]
    return sorted(found, reverse=True)


def too_long(texts: Iterable[str]) -> Iterator[str]:
    """Yield a sentence where the mean of a file is too high, and for each sentence that is far too long."""
    found = lengths(texts)
    if found and (average := mean(words for words, _ in found)) > MOST_MEAN_WORDS:
        yield f"its sentences have {average:.1f} words on average; {MOST_MEAN_WORDS} is the most."
    for words, sentence in found:
        if words > MOST_WORDS:
            yield f"a sentence of {words} words: {sentence[:80]!r}..."
