"""What an act was told, checked: each function returns a value that can be used, or raises one sentence for the learner."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from course.boats.datasets import nearest

Args = dict[str, Any]


class SlipError(ValueError):
    """An act that cannot be done; the message is one sentence for the learner."""

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook shows: the sentence, and no traceback."""
        return [str(self)]


def one_of(args: Args, name: str, what: str, known: Iterable[str]) -> str:
    """Return the argument ``name``, one of the ``known`` names. Raises SlipError with the nearest for another."""
    value, options = args.get(name), list(known)
    if not isinstance(value, str) or value not in options:
        offered = ", ".join(repr(option) for option in options) or "none"
        raise SlipError(
            f"There is no {what} {value!r} here{nearest(str(value), options)}; there are {offered}."
        )
    return value


def one_or_none(args: Args, name: str, what: str, known: Iterable[str]) -> str | None:
    """Return the argument ``name``, one of the ``known`` names or None. Raises SlipError for another."""
    return None if args.get(name) is None else one_of(args, name, what, known)


def number(args: Args, name: str, what: str, low: float, high: float, unit: str) -> float:
    """Return the argument ``name`` as a number of ``unit`` from low to high. Raises SlipError for another."""
    value = args.get(name)
    found = value if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
    if not low <= found <= high:
        raise SlipError(f"The {what} is {value!r}; it can be {low:g} to {high:g} {unit}.")
    return float(found)


def truth(args: Args, name: str, sentence: str, otherwise: bool | None = None) -> bool:
    """Return the argument ``name``, True or False; left out it is ``otherwise``. Raises SlipError for another."""
    value = args.get(name, otherwise)
    if not isinstance(value, bool):
        raise SlipError(f"{sentence}, true or false; {value!r} is neither.")
    return value
