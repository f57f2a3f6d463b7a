"""What the exercises of module 01 share."""

from __future__ import annotations

from typing import Any

from course.boats.datasets import row

MODULE = "01_kinds_of_corrosion"
FITTINGS = ("silicon_bronze", "manganese_bronze", "mild_steel", "aluminium_5083", "naval_brass")
HOURS_IN_A_DAY = 24.0


def metal(name: str) -> dict[str, Any]:
    """Return a metal's row."""
    return row("metals", name)
