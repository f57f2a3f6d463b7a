"""Reading what a learner typed: decimal comma or point, any minus sign, a unit if one was written.

An input that cannot be read costs no try; it gets a sentence saying what is wrong.
"""

from __future__ import annotations

import math
import re

_PATTERN = re.compile(r"([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*([A-Za-zµ°²%][A-Za-zµ°²0-9/%]*)?")
_MINUSES = str.maketrans(
    {"\u2212": "-", "\u2013": "-", "\u2010": "-", "\u2011": "-", "\u00a0": " ", "\u202f": " ", ",": "."}
)
LONGEST = 40


class Unreadable(ValueError):
    """A typed answer that is no answer yet; the message says what is wrong with it."""


def parse_number(raw: str, unit: str) -> float:
    """Return the number in a typed answer for a field in ``unit``.

    Raises Unreadable, one sentence, for a blank, for text that is no single number, and for another unit than the field's.
    """
    text = raw.strip().translate(_MINUSES).strip() if isinstance(raw, str) else ""
    if not text:
        raise Unreadable("nothing is written here yet")
    shown = raw.strip()[:LONGEST]
    match = _PATTERN.fullmatch(text) if len(text) <= LONGEST else None
    if match is None:
        raise Unreadable(f"{shown!r} is not one number; write it like -1234,5 or -1234.5")
    written = match.group(2)
    if written and written != unit:
        raise Unreadable(f"{shown!r} is in {written}; this field wants {unit}")
    value = float(match.group(1))
    if not math.isfinite(value):
        raise Unreadable(f"{shown!r} is not a finite number")
    return value
