"""The silver/silver-chloride cell that hangs in the water: what its terminal says against the hydrogen scale.

Potentials in volts against SHE. Offsets while the film is wetted and while the cell lies in bed mud are declared models
(their sizes stand in ``datasets/reference_cells.yaml``).
"""

from __future__ import annotations

import math
from typing import Any

from course.boats.datasets import row
from course.engine import Water
from course.engine.constants import FARADAY, GAS_CONSTANT

REFERENCE_TEMPERATURE = 298.15


def settled_potential(cell: dict[str, Any], water: Water) -> float:
    """Return the potential of a settled cell [V vs SHE] in this water.

    A cell open to the water follows its chloride by Nernst's law, E = E_ref - RT/F ln(a / a_ref); temperature enters
    through a linear coefficient. ``cell`` is a row of the table of reference cells.
    """
    potential: float = cell["potential_V_SHE"]
    potential += cell.get("temperature_coefficient_V_per_K", 0.0) * (
        water.temperature - REFERENCE_TEMPERATURE
    )
    if cell.get("open_to_water"):
        ratio = water.chloride_activity / cell["chloride_activity_reference"]
        potential -= GAS_CONSTANT * water.temperature / FARADAY * math.log(ratio)
    return potential


def convert(potential: float, from_cell: str, to_cell: str) -> float:
    """Return a potential [V] read against one kind of cell as another would read it, both at 25 degC in their own filling.

    The kinds are the ids of the table of reference cells. Raises UnknownName, offering the nearest, for another.
    """
    here: float = row("reference_cells", from_cell)["potential_V_SHE"]
    there: float = row("reference_cells", to_cell)["potential_V_SHE"]
    return potential + here - there


def offset(cell: dict[str, Any], minutes_wet: int, height_over_bed_m: float) -> float:
    """Return how far the cell is off its settled potential [V]: freshly wetted, or lying in the mud."""
    settling: float = cell["settling_V"] * math.exp(-minutes_wet / cell["settling_minutes"])
    mud: float = cell["mud_V"] if height_over_bed_m < cell["mud_height_m"] else 0.0
    return settling + mud
