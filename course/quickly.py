"""Jupyter's libraries, imported without what takes two of their seconds."""

from __future__ import annotations

import importlib
import sys
from types import ModuleType

GRAMMAR = "rfc3987_syntax"


def quickly(name: str) -> ModuleType:
    """Return a module of Jupyter's, imported without a grammar of internationalised addresses.

    Jupyter's schema checker compiles that grammar as it is imported, if it finds one. No schema of a notebook or of an
    event asks for it, and without it the checker passes over that one format. What imports the checker must be imported so
    the first time; afterwards it makes no difference.
    """
    if GRAMMAR in sys.modules:
        return importlib.import_module(name)
    sys.modules[GRAMMAR] = None  # type: ignore[assignment] # how Python is told that there is no such module
    try:
        return importlib.import_module(name)
    finally:
        del sys.modules[GRAMMAR]
