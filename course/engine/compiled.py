"""Whether and when the compiled kernel does the work: never while it would have to be compiled first.

A solve takes some milliseconds in plain numpy and microseconds in machine code; loading the machine code takes
half a second and compiling it some ten. So the first few solves of a process are numpy's; then the kernel is
loaded, if it lies compiled in the user's cache. `warm` compiles it. Without numba, or with nowhere to write,
numpy does everything: the answers are the same.
"""

from __future__ import annotations

import importlib
import time
from importlib.metadata import PackageNotFoundError
from pathlib import Path
from types import ModuleType

WORTH = 30  # solves or steps after which loading half a second of machine code pays
LOOK_EVERY = 5.0  # s between two looks for machine code that another process may be compiling
LARGEST = 60  # patches and nodes together: LAPACK is faster above


class _Readiness:
    """What is known about the kernel in this process."""

    def __init__(self) -> None:
        self.module: ModuleType | None = None
        self.work = 0
        self.look_again = 0.0


_here = _Readiness()


def kernel(size: int, work: int = 1) -> ModuleType | None:
    """Return the compiled kernel for a circuit of `size` patches and nodes, or None where numpy is to solve it.

    `work` is the number of solves the caller is about to do.
    """
    if size > LARGEST:
        return None
    if _here.module is None:
        _here.work += work
        if _here.work > WORTH and time.monotonic() >= _here.look_again:
            _here.look_again = time.monotonic() + LOOK_EVERY
            _here.module = _load(_folder(), compile_it=False)
    return _here.module


def batch_kernel() -> ModuleType | None:
    """Return the compiled kernel for batches, or None where it is not compiled yet: then boats are solved singly."""
    if kernel(1, WORTH + 1) is None:
        return None
    return importlib.import_module("course.engine.kernel.batch")


def season_kernel(size: int, work: int) -> ModuleType | None:
    """Return the compiled kernel of the seasons for a craft of `size` patches and nodes, or None; `work` as in `kernel`."""
    if kernel(size, work) is None:
        return None
    return importlib.import_module("course.engine.kernel.season")


def is_warm() -> bool:
    """Whether `warm` would compile nothing: it is done, or numba is missing and numpy does the work."""
    from course.engine import jit

    folder = _folder()
    return folder is None or jit.is_compiled(folder)


def warm() -> bool:
    """Load the compiled kernel, compiling it first where it is not in the user's cache yet (some ten seconds).

    Returns whether the kernel will be used: False without numba, or where the user's cache cannot be written.
    """
    if _here.module is None:
        _here.module = _load(_folder(), compile_it=True)
    return _here.module is not None


def _marina() -> None:
    importlib.import_module("course.engine.marina.solve")  # compiled as it is imported


def _field() -> None:
    from course.engine.field import Basin, plate, water_field

    sheet = plate((0.0, 0.0, -0.5), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), ([0.0, 1.0], [0.0, 1.0])).numbered(0)
    water_field(sheet, Basin(True, 2.0, 0.5)).to_points([[0.0, 0.0, -1.0]])  # compiled as it is used


OTHERS = {"marina": _marina, "field": _field}  # machine code that only some need, by family: what compiles it


def all_warm() -> bool:
    """Whether `warm_all` would compile nothing."""
    return is_warm() and not _cold()


def warm_all() -> bool:
    """Do as `warm`, and compile besides what only marinas and fields need (half a minute); returns what `warm` does.

    What has been compiled is marked, so that the next time nothing is loaded.
    """
    from course.engine import jit

    ready = warm()
    for family, folder in _cold().items() if ready else ():
        try:
            OTHERS[family]()
            folder.mkdir(parents=True, exist_ok=True)
            jit.mark_compiled(folder)
        except (ImportError, OSError, RuntimeError):  # it is compiled when it is used, or numpy does its work
            continue
    return ready


def _cold() -> dict[str, Path]:
    """The families besides the kernel that are not compiled yet, and where that is marked."""
    from course.engine import jit

    folders = {family: _folder(family) for family in OTHERS}
    return {name: folder for name, folder in folders.items() if folder and not jit.is_compiled(folder)}


def _folder(family: str = "kernel") -> Path | None:
    from course.engine import jit

    try:
        return jit.cache_folder(family)
    except (PackageNotFoundError, OSError, RuntimeError):  # no numba; sources unreadable; no home
        return None


def _load(folder: Path | None, compile_it: bool) -> ModuleType | None:
    from course.engine import jit

    if folder is None or not (compile_it or (folder / jit.STAMP).exists()):
        return None
    try:
        ready = jit.is_compiled(folder)
        if not (ready or compile_it):
            return None
        if not ready:
            folder.mkdir(parents=True, exist_ok=True)
        module = importlib.import_module("course.engine.kernel.newton")
        if not ready:
            for others in ("batch", "season"):
                importlib.import_module(f"course.engine.kernel.{others}")
            jit.mark_compiled(folder)
    except (ImportError, OSError, RuntimeError):  # no numba after all, or no folder that can be written
        return None
    return module
