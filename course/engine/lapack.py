"""scipy's linear algebra, loaded at the first use: it takes longer to load than all the rest of the engine."""

from __future__ import annotations

from typing import Any


def linalg() -> Any:
    """Return scipy.linalg; where the compiled kernel does the work it is never asked for."""
    import scipy.linalg

    return scipy.linalg
