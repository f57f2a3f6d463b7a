"""Which engine and which data a mark rests on: frozen at release, compared at marking."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from pathlib import Path

import course
from course.boats.datasets import datasets_folder

PHYSICS = ("engine", "boats", "instruments")


@lru_cache(maxsize=1)
def frozen_versions() -> dict[str, str]:
    """Return the version of Wetslip and a fingerprint of everything a reading depends on."""
    package = Path(course.__file__).resolve().parent
    files = [path for folder in PHYSICS for path in (package / folder).rglob("*.py")]
    files += datasets_folder().rglob("*.yaml")
    fingerprint = hashlib.sha256()
    for path in sorted(files, key=lambda path: path.parts[-3:]):
        fingerprint.update(path.name.encode("utf-8"))
        fingerprint.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return {"wetslip": course.__version__, "physics": fingerprint.hexdigest()[:16]}
