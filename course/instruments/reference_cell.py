"""The silver/silver-chloride cell that hangs in the water: what its terminal says against the hydrogen scale.

Potentials in volts against SHE. Offsets while the film is wetted and while the cell lies in bed mud are declared models
(their sizes stand in ``datasets/reference_cells.yaml``).
"""

from __future__ import annotations

import math
from typing import Any

from course.engine import Water
from course.engine.constants import FARADAY, GAS_CONSTANT

REFERENCE_TEMPERATURE = 298.15


def settled_potential(row: dict[str, Any], water: Water) -> float:
    """Return the potential of a settled cell [V vs SHE] in this water.

    A cell open to the water follows its chloride by Nernst's law, E = E_ref - RT/F ln(a / a_ref); temperature enters
    through a linear coefficient. ``row`` is a row of the table of reference cells.
    """
    potential: float = row["potential_V_SHE"]
    potential += row.get("temperature_coefficient_V_per_K", 0.0) * (water.temperature - REFERENCE_TEMPERATURE)
    if row.get("open_to_water"):
        ratio = water.chloride_activity / row["chloride_activity_reference"]
        potential -= GAS_CONSTANT * water.temperature / FARADAY * math.log(ratio)
    return potential


def offset(row: dict[str, Any], minutes_wet: int, height_over_bed_m: float) -> float:
    """Return how far the cell is off its settled potential [V]: freshly wetted, or lying in the mud."""
    settling: float = row["settling_V"] * math.exp(-minutes_wet / row["settling_minutes"])
    mud: float = row["mud_V"] if height_over_bed_m < row["mud_height_m"] else 0.0
    return settling + mud
