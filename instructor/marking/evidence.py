"""What a mark is made from, as fingerprints: while they stand, so does the mark."""

from __future__ import annotations

import hashlib
import os
import stat
from functools import lru_cache
from pathlib import Path

from instructor.handout.released import Released
from instructor.layout import ANSWERS, LOGBOOK, ClassFolder

NONE = "none"


def evidence_of(folder: ClassFolder, released: Released, learner: str) -> dict[str, str]:
    """Return the fingerprints of everything one learner's marks of a module depend on."""
    work = folder.submitted(learner, released.module)
    slips = hashlib.sha256()
    for exercise, digest in sorted(released.slips.get(learner, {}).items()):
        slips.update(f"{exercise} {digest} {fingerprint(folder.slip(digest))}\n".encode())
    return {
        "answers": fingerprint(work / ANSWERS),
        "logbook": fingerprint(work / LOGBOOK),
        "slips": slips.hexdigest()[:16],
        "physics": str(released.versions.get("physics", NONE)),
        "marking": marking_version(),
    }


def fingerprint(path: Path) -> str:
    """Return a file's fingerprint: its size and what marking reads of it; a link is not followed."""
    from graders.submission import LARGEST_BYTES

    try:
        kind = path.lstat().st_mode
        if not stat.S_ISREG(kind):
            return "no plain file"
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
        with os.fdopen(os.open(path, flags), "rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            return fingerprint_of(stream.read(LARGEST_BYTES + 1), size)
    except OSError:
        return NONE


def fingerprint_of(content: bytes, size: int | None = None) -> str:
    """Return the fingerprint of a file that holds this, or begins with it and has `size` bytes."""
    return f"{len(content) if size is None else size}-{hashlib.sha256(content).hexdigest()[:16]}"


@lru_cache(maxsize=1)
def marking_version() -> str:
    """Return the fingerprint of the exercises and of all that marks them."""
    import graders

    home = Path(graders.__file__).parent
    made_of = hashlib.sha256()
    for path in sorted(home.rglob("*.py")):
        made_of.update(path.relative_to(home).as_posix().encode())
        made_of.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return made_of.hexdigest()[:16]
