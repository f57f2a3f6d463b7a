"""Names and numbers in sentences: a wrong name answered with the nearest right one, and how many there are of a thing."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def counted(number: int, thing: str) -> str:
    """Return "1 submission" or "2 submissions"; the thing's last word takes an s."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def nearest(name: str, known: Iterable[str]) -> str:
    """Return the end of a sentence: the one known name that begins so or is nearest, or else all of them."""
    names = sorted(known)
    begun = [each for each in names if name and each.startswith(name)]
    close = begun if len(begun) == 1 else difflib.get_close_matches(name, names, n=1)
    if close:
        return f"did you mean '{close[0]}'?"
    return f"there are: {', '.join(names) or 'none yet'}."
