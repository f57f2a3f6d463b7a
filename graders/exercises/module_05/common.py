"""What the exercises of module 05 share."""

from __future__ import annotations

from course.boats.datasets import row

MODULE = "05_seasons"
HOURS_IN_A_DAY = 24.0
HALF = 0.5  # replace at half (common practice, no source)
SLOWER, FASTER = (
    0.7,
    1.2,
)  # how the next season's rate may differ from the last one's (common practice, no source)


def capacity_Ah_kg(alloy: str) -> float:
    """Return the charge that each kilogram of an anode alloy really gives [A h/kg], by DNV-RP-B401."""
    return float(row("anodes", alloy)["capacity_Ah_kg"])
