"""Where a test clip can bite, and how well: bare metal, a painted block, a fitting under scale.

Contact resistances are declared models of invented size; a scraped point is bright.
"""

from __future__ import annotations

from course.boats.afloat import Afloat
from course.boats.boat_systems import BATTERY_POSITIVE, SHORE_EARTH
from course.boats.description import Boat, ClipPoint, Place
from course.instruments.noise import uniform

CONTACT_OHM = {"bright": (0.02, 0.06), "scaled": (3.0, 30.0), "painted": (300.0, 3000.0)}
_SURFACES = {
    "engine": "painted", "through_hull": "scaled", "strainer": "scaled", "pump": "scaled", "heat_exchanger": "scaled",
    "saildrive": "painted", "stern_drive": "painted", "outboard": "painted", "hull": "painted",
}  # fmt: skip
ISOLATOR_BOAT, ISOLATOR_SHORE = "isolator_boat", "isolator_shore"


def clip_points(boat: Boat) -> tuple[ClipPoint, ...]:
    """Return every place a clip can bite: those of the boat's file, and the terminals of a galvanic isolator."""
    listed = boat.clip_points
    if boat.shore is None or boat.shore.arrangement != "isolator":
        return listed
    known = {point.id for point in listed}
    terminals = (
        ClipPoint(id=ISOLATOR_BOAT, at=boat.shore.earth_at, label="galvanic isolator, boat side"),
        ClipPoint(id=ISOLATOR_SHORE, at=SHORE_EARTH, label="galvanic isolator, shore side"),
    )
    return (*listed, *(point for point in terminals if point.id not in known))


def member_of(boat: Boat, point: str) -> str:
    """Return the member of the boat's metal, or the node, that a clip point is part of."""
    return next(p.at for p in clip_points(boat) if p.id == point)


def place_of(boat: Boat, point: str) -> Place:
    """Return where a clip point is; both terminals of an isolator are by the inlet."""
    if point in (ISOLATOR_BOAT, ISOLATOR_SHORE) and boat.shore is not None:
        inlet = boat.shore.inlet
        aside = 0.15 if point == ISOLATOR_BOAT else -0.15
        return Place(x_m=inlet.x_m + aside, y_m=inlet.y_m, height_m=inlet.height_m - 0.3)
    at = member_of(boat, point)
    place = boat.place(at)
    if point == BATTERY_POSITIVE or boat.battery is None or point != "battery_negative":
        return place
    post = boat.battery.place
    return Place(x_m=round(post.x_m + 0.2, 2), y_m=post.y_m, height_m=post.height_m)


def surface(boat: Boat, point: str) -> str:
    """Return what a clip meets at a point before it is scraped: bright, scaled or painted."""
    if point in ("battery_negative", BATTERY_POSITIVE, ISOLATOR_BOAT, ISOLATOR_SHORE):
        return "bright"
    at = member_of(boat, point)
    shapes: dict[str, str] = {m.id: m.shape for m in boat.metals}
    shapes.update({m.id: m.shape for m in boat.inside})
    shapes.update({m.id: m.shape for m in boat.raw_water})
    return _SURFACES.get(shapes.get(at, ""), "bright")


def contact_ohm(afloat: Afloat, point: str, scraped: bool) -> float:
    """Return the resistance of the clip's bite at a point [ohm], the same each time on one slip."""
    found = "bright" if scraped else surface(afloat.plan.boat, point)
    low, high = CONTACT_OHM[found]
    share = uniform(afloat.plan.seed, "contact", point, found)
    return float(low * (high / low) ** share)
