"""What exercises on paper ask of the engine about metals: corrosion potentials, couples, metal lost."""

from __future__ import annotations

from functools import cache

import numpy as np

from course.boats.afloat import kinetics_of
from course.boats.datasets import row
from course.boats.personal import Draw
from course.engine import Water, free_corrosion_potential, penetration_mm_per_year
from course.engine.constants import ZERO_CELSIUS
from course.engine.couple import Couple, couple
from course.engine.uncertainty import DEVIATES
from course.instruments.reference_cell import convert, settled_potential

SEA_CELL = "silver_chloride_sea_water"


def label(metal: str) -> str:
    """Return a metal's name in words, as it stands in a sentence: passive stainless steel 316."""
    name = str(row("metals", metal)["label"])
    return f"passive {name.removesuffix(', passive')}" if name.endswith(", passive") else name


def published_mV(metal: str, cell: str = "saturated_calomel") -> float:
    """Return the middle of a metal's published range in flowing sea water [mV against a kind of cell]."""
    low, high = row("metals", metal)["flowing_range_mV_SCE"]
    return 1000 * convert((low + high) / 2000, "saturated_calomel", cell)


def sea_water(temperature_degC: float = 15.0, salinity: float = 35.0, flow_m_per_s: float = 0.02) -> Water:
    """Return water for the engine."""
    return Water(temperature=temperature_degC + ZERO_CELSIUS, salinity=salinity, flow=flow_m_per_s)


@cache
def free_mV(metal: str, water: Water, cell: str = SEA_CELL) -> float:
    """Return a lone metal's corrosion potential in a water [mV against a cell hanging in it]."""
    return 1000 * (
        free_corrosion_potential(kinetics_of(metal), water)
        - settled_potential(row("reference_cells", cell), water)
    )


@cache
def joined(
    metal: str, other: str, water: Water, area_m2: float, other_area_m2: float, ohm: float = 0.0
) -> Couple:
    """Return two metals wired together, as the engine's middle law has them (one draw, no spread)."""
    middle = np.zeros((1, 2, DEVIATES))
    return couple(kinetics_of(metal), kinetics_of(other), water, area_m2, other_area_m2, ohm, middle)


def eaten_mm_per_year(metal: str, current_density_A_m2: float) -> float:
    """Return how deep a current density eats into a metal."""
    its = row("metals", metal)
    return float(
        penetration_mm_per_year(current_density_A_m2, its["equivalent_weight_g"] * 1e-3, its["density_kg_m3"])
    )


def pick(draw: Draw, name: str, options: tuple[str, ...], count: int) -> tuple[str, ...]:
    """Return some of several options, all different, in a drawn order."""
    left = list(options)
    return tuple(
        left.pop(left.index(draw.choice(f"{name} {k}", tuple(left)))) for k in range(min(count, len(options)))
    )
