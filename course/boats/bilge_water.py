"""Bilge water as a node of the network: what it touches, and through what.

Each contact is the water's resistance (from its cell length), the rest potential of the metal, and two opposed
exponentials for the metal's surface. Without the last two, bilge water would join metals of unlike kind as a wire does.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from course.boats.boat_systems import BILGE_WATER
from course.boats.datasets import kinetics_of
from course.boats.description import Boat
from course.engine import Water, free_corrosion_potential, isolator
from course.engine.leakage import leak
from course.engine.pieces import Pieces

WETNESS = {"dry": 0.0, "damp": 0.2, "wet": 1.0}  # share of the described cell length under water (declared)
SURFACE_A_PER_M = (
    1e-4  # exchange current over cell length (declared): about 1 mA/m2 on a tenth of a metre squared
)
SURFACE_EMISSION = 2.0  # 120 mV a decade at 25 degC, one junction (declared)
INSIDE_ALLOY = {"engine": "cast_iron", "fitting": "stainless_316_passive"}


def bilge_nodes(boat: Boat) -> tuple[str, ...]:
    """Return the names of the nodes that bilge water needs: itself, and the surface of each metal it touches."""
    if boat.bilge is None or boat.bilge.water == "dry":
        return (BILGE_WATER,)
    return (BILGE_WATER, *(f"{BILGE_WATER}:{contact.to}" for contact in boat.bilge.contacts))


def alloy_in_bilge(boat: Boat, member: str) -> str:
    """Return the alloy of a member as bilge water meets it."""
    alloys = {m.id: m.metal for m in boat.metals} | {m.id: m.metal for m in boat.raw_water}
    alloys |= {a.id: a.alloy for a in boat.anodes} | {m.id: INSIDE_ALLOY[m.shape] for m in boat.inside}
    return alloys.get(member, "copper")


@lru_cache(maxsize=256)
def _alone(alloy: str, water: Water) -> float:
    return free_corrosion_potential(kinetics_of(alloy), water)


def rest_potential(boat: Boat, member: str, water: Water) -> float:
    """Return the potential [V SHE] of a member's metal left alone in the water of the bilge, taken as the water outside."""
    return _alone(alloy_in_bilge(boat, member), water)


def bilge_pieces(boat: Boat, numbers: Mapping[str, int], water: Water) -> Pieces:
    """Return the bilge water's contacts: from the water through the surface of each metal into that metal."""
    total = Pieces()
    if boat.bilge is None or boat.bilge.water == "dry":
        return total
    for contact in boat.bilge.contacts:
        length = contact.cell_length_m * WETNESS[boat.bilge.water]
        bulk, surface = numbers[BILGE_WATER], numbers[f"{BILGE_WATER}:{contact.to}"]
        ohm = 1.0 / (boat.bilge.conductivity_S_m * length)
        total += Pieces(diodes=isolator(bulk, surface, SURFACE_A_PER_M * length, SURFACE_EMISSION, 1))
        total += leak(surface, numbers[contact.to], rest_potential(boat, contact.to, water), ohm)
    return total
