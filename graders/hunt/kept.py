"""Tables of hunts kept in the user's cache: what every fault would show is the same for everyone, and takes seconds to solve.

Only numbers are kept, under a name made of everything they depend on; see `course.boats.kept`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from course.boats import kept as cache
from course.boats.kept import Arrays
from graders.versions import frozen_versions


@lru_cache(maxsize=1)
def _reckoning() -> str:
    """The physics, instruments included, and the text of what reckons with it."""
    texts = (path.read_bytes().replace(b"\r\n", b"\n") for path in sorted(Path(__file__).parent.glob("*.py")))
    return frozen_versions()["physics"] + hashlib.sha256(b"".join(texts)).hexdigest()


def place(plan_json: str, instruments: tuple[str, ...]) -> Path:
    """Return where the table of a boat is kept."""
    return cache.place("hunts", "\n".join((_reckoning(), *instruments, plan_json)))


def kept(path: Path, shapes: dict[str, tuple[int, ...]], make: Callable[[], Arrays]) -> Arrays:
    """Return the arrays kept at a path, or make them and keep them there."""
    found = cache.read(path, lambda arrays: {name: a.shape for name, a in arrays.items()} == shapes)
    if found is None:
        found = make()
        cache.keep(path, found)
    return found
