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
    package, data = Path(course.__file__).resolve().parent, datasets_folder()
    files = {
        p.relative_to(package).as_posix(): p for folder in PHYSICS for p in (package / folder).rglob("*.py")
    }
    files |= {f"datasets/{p.relative_to(data).as_posix()}": p for p in data.rglob("*.yaml")}
    fingerprint = hashlib.sha256()
    for name in sorted(files):  # by the name within the house: a wheel and a checkout give the same
        fingerprint.update(name.encode("utf-8"))
        fingerprint.update(files[name].read_bytes().replace(b"\r\n", b"\n"))
    return {"wetslip": course.__version__, "physics": fingerprint.hexdigest()[:16]}
