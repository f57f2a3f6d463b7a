"""A wrong name answered with the nearest right one."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(name: str, known: Iterable[str]) -> str:
    """Return the end of a sentence: the nearest known name, or all of them when none is near."""
    names = sorted(known)
    close = difflib.get_close_matches(name, names, n=1)
    if close:
        return f"did you mean '{close[0]}'?"
    return f"there are: {', '.join(names) or 'none yet'}."
