"""A boat of the fleet through seasons and from water to water: anode mass, hull potential, drivers, with bands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.boats.craft import craft_of
from course.boats.description import Boat, fleet_boat
from course.boats.panel_plans import panel_plan
from course.boats.waters import year_named
from course.engine.craft import Craft
from course.engine.electrode import law
from course.engine.seasons import Spell, Voyage, sail
from course.engine.system import System
from course.engine.uncertainty import draws, kinds_of, life_band, system_bands
from course.engine.weather import DAY, WaterYear

Array = NDArray[np.float64]
DRAWS = 40
UNDER_WAY_M_PER_S = 3.0  # speed through the water under way (declared)
SPENT = 0.1  # share of its mass new at which an anode counts as gone


class Leg(NamedTuple):
    """A stay: days in one of the panels' waters, with hours under way a day."""

    days: float
    water: str
    hours_under_way: float = 0.0


@dataclass(frozen=True, eq=False)
class Track:
    """k times: days (k,) from the first of January; by anode id its mass [kg] as (low, middle, high) (k,) each; potential
    [V SHE] of the metal named, (low, middle, high); temperature [degC] and conductivity [S/m] of the water (k,); starts: day
    on which each leg begins; gone: day on which an anode fell off, where one did."""

    days: Array
    mass: dict[str, tuple[Array, Array, Array]]
    labels: dict[str, str]
    potential: tuple[Array, Array, Array]
    metal: str
    temperature: Array
    conductivity: Array
    starts: tuple[float, ...]
    gone: dict[str, float]


def _with_left(boat: Boat, left: dict[str, float]) -> Boat:
    anodes = tuple(
        a.model_copy(update={"remaining": max(1e-3, left.get(a.id, a.mass_kg * a.remaining) / a.mass_kg)})
        for a in boat.anodes
    )
    return boat.model_copy(update={"anodes": anodes})


def _spreads(
    craft: Craft, ids: tuple[str, ...], year: WaterYear, spell: Spell, patch: int
) -> tuple[dict[str, tuple[float, float]], tuple[float, float]]:
    """How far wear may be off, as factors by anode, and the potential of `patch`, as offsets [V], taken at the start."""
    drawn = draws(int(kinds_of(craft.kinetics).max()) + 1, DRAWS)
    life = life_band(craft, year, [spell], drawn)
    wear = {
        ids[int(k)]: (float(life.middle[n] / life.high[n]), float(life.middle[n] / life.low[n]))
        for n, k in enumerate(craft.anodes)
    }
    bath = year.at(0.0)[0]
    area, transfer = craft.geometry(np.ones(craft.size), 0.0)
    system = System(
        transfer / bath.conductivity, area, law(craft.kinetics, bath), craft.node, craft.networks[0]
    )
    found = system_bands(system, kinds_of(craft.kinetics), drawn).polarisation
    return wear, (
        float(found.low[patch] - found.middle[patch]),
        float(found.high[patch] - found.middle[patch]),
    )


@lru_cache(maxsize=16)
def track(boat: str, legs: tuple[Leg, ...]) -> Track:
    """Take a boat of the fleet through `legs`, one after another, from the first of January.

    Each leg starts with the anodes as the last left them; one with a tenth or less of its mass new is gone. Bands are
    first order: the factors by which wear may differ, and the width of the potential, are taken once, at the start, with 40
    draws. Raises BoatError, UnknownName or EngineError.
    """
    now, start = fleet_boat(boat), 0.0
    new = {a.id: a.mass_kg for a in now.anodes}
    named = now.metals[0]
    pieces: list[tuple[Voyage, dict[str, Array], Array, WaterYear]] = []
    starts: list[float] = []
    gone: dict[str, float] = {}
    wear: dict[str, tuple[float, float]] = {}
    width = (0.0, 0.0)
    for number, leg in enumerate(legs):
        lifted = tuple(sorted(gone))
        craft, ids = craft_of(panel_plan(now, leg.water, lifted))
        year, patch = year_named(leg.water), ids.index(named.id)
        spell = Spell(leg.days, 0, leg.hours_under_way, UNDER_WAY_M_PER_S, 0)
        if not number and craft.anodes.size:
            wear, width = _spreads(craft, ids, year, spell, patch)
        voyage = sail(craft, year, [spell], start)
        mass = {ids[int(k)]: voyage.mass[:, k] for k in craft.anodes}
        pieces.append((voyage, mass, voyage.polarisation[:, patch], year))
        starts.append(start / DAY)
        start += leg.days * DAY
        for name, kept in mass.items():
            fell = float(voyage.gone_at[ids.index(name)])
            if np.isfinite(fell) or kept[-1] <= SPENT * new[name]:
                gone[name] = min(fell, start) / DAY
        now = _with_left(now, {name: float(kept[-1]) for name, kept in mass.items()})
    return _told(fleet_boat(boat), pieces, tuple(starts), gone, wear, width)


def _told(
    boat: Boat,
    pieces: list[tuple[Voyage, dict[str, Array], Array, WaterYear]],
    starts: tuple[float, ...],
    gone: dict[str, float],
    wear: dict[str, tuple[float, float]],
    width: tuple[float, float],
) -> Track:
    days = np.concatenate([voyage.time / DAY for voyage, *_ in pieces])
    mass: dict[str, tuple[Array, Array, Array]] = {}
    for anode in boat.anodes:
        column, last = [], anode.mass_kg * anode.remaining
        for voyage, found, *_ in pieces:
            column.append(found.get(anode.id, np.full(voyage.time.size, last)))
            last = float(column[-1][-1])
        middle = np.concatenate(column)
        less, more = wear.get(anode.id, (1.0, 1.0))
        lost = middle[0] - middle
        mass[anode.id] = (np.maximum(0.0, middle[0] - lost * more), middle, middle[0] - lost * less)
    level = np.concatenate([potential for _, _, potential, _ in pieces])
    baths = [year.at(float(t))[0] for voyage, _, _, year in pieces for t in voyage.time]
    return Track(
        days, mass, {a.id: a.label for a in boat.anodes}, (level + width[0], level, level + width[1]),
        boat.metals[0].label, np.array([b.celsius for b in baths]), np.array([b.conductivity for b in baths]), starts, gone,
    )  # fmt: skip
