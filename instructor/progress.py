"""The progress bar of long steps, on the error stream so that results can be piped."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterable, Iterator, Sized
from typing import TypeVar

Item = TypeVar("Item")


def doing(what: str) -> None:
    """Say to somebody who sits there what takes some seconds now and has no bar; to a file or a pipe nothing is said."""
    if sys.stderr.isatty():
        print(f"{what} ...", file=sys.stderr, flush=True)


def progress(items: Iterable[Item], what: str, total: int | None = None) -> Iterator[Item]:
    """Yield the items, showing how far it is; nothing is shown when there is nothing to do.

    Parameters
    ----------
    items : what is worked on, or what comes of it
    what : the words before the bar
    total : how many there are; may be left out for a sequence
    """
    from tqdm import tqdm

    # a lock of this process alone: tqdm's own is shared with every fork, and one killed in it would hold all others up
    tqdm.set_lock(threading.RLock())
    count = total if total is not None else len(items) if isinstance(items, Sized) else None
    if count != 0:
        yield from tqdm(items, desc=what, file=sys.stderr, mininterval=0.2, unit="learner", total=count)
