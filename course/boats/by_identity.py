"""Results kept for the very object they were worked out from: a boat's own hash and comparison walk through all of her."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import TypeVar

Given = TypeVar("Given")
Found = TypeVar("Found")
MOST = 8  # objects whose results are kept; each is kept with its result, so that no other can take its place


def by_identity(work: Callable[[Given], Found]) -> Callable[[Given], Found]:
    """Return the same function of one unchanging object, which remembers what it found for the last few of them."""
    kept: OrderedDict[int, tuple[Given, Found]] = OrderedDict()

    @wraps(work)
    def remembered(given: Given) -> Found:
        found = kept.pop(id(given), None) or (given, work(given))
        kept[id(given)] = found
        while len(kept) > MOST:
            kept.popitem(last=False)
        return found[1]

    return remembered
