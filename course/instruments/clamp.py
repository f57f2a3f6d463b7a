"""The DC clamp: it adds up the current through its jaw along its arrow, and a zero of its own that drifts.

Turned round on the same conductor its own zero keeps its sign and the current does not: half the difference is the current.
The earth's field goes with the way it points, so it is zeroed where and as it will be used.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from course.boats.afloat import Afloat
from course.boats.boat_systems import SHORE_EARTH
from course.boats.by_identity import by_identity
from course.boats.description import Boat, Place
from course.boats.paths import clampable as clampable_wires
from course.instruments.meter import Display, Range, in_digits
from course.instruments.noise import normal, uniform
from course.instruments.state import State

POLES = ("positive", "negative")
DRIFT_mA, DRIFT_MINUTES = (
    7.0,
    40,
)  # declared model, invented size: knots every forty minutes, straight between
EARTH_mA = 2.0  # invented size
NOISE_mA = 0.4
RANGES = (Range("mA", 2000.0, "1", what="amperes"), Range("A", 60.0, "0.01", what="amperes"))


def drift_mA(afloat: Afloat, minute: int) -> float:
    """Return how far the clamp's zero has wandered by a minute of the slip's clock [mA]."""
    knot, past = divmod(minute, DRIFT_MINUTES)
    first, second = (DRIFT_mA * normal(afloat.plan.seed, "clamp drift", knot + k) for k in (0, 1))
    return first + (second - first) * past / DRIFT_MINUTES


def raw_mA(afloat: Afloat, state: State) -> float:
    """Return what the clamp senses [mA], before zeroing: the currents in its jaw, its zero, the earth's field."""
    clamp = state.clamp
    sign = 1.0 if clamp.arrow == "forward" else -1.0
    through = sum(afloat.current(state.moment, name) for name in clamp.around)
    field = EARTH_mA * (2 * uniform(afloat.plan.seed, "earth's field", *sorted(clamp.around)) - 1)
    own = afloat.plan.kit.clamp_zero_mA + drift_mA(afloat, state.minute)
    return sign * (1000 * through + field) + own


def show_clamp(afloat: Afloat, state: State, ordinal: int) -> Display:
    """Return the digits of the clamp: to 1 mA up to 2 A, to 0.01 A beyond."""
    noise = NOISE_mA * normal(afloat.plan.seed, "clamp", ordinal, state.minute)
    value = raw_mA(afloat, state) - state.clamp.null_mA + noise
    small = in_digits(value, RANGES[0])
    return small if small.text != "OL" else in_digits(value / 1000, RANGES[1])


def clamp_names(afloat: Afloat) -> dict[str, str]:
    """Return the plain name of everything the clamp's jaw can close around, by id; named as in her papers."""
    return {**_wires(afloat.boat(afloat.start)), **_wires(afloat.plan.boat)}


def arrow_words(around: Sequence[str], names: Mapping[str, str], arrow: str) -> str:
    """Return where the clamp's arrow points, by the end of what is in its jaw, for conductors named by their ends."""
    forward = arrow == "forward"
    if not around:
        return ""
    if all(name.partition(":")[0] in POLES for name in around):
        return "towards the load" if forward else "towards the panel"
    label = names.get(around[0], around[0])
    if ends := re.search(r"from (.+) to (.+)", label):
        end = ends[2 if forward else 1]
        return "towards the boat" if end == "boat" else f"towards {end}"
    if far := re.search(r" of (the .+)", label):  # the lead of a thing runs to it from the rest
        return f"{'towards' if forward else 'away from'} {far[1]}"
    return arrow


@by_identity
def _wires(boat: Boat) -> dict[str, str]:
    return dict(clampable_wires(boat))


def _reach(boat: Boat, name: str) -> Place:
    """Return where a hand gets at a conductor: the middle of a bonding wire, a circuit at its load, the shore lead at its inlet."""
    wire = next((c for c in boat.conductors if c.id == name), None)
    if wire is not None:
        ends = (boat.place(wire.from_), boat.place(wire.to))
        x, y, height = (sum(getattr(end, axis) for end in ends) / 2 for axis in ("x_m", "y_m", "height_m"))
        return Place(x_m=round(x, 2), y_m=round(y, 2), height_m=round(max(height, -0.2), 2))
    if name == SHORE_EARTH and boat.shore is not None:
        return boat.shore.inlet
    side, _, circuit = name.partition(":")
    found = next((c for c in boat.circuits if c.id == circuit), None)
    at = found.place if found is not None and found.place is not None else None
    at = at or (boat.battery.place if boat.battery is not None else boat.common_bonding_point)
    return Place(
        x_m=at.x_m, y_m=at.y_m, height_m=round(at.height_m + (0.1 if side == "positive" else 0.0), 2)
    )


def clampable(afloat: Afloat) -> list[dict[str, Any]]:
    """Return what the clamp can close around, and where."""
    boat = afloat.boat(afloat.start)
    return [
        {"id": name, "label": label, "x_m": at.x_m, "y_m": at.y_m, "height_m": at.height_m}
        for name, label in clamp_names(afloat).items()
        for at in [_reach(boat, name)]
    ]
