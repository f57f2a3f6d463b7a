"""What a bonding survey of a boat finds, and what a poor bond does to the potential of the metal behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat
from course.boats.description import COMMON_POINT, Boat, Conductor
from course.boats.fitted import conductor_ohm
from course.boats.panel_plans import fleet_plan, panel_plan

Array = NDArray[np.float64]
SOUND_OHM = 1.0  # a bond under this counts as sound (common practice, no source)
LOWEST, HIGHEST, POINTS = 1e-3, 1e4, 22  # ohm


@dataclass(frozen=True)
class Bond:
    """One metal in the water: resistance [ohm] through wires and contacts to the common bonding point, and the verdict."""

    member: str
    label: str
    metal: str
    ohm: float

    @property
    def verdict(self) -> str:
        """ "sound", "poor" or "not bonded"."""
        return "not bonded" if math.isinf(self.ohm) else "sound" if self.ohm < SOUND_OHM else "poor"


def _resistances(boat: Boat, added: dict[str, float]) -> dict[str, float]:
    """Resistance [ohm] of each member to the common point, by the network of closed conductors."""
    members = {name: k for k, name in enumerate(boat.members)}
    y = np.zeros((len(members), len(members)))
    for wire in boat.conductors:
        if not wire.broken and wire.from_ in members and wire.to in members:
            a, b = members[wire.from_], members[wire.to]
            g = 1.0 / (conductor_ohm(wire) + added.get(wire.id, 0.0))
            y[[a, b], [a, b]] += g
            y[[a, b], [b, a]] -= g
    home = members[COMMON_POINT]
    reached, grown = {home}, True
    while grown:
        more = {int(k) for k in np.flatnonzero((y[sorted(reached)] < 0.0).any(axis=0))} - reached
        reached |= more
        grown = bool(more)
    rest = sorted(reached - {home})
    across = np.diag(np.linalg.inv(y[np.ix_(rest, rest)])) if rest else np.zeros(0)
    found = dict.fromkeys(members, math.inf)
    for node, ohm in zip(rest, across, strict=True):
        found[boat.members[node]] = float(ohm)
    return found


def survey(boat: Boat, added: dict[str, float] | None = None) -> tuple[Bond, ...]:
    """Return every metal and anode in the water with its bond; `added` [ohm] stands in a bad joint of a conductor by id."""
    ohms = _resistances(boat, added or {})
    parts = [(m.id, m.label, m.metal) for m in boat.metals] + [(a.id, a.label, a.alloy) for a in boat.anodes]
    return tuple(Bond(name, label, metal, ohms.get(name, math.inf)) for name, label, metal in parts)


def bonds_of(boat: Boat) -> tuple[tuple[str, str], ...]:
    """Return (words, conductor id) of the conductors that bond a metal in the water, one for each such metal."""
    wet = {m.id: m.label for m in boat.metals}
    found: dict[str, tuple[str, str]] = {}
    for wire in boat.conductors:
        for end in (wire.to, wire.from_):
            if end in wet and end not in found and wire.contact_ohm is None and not wire.broken:
                found[end] = (f"bond of the {wet[end]}", wire.id)
    return tuple(found.values())


def behind(boat: Boat, conductor: str) -> str:
    """Return the id of the metal in the water that a conductor bonds."""
    wire = next(w for w in boat.conductors if w.id == conductor)
    wet = {m.id for m in boat.metals}
    return wire.to if wire.to in wet else wire.from_


def _worsened(wire: Conductor, ohm: float) -> Conductor:
    return wire.model_copy(
        update={
            "gauge_awg": None,
            "length_m": None,
            "joints_ohm": 0.0,
            "contact_ohm": conductor_ohm(wire) + ohm,
        }
    )


@lru_cache(maxsize=512)
def potential_behind(boat: str, water: str, conductor: str, ohm: float) -> tuple[float, float]:
    """Return the potential [V SHE] of the metal behind a bond, and of the best bonded metal aboard, with `ohm` more in it.

    The best bonded is the largest other metal. Raises BoatError or UnknownName.
    """
    plan = fleet_plan(boat, water)
    wires = tuple(_worsened(w, ohm) if w.id == conductor else w for w in plan.boat.conductors)
    altered = plan.boat.model_copy(update={"conductors": wires})
    afloat = Afloat(panel_plan(altered, water))
    found = afloat.steady(afloat.start).polarisation
    here = behind(plan.boat, conductor)
    sound = {bond.member for bond in survey(plan.boat) if bond.verdict == "sound"}
    others = [m for m in plan.boat.metals if m.id != here and m.id in sound]
    best = max(others, key=lambda m: m.wetted_area_m2 * m.bare_fraction).id if others else here
    return found[here], found[best]


@lru_cache(maxsize=64)
def potential_curve(boat: str, water: str, conductor: str) -> tuple[Array, Array]:
    """Return resistances added [ohm] (k,) and the potential [V SHE] (k,) of the metal behind the bond for each."""
    ohms = np.geomspace(LOWEST, HIGHEST, POINTS)
    return ohms, np.array([potential_behind(boat, water, conductor, float(ohm))[0] for ohm in ohms])
