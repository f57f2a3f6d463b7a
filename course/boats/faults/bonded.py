"""Which conductors hold a piece of metal to the common bonding point."""

from __future__ import annotations

from course.boats.boat_parts import Conductor
from course.boats.by_identity import by_identity
from course.boats.description import COMMON_POINT, Boat
from course.boats.faults.base import in_series

REACH_M = 2.0  # how far from metal a wire or a motor may be and still touch it (declared)
SOUND_OHM = 1.0  # a bond of more than this is none (common practice, no source)


def reached(boat: Boat, without: str | None = None) -> frozenset[str]:
    """Return the members that sound conductors join to the common bonding point, one member taken away."""
    links = [
        (c.from_, c.to)
        for c in boat.conductors
        if not c.broken and (c.contact_ohm or c.joints_ohm) <= SOUND_OHM and without not in (c.from_, c.to)
    ]
    found, grown = {COMMON_POINT}, True
    while grown:
        more = {end for pair in links for end in pair if found & set(pair)} - found
        found |= more
        grown = bool(more)
    return frozenset(found)


def bonds_of(boat: Boat, member: str) -> tuple[Conductor, ...]:
    """Return the conductors that hold a member to the rest of the bonded metal."""
    rest = reached(boat, member)
    return tuple(
        c
        for c in boat.conductors
        if not c.broken and member in (c.from_, c.to) and ({c.from_, c.to} - {member}) & rest
    )


@by_identity
def _bonded(boat: Boat) -> frozenset[str]:
    return reached(boat)


def is_bonded(boat: Boat, member: str) -> bool:
    """Return whether sound conductors join a member to the common bonding point."""
    return member in _bonded(boat)


def poorly_bonded(boat: Boat, member: str, ohm: float) -> Boat:
    """Return the boat with a resistance more in every bond of a member."""
    for bond in bonds_of(boat, member):
        boat = in_series(boat, bond.id, ohm)
    return boat


def nearest_metal(boat: Boat, x_m: float, y_m: float) -> str | None:
    """Return the metal in the water that can touch something inside the hull, nearest to a spot and within reach of it."""
    shapes = (
        "through_hull",
        "strut",
        "rudder",
        "shaft",
        "saildrive",
        "stern_drive",
        "outboard",
        "keel",
        "plate",
    )
    near = [
        m
        for m in boat.metals
        if m.shape in shapes and (m.place.x_m - x_m) ** 2 + (m.place.y_m - y_m) ** 2 <= REACH_M**2
    ]
    if not near:
        return None
    return min(near, key=lambda m: ((m.place.x_m - x_m) ** 2 + (m.place.y_m - y_m) ** 2, m.id)).id
