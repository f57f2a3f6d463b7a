"""Anodes for a hull by the published design method (DNV-RP-B401), from the numbers in datasets/protection.yaml."""

from __future__ import annotations

from dataclasses import dataclass

from course.boats.datasets import row
from course.boats.protection import anode_data, coating_of, design_current_density
from course.boats.waters import water_named
from course.engine.constants import YEAR
from course.engine.protection import SLENDER, Design, DesignAnode, anode_life, demand, design

STEEL_PROTECTED_V = -0.80  # against Ag/AgCl in sea water: DNV-RP-B401, transcription
ANODE_METALS = {"zinc": "zinc_anode", "aluminium": "aluminium_anode", "magnesium": "magnesium_anode"}


@dataclass(frozen=True)
class Plate:
    """A flush plate anode: length, width and thickness [m]."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class Sized:
    """A design: what the method says, one anode's mass [kg] and its utilisation, and how long `fitted` anodes last [s]."""

    design: Design
    each: float
    utilisation: float
    form: str
    fitted: int
    life: float


def sized(
    area: float, coating: str, water: str, years: float, alloy: str, plate: Plate, fitted: int = 0
) -> Sized:
    """Size flush anodes for `area` [m2] of steel under a coating category ("none", "I" to "IV") for `years`.

    alloy: zinc, aluminium or magnesium; fitted: how many are on the hull (0: as many as the method asks for). Demand and
    output are for the water of the panels that is named. Raises OutOfRange, EngineError, UnknownName.
    """
    bath, span = water_named(water), years * YEAR
    film = None if coating == "none" else coating_of(coating)
    wanted = demand(area, design_current_density(bath.celsius), span, film)
    closed, capacity = anode_data(alloy)
    form = "long flush" if plate.length >= SLENDER * plate.width else "short flush"
    use = row("protection", f"utilisation_{form.replace(' ', '_')}")["utilisation"]
    density = row("metals", ANODE_METALS[alloy])["density_kg_m3"]
    mass = density * plate.length * plate.width * plate.thickness
    anode = DesignAnode(
        "long flush" if form == "long flush" else "short flush",
        plate.length, mass, use, density, width=plate.width, thickness=plate.thickness,
    )  # fmt: skip
    found = design(wanted, span, anode, capacity, 1.0 / bath.conductivity, STEEL_PROTECTED_V, closed)
    number = fitted or found.number
    return Sized(found, mass, use, form, number, anode_life(number * mass, wanted.mean, use, capacity))
