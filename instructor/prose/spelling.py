"""Spelling, British, by the word list of pyspellchecker and one of our own for the trade."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.prose.terms import listed
from instructor.prose.texts import plain

TRADE_WORDS = Path(__file__).with_name("trade_words.txt")
AMERICAN_WORDS = Path(__file__).with_name("american_words.txt")
_WORD = re.compile(r"[A-Za-zÀ-ž]+(?:['\u2019][a-z]+)?")
_AMERICAN = re.compile(r"[a-z]+(?:iz(?:e|ed|es|ing|er|ers|ation|ations)|yz(?:e|ed|es|ing))")
_ALWAYS_Z = re.compile(
    r"(?:\w*siz|priz|seiz|capsiz|bronz|glaz|freez|froz|breez|sneez|gauz|blaz|haz|maz|doz|squeez|horizon)\w*"
)


@cache
def _library() -> Any:
    try:
        from spellchecker import SpellChecker
    except ImportError as error:
        raise ClassError(
            "Spelling is checked with pyspellchecker; install it with 'pip install wetslip[test]'."
        ) from error
    return SpellChecker(language="en")


@cache
def _lists() -> tuple[frozenset[str], frozenset[str]]:
    return listed(TRADE_WORDS), listed(AMERICAN_WORDS)


def words_of(markdown: str) -> Iterator[str]:
    """Yield the words of a passage that spelling can judge: no single letters, no names in capitals."""
    for word in _WORD.findall(plain(markdown)):
        bare = re.sub(r"['\u2019]s$", "", word)
        if len(bare) > 1 and not bare.isupper():
            yield bare.replace("\u2019", "'")


def _american(word: str) -> bool:
    return word in _lists()[1] or bool(_AMERICAN.fullmatch(word) and not _ALWAYS_Z.fullmatch(word))


@cache
def _known(word: str) -> bool:
    return word in _lists()[0] or word in _library()


def misspelt(text: str) -> Iterator[str]:
    """Yield a sentence for each word of a passage that is spelt in no known way, or the American way; each once."""
    for word in dict.fromkeys(words_of(text)):
        small = word.lower()
        if _american(small):
            yield f"{word!r} is the American spelling."
        elif not _known(small):
            yield f"{word!r} is in no word list; if it is right, add it to {TRADE_WORDS.name}."
