"""The reference cell that hangs in the water: what its terminal says against the hydrogen scale, sound and ailing.

Potentials in volts against SHE. Offsets while the film is wetted and while the cell lies in bed mud are declared models
(their sizes stand in ``datasets/reference_cells.yaml``); so are the ailments, whose directions are real and whose sizes,
below, are invented. The liquid junction of a filled cell is left out.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from course.boats.datasets import row
from course.engine import Water
from course.engine.constants import FARADAY, GAS_CONSTANT
from course.instruments.noise import uniform

REFERENCE_TEMPERATURE = 298.15
DRY_PLUG_OHM, SOAKING_MINUTES = 6e6, 120.0  # a plug dried out: it soaks again within hours
DRY_PLUG_NOISE = 8.0  # a high source resistance picks up hum
CONTAMINATED_V = (-0.085, -0.035)  # sulphide or bromide on silver, chloride in copper sulphate: negative
FILMED_ZINC_V = (0.04, 0.09)  # zinc under a film of its own: positive
CRACK_MINUTES = 90.0
BARE_SOLDER_V = -0.12  # sea water at the joint inside an open cell: pulled towards tin and copper
CRACKED_OHM = 0.4  # of its sound resistance: the crack conducts beside the plug


class Terminal(NamedTuple):
    """A cell as the lead feels it: volts against SHE in still water, resistance [ohm], and how much it adds to noise."""

    volts: float
    ohm: float
    noise: float = 1.0


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


def terminal(
    cell: dict[str, Any], water: Water, minutes_wet: int, height_over_bed_m: float, condition: str, seed: str
) -> Terminal:
    """Return the terminal of a cell of ``condition`` good, dry, contaminated or cracked, ``minutes_wet`` after wetting.

    ``seed`` draws how badly it is contaminated. ``cell`` is a row of the table of reference cells.
    """
    volts = settled_potential(cell, water) + offset(cell, minutes_wet, height_over_bed_m)
    ohm: float = cell["resistance_ohm"]
    if condition == "dry":
        return Terminal(volts, ohm + DRY_PLUG_OHM * math.exp(-minutes_wet / SOAKING_MINUTES), DRY_PLUG_NOISE)
    if condition == "contaminated":
        return Terminal(volts + _contamination(cell, seed), ohm)
    if condition == "cracked":
        gone = 1 - math.exp(-minutes_wet / CRACK_MINUTES)
        return Terminal(volts + gone * _flooded(cell, water), ohm * (1 - gone * (1 - CRACKED_OHM)))
    return Terminal(volts, ohm)


def _contamination(cell: dict[str, Any], seed: str) -> float:
    low, high = FILMED_ZINC_V if cell["id"].startswith("zinc") else CONTAMINATED_V
    return low + (high - low) * uniform(seed, "contaminated", cell["id"])


def _flooded(cell: dict[str, Any], water: Water) -> float:
    """Return how far a cell whose body is full of the water outside is off its own potential [V].

    A saturated silver chloride cell becomes one open to the water; copper sulphate takes up chloride; in a cell that is open
    to the water anyway the sea reaches the joint of its lead. Zinc is bare metal: nothing to flood.
    """
    if cell["id"] == "silver_chloride_saturated":
        return settled_potential(
            row("reference_cells", "silver_chloride_sea_water"), water
        ) - settled_potential(cell, water)
    if cell["id"].startswith("zinc"):
        return 0.0
    return CONTAMINATED_V[0] if not cell.get("open_to_water") else BARE_SOLDER_V
