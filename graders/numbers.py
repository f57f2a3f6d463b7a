"""Reading what a learner typed: decimal comma or point, any minus sign, a unit if one was written; and whether it was rounded.

An input that cannot be read costs no try; it gets a sentence saying what is wrong.
"""

from __future__ import annotations

import math
import re
from decimal import ROUND_DOWN, Decimal

from graders.units import same_unit

_PATTERN = re.compile(
    r"([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*([A-Za-zµ°²%Ω][A-Za-zµ°²0-9/%Ω^ ]*)?"
)
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
    if written and not same_unit(written, unit):
        raise Unreadable(f"{shown!r} is in {written}; this field wants {unit.replace('degC', '°C')}")
    value = float(match.group(1))
    if not math.isfinite(value):
        raise Unreadable(f"{shown!r} is not a finite number")
    return value


def rounded(value: float, figures: int) -> tuple[float, float]:
    """Return a value rounded, and cut off, to so many figures that count."""
    exact = Decimal(repr(value))
    cut = exact.quantize(Decimal(1).scaleb(exact.adjusted() - figures + 1), ROUND_DOWN)
    return float(f"{value:.{figures - 1}e}"), float(cut)


def is_rounded(value: float, truth: float) -> bool:
    """Return whether a value is the truth rounded, or cut off, to one or two figures that count."""
    return any(value in rounded(truth, figures) for figures in (1, 2))
