"""Compilation of the kernel by numba, with its cache in the user's own folder.

Compiling takes some ten seconds, loading what was compiled a fraction of one. The cache never lies beside the
code, which may be read-only and shared; its folder is named by everything the machine code depends on, so a
stale one is never loaded. Only `course.engine.compiled` imports this module, and only where numba is wanted.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from importlib import metadata
from pathlib import Path
from typing import Any, TypeVar, cast

F = TypeVar("F", bound=Callable[..., Any])

HERE = Path(__file__).parent
FUSED = {"contract"}  # a product and a sum may be rounded once; nothing else of fast mathematics
STAMP = "compiled-for"
# What the machine code of a family (a package beside this module: "kernel", "marina") is made from, beside itself.
SOURCES = ("jit.py", "kernel/*.py", "solve.py", "start.py", "terms.py", "tree.py", "water.py")


def user_cache() -> Path:
    """The folder in which this user's programs keep what they can make again."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")


def cache_folder(family: str = "kernel") -> Path:
    """The folder of a family's machine code: one for each text, place and time of its sources and versions.

    NUMBA_CACHE_DIR, where set, goes before the user's folder. Raises PackageNotFoundError without numba.
    """
    given = os.environ.get("NUMBA_CACHE_DIR")
    made_of = hashlib.sha256(f"{sys.version} numba {metadata.version('numba')} {HERE}".encode())
    for path in sorted({path for pattern in (f"{family}/*.py", *SOURCES) for path in HERE.glob(pattern)}):
        made_of.update(path.relative_to(HERE).as_posix().encode("utf-8"))
        made_of.update(path.read_bytes())
        made_of.update(str(path.stat().st_mtime_ns).encode())  # numba's own index goes by it
    return (Path(given) if given else user_cache() / "wetslip") / f"{family}-{made_of.hexdigest()[:16]}"


def host() -> str:
    """The processor that machine code is for; a home folder may be shared between unlike machines."""
    from llvmlite import binding

    return f"{binding.get_host_cpu_name()} {binding.get_host_cpu_features().flatten()}"


def is_compiled(folder: Path) -> bool:
    """Whether machine code for this processor lies in `folder`, whole."""
    try:
        return (folder / STAMP).read_text(encoding="utf-8") == host()
    except OSError:
        return False


def mark_compiled(folder: Path) -> None:
    """Say that what lies in `folder` is whole."""
    part = folder / f"{STAMP}.{os.getpid()}"
    part.write_text(host(), encoding="utf-8")
    part.replace(folder / STAMP)


def helper(function: F) -> F:
    """Compile as a part of the entries that call it."""
    import numba

    made: Any = numba.njit(error_model="numpy", fastmath=FUSED)(function)
    return cast(F, made)


def entry(signature: str) -> Callable[[F], F]:
    """Compile for one signature, or load it from the cache; other threads run meanwhile."""
    import numba

    settings: Any = numba.config

    def make(function: F) -> F:
        before = settings.CACHE_DIR
        family = function.__module__.split(".")[-2]
        settings.CACHE_DIR = str(cache_folder(family))
        try:
            made: Any = numba.njit(signature, cache=True, nogil=True, error_model="numpy", fastmath=FUSED)(
                function
            )
        finally:
            settings.CACHE_DIR = before
        return cast(F, made)

    return make
