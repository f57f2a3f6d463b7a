"""Tables of hunts kept in the user's cache: what every fault would show is the same for everyone, and takes seconds to solve.

Only numbers are kept, under a name made of everything they depend on; a file that is missing or damaged is made anew, and
one that cannot be written is done without. Files may be deleted at any time.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from course.engine.jit import user_cache
from graders.versions import frozen_versions

UNREADABLE = (OSError, EOFError, ValueError, KeyError, BadZipFile)
Arrays = dict[str, NDArray[np.float64]]


@lru_cache(maxsize=1)
def _reckoning() -> str:
    """The physics, and the text of what reckons with it."""
    texts = (path.read_bytes().replace(b"\r\n", b"\n") for path in sorted(Path(__file__).parent.glob("*.py")))
    return frozen_versions()["physics"] + hashlib.sha256(b"".join(texts)).hexdigest()


def place(plan_json: str, instruments: tuple[str, ...]) -> Path:
    """Return where the table of a boat is kept."""
    made_of = "\n".join((_reckoning(), np.__version__, *instruments, plan_json))
    return (
        user_cache() / "wetslip" / "hunts" / f"{hashlib.sha256(made_of.encode('utf-8')).hexdigest()[:32]}.npz"
    )


def kept(path: Path, shapes: dict[str, tuple[int, ...]], make: Callable[[], Arrays]) -> Arrays:
    """Return the arrays kept at a path, or make them and keep them there."""
    with (
        contextlib.suppress(*UNREADABLE),
        path.open("rb") as stream,
        np.load(stream, allow_pickle=False) as file,
    ):
        found = {name: np.asarray(file[name], dtype=np.float64) for name in shapes}
        if {name: array.shape for name, array in found.items()} == shapes:
            return found
    made = make()
    with contextlib.suppress(OSError):
        _write(path, made)
    return made


def _write(path: Path, arrays: Arrays) -> None:
    """Write beside and put in place, so that nobody ever reads half a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    named: dict[str, Any] = dict(arrays)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            np.savez_compressed(stream, **named)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
