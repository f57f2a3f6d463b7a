"""Arrays kept in the user's cache, under names made of everything they depend on; files may be deleted at any time.

What is missing or damaged is reckoned anew, and what cannot be written is done without. The cache does not grow without end:
each of its 256 drawers holds a few files, and the oldest go.
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

from course.boats.datasets import datasets_folder
from course.engine.jit import user_cache

UNREADABLE = (OSError, EOFError, ValueError, KeyError, BadZipFile)
IN_A_DRAWER = 16
Arrays = dict[str, NDArray[Any]]


@lru_cache(maxsize=1)
def _reckoning() -> str:
    """A fingerprint of what reckons: engine, boats, data, and numpy."""
    boats = Path(__file__).resolve().parent
    files = [
        *boats.rglob("*.py"),
        *(boats.parent / "engine").rglob("*.py"),
        *datasets_folder().rglob("*.yaml"),
    ]
    digest = hashlib.sha256(np.__version__.encode())
    for path in sorted(files):
        digest.update(path.name.encode("utf-8") + path.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def place(kind: str, key: str) -> Path:
    """Return where arrays of a kind are kept for a key, the text of everything they are made from."""
    name = hashlib.sha256(f"{_reckoning()}\n{key}".encode()).hexdigest()
    return user_cache() / "wetslip" / kind / name[:2] / f"{name[2:34]}.npz"


def read(path: Path, fits: Callable[[Arrays], bool]) -> Arrays | None:
    """Return the arrays kept at a path if they are what is wanted, or None; any other file there is removed."""
    with (
        contextlib.suppress(*UNREADABLE),
        path.open("rb") as stream,
        np.load(stream, allow_pickle=False) as file,
    ):
        found = {name: file[name] for name in file.files}
        if fits(found):
            return found
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
    return None


def keep(path: Path, arrays: Arrays) -> None:
    """Keep arrays at a path, unless a file is there or none can be written; the oldest files make room."""
    with contextlib.suppress(OSError):
        if not path.exists():
            _write(path, arrays)
            _clear(path.parent)


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


def _clear(drawer: Path) -> None:
    """Delete the oldest files of a drawer that holds too many."""
    files = list(drawer.iterdir())
    if len(files) > IN_A_DRAWER:
        by_age = sorted(files, key=lambda file: file.stat().st_mtime)
        for file in by_age[: len(files) - IN_A_DRAWER]:
            file.unlink(missing_ok=True)
