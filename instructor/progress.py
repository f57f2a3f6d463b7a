"""The progress bar of long steps, on the error stream so that results can be piped."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from typing import TypeVar

Item = TypeVar("Item")


def progress(items: Sequence[Item], what: str) -> Iterator[Item]:
    """Yield the items, showing how far it is; nothing is shown when there is nothing to do."""
    from tqdm import tqdm

    if items:
        yield from tqdm(items, desc=what, file=sys.stderr, mininterval=0.2, unit="learner")
