"""The metals in the water as the lumped engine sees them: one patch each, with an area and a resistance of its own.

Flush plates take the resistance of a disk in an insulating plane; free metals that of the spheroid, sphere or disk nearest
to their shape.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from course.boats.boat_parts import Anode, Metal, Place, RawWaterMetal
from course.boats.description import Boat
from course.engine import disk_resistance, prolate_spheroid_resistance, sphere_resistance

SHALLOWEST = -0.05  # m: the metal of a waterline fitting still stands in the water
COMPACT = ("strut", "saildrive", "stern_drive", "outboard")
THIN = ("propeller", "rudder", "plate", "keel")


@dataclass(frozen=True)
class Body:
    """One metal in the water as the lumped engine sees it."""

    id: str
    alloy: str
    area: float
    radius: float
    self_resistance: float  # ohm at 1 S/m
    place: tuple[float, float, float]


def _xyz(place: Place) -> tuple[float, float, float]:
    return (place.x_m, place.y_m, min(place.height_m, SHALLOWEST))


def _as_sphere(resistance: float) -> float:
    return 1 / (4 * math.pi * resistance)


def _spheroid(half: float, area: float) -> float:
    """Resistance of a slender spheroid of half length and area, or of a sphere if it would be none."""
    radius = area / (math.pi**2 * half)
    if radius >= half:
        return sphere_resistance(math.sqrt(area / (4 * math.pi)), 1.0)
    return prolate_spheroid_resistance(half, radius, 1.0)


def metal_body(part: Metal) -> Body:
    """Return one metal of the boat as a patch; how much of it is bare counts for its area alone."""
    area, place = part.wetted_area_m2, _xyz(part.place)
    if part.shape == "through_hull":
        radius = math.sqrt(area / math.pi)
        resistance = disk_resistance(radius, 1.0)
    elif part.shape == "shaft":
        resistance = _spheroid(part.length_m / 2, area)
        radius = _as_sphere(resistance)
    elif part.shape in COMPACT:
        radius = math.sqrt(area / (4 * math.pi))
        resistance = sphere_resistance(radius, 1.0)
    elif part.shape == "hull":  # half a body, whose other half is its own image in the surface
        resistance = _spheroid(part.length_m / 2, 2 * area)
        radius, place = _as_sphere(resistance), (place[0], place[1], SHALLOWEST)
    elif part.shape == "fastening":  # many heads spread over the planking act as one disk of half that length
        radius = max(math.sqrt(area / math.pi), part.length_m / 4)
        resistance = disk_resistance(radius, 1.0)
    else:  # a thin plate wet on both sides: two half-spaces, each a disk in a plane
        resistance = disk_resistance(math.sqrt(area / (2 * math.pi)), 1.0) / 2
        radius = _as_sphere(resistance)
    return Body(part.id, part.metal, area * part.bare_fraction, radius, resistance, place)


def paint_ohm(part: Anode, resistance: float) -> float:
    """Return what paint adds to an anode's own resistance: what is bare is as a smaller anode of the same shape (declared)."""
    return resistance * (1.0 / math.sqrt(1.0 - part.painted_fraction) - 1.0)


def anode_body(part: Anode) -> Body:
    """Return an anode as a patch: its wet area goes as the 2/3 power of the mass left, its length scale as the 1/3."""
    scale = part.remaining ** (2 / 3)
    face = part.length_m * part.width_m
    rim = 2 * (part.length_m + part.width_m) * part.thickness_m
    if part.mounting == "flush_plate":
        area = (face + rim) * scale
        resistance = disk_resistance(math.sqrt(area / math.pi), 1.0)
    elif part.mounting == "hanging":
        area = (2 * face + rim) * scale
        resistance = disk_resistance(math.sqrt(area / (2 * math.pi)), 1.0) / 2
    else:
        area = math.pi * part.width_m * part.length_m * scale
        resistance = sphere_resistance(math.sqrt(area / (4 * math.pi)), 1.0)
    bare = area * (1.0 - part.painted_fraction)
    resistance += paint_ohm(part, resistance)
    return Body(part.id, part.alloy, bare, _as_sphere(resistance), resistance, _xyz(part.place))


def raw_water_body(part: RawWaterMetal, boat: Boat) -> Body:
    """Return metal behind a hose as a patch at its seacock: the column of water in the hose cuts it nearly off."""
    seacock = next(m for m in boat.metals if m.id == part.seacock)
    bore = part.hose_bore_m / 2
    resistance = part.hose_length_m / (math.pi * bore**2) + disk_resistance(bore, 1.0)
    opening = math.sqrt(seacock.wetted_area_m2 / math.pi)
    return Body(part.id, part.metal, part.wetted_area_m2, opening, resistance, _xyz(seacock.place))


def boat_bodies(boat: Boat) -> tuple[Body, ...]:
    """Return every patch of a boat: metals, anodes, metal behind hoses."""
    return (
        *(metal_body(part) for part in boat.metals),
        *(anode_body(part) for part in boat.anodes),
        *(raw_water_body(part, boat) for part in boat.raw_water),
    )
