"""Fresh water: placeholder replaced below."""

from __future__ import annotations

from typing import Any

FRESH_BELOW = 0.0


def fresh_field(*_: Any) -> Any:
    """Return nothing yet."""
    raise NotImplementedError
