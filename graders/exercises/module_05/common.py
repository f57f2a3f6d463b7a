"""What the exercises of module 05 share."""

from __future__ import annotations

from course.boats.datasets import row
from course.engine.faraday import capacity_ampere_hours_per_kg

MODULE = "05_seasons"
HOURS_IN_A_DAY = 24.0
EFFICIENCY = 0.95  # of an anode's charge does useful work (common practice, no source)
HALF = 0.5  # replace at half (common practice, no source)
SLOWER, FASTER = (
    0.7,
    1.2,
)  # how the next season's rate may differ from the last one's (common practice, no source)


def capacity_Ah_kg(alloy: str) -> float:
    """Return the charge in each kilogram of an alloy by Faraday's law [A h/kg]."""
    return capacity_ampere_hours_per_kg(float(row("metals", alloy)["equivalent_weight_g"]) * 1e-3)
