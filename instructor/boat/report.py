"""What the engine predicts for a sound boat: potentials with and without her anodes, currents, and how long anodes last."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from course.boats.afloat import Afloat, Moment, kinetics_of
from course.boats.craft import grain_share
from course.boats.datasets import UnknownName, load, nearest, row
from course.boats.description import COMMON_POINT, Boat, Metal, RawWaterMetal
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.engine import free_corrosion_potential, penetration_mm_per_year
from course.engine.craft import anode_capacity
from course.instruments.reference_cell import settled_potential

SPENT = 0.9  # of an anode's mass is gone when it falls off
DAY = 86400.0


def marina_of(boat: Boat) -> str:
    """Return where a boat lies: as the marinas' table says, or Cormorant Reach for one it does not know."""
    return next(
        (name for name, place in load("marina").items() if boat.id in place["boats"]), "cormorant_reach"
    )


def afloat_in(boat: Boat, marina: str | None = None) -> Afloat:
    """Return a boat in the middle of what a marina offers. Raises UnknownName, offering the nearest, for no marina."""
    place = marina or marina_of(boat)
    if place not in load("marina"):
        raise UnknownName(f"there is no marina {place!r}{nearest(place, load('marina'))}")
    return Afloat(SlipPlan(exercise="-", seed="-", boat=boat, berth=middle_berth(place)))


def without_anodes(boat: Boat) -> Boat:
    """Return the boat with her anodes taken off, whether or not a link or a line would let a learner do it."""
    off = {anode.id for anode in boat.anodes}
    return boat.model_copy(
        update={
            "anodes": (),
            "conductors": tuple(c for c in boat.conductors if not {c.from_, c.to} & off),
            "clip_points": tuple(p for p in boat.clip_points if p.at not in off),
        }
    )


def cell_volts(afloat: Afloat) -> float:
    """Return the potential [V SHE] of the open silver/silver-chloride cell, settled in this boat's water."""
    return settled_potential(row("reference_cells", "silver_chloride_sea_water"), afloat.water)


def dissolution(afloat: Afloat, moment: Moment) -> dict[str, float]:
    """Return the current of metal loss [A, 0 or more] of each metal in the water."""
    system = afloat.system(moment.setting)
    lost = system.area * system.law.dissolution(moment.solution.polarisation)
    return dict(zip(moment.bodies, (float(x) for x in lost), strict=True))


def loss_mm_per_year(alloy: str, amps: float, area: float) -> float:
    """Return how fast a metal of bare ``area`` [m2] gets thinner [mm/yr] while it loses ``amps`` [A]."""
    metal = row("metals", alloy)
    weight, density = metal["equivalent_weight_g"] * 1e-3, metal["density_kg_m3"]
    return float(penetration_mm_per_year(amps / area, weight, density)) if weight else 0.0


def hull_mV(afloat: Afloat, moment: Moment, member: str = COMMON_POINT) -> float | None:
    """Return the reading [mV] of a member, the cell amidships, a metre down and abeam; None where nothing ties it to the water."""
    volts = afloat.voltage(moment, member)
    if volts is None:
        return None
    hull = afloat.plan.boat.hull
    at = np.array([[hull.length_m / 2, hull.beam_m / 2 + 0.3, -min(1.0, afloat.plan.berth.depth_m - 0.5)]])
    return 1000 * (volts - float(afloat.water_potential(moment, at)[0]) - cell_volts(afloat))


def anode_days(afloat: Afloat, moment: Moment) -> dict[str, float]:
    """Return how many days each anode lasts at the rate of the moment, its own corrosion counted."""
    lost, found = dissolution(afloat, moment), {}
    for anode in afloat.plan.boat.anodes:
        weight = row("metals", anode.alloy)["equivalent_weight_g"] * 1e-3
        charge = anode.mass_kg * anode.remaining * SPENT * anode_capacity(weight, grain_share(anode.alloy))
        found[anode.id] = charge / max(lost[anode.id], 1e-9) / DAY
    return found


def span_words(days: float) -> str:
    """Return a time in words: days, weeks, months or years."""
    for unit, size in (("years", 365.25), ("months", 30.4), ("weeks", 7.0)):
        if days >= 1.5 * size:
            return f"{days / size:.1f} {unit}"
    return f"{days:.1f} days"


def report(afloat: Afloat) -> Iterator[str]:
    """Yield what the engine predicts for a sound boat, line by line."""
    boat, berth = afloat.plan.boat, afloat.plan.berth
    bare = Afloat(afloat.plan.model_copy(update={"boat": without_anodes(boat)}))
    on, off = afloat.steady(afloat.start), bare.steady(bare.start)
    yield (
        f"{boat.name}, {boat.kind}: {len(boat.metals)} metals in the water, {len(boat.raw_water)} wet inside, "
        f"{len(boat.anodes)} anodes, {len(boat.conductors)} conductors and contacts, {len(boat.circuits)} circuits."
    )
    yield f"{berth.marina}: {berth.water} of {berth.temperature_degC:g} degC and salinity {berth.salinity:g}."
    for words, where, moment in (("with the anodes", afloat, on), ("without them", bare, off)):
        reading = hull_mV(where, moment)
        yield f"  hull potential {words:16s}" + ("      none" if reading is None else f"{reading:7.0f} mV")
    yield from _metals(afloat, bare, on, off)
    yield from _anodes(afloat, on)


def _metals(afloat: Afloat, bare: Afloat, on: Moment, off: Moment) -> Iterator[str]:
    boat, cell = afloat.plan.boat, cell_volts(afloat)
    loss_on, loss_off = dissolution(afloat, on), dissolution(bare, off)
    bodies = {body.id: body for body in afloat.bodies(afloat.start)}
    yield f"  {'metal':32s}{'by itself':>10s}{'no anodes':>12s}{'with anodes':>13s}{'loss without, with':>24s}"
    wet: tuple[Metal | RawWaterMetal, ...] = (*boat.metals, *boat.raw_water)
    for part in wet:
        if part.id not in bodies:
            continue
        alone = 1000 * (free_corrosion_potential(kinetics_of(part.metal), afloat.water) - cell)
        values = [1000 * (m.polarisation[part.id] - cell) for m in (off, on)]
        area = bodies[part.id].area
        rates = [loss_mm_per_year(part.metal, lost[part.id], area) for lost in (loss_off, loss_on)]
        yield (
            f"  {part.label:32s}{alone:7.0f} mV{values[0]:9.0f} mV{values[1]:10.0f} mV"
            f"{rates[0]:12.4f},{rates[1]:8.4f} mm/yr"
        )


def _anodes(afloat: Afloat, on: Moment) -> Iterator[str]:
    boat, cell, days = afloat.plan.boat, cell_volts(afloat), anode_days(afloat, on)
    current = dict(zip(on.bodies, on.solution.current, strict=True))
    if boat.anodes:
        yield f"  {'anode':32s}{'working at':>12s}{'current':>12s}{'lasts':>14s}"
    for anode in boat.anodes:
        volts = 1000 * (on.polarisation[anode.id] - cell)
        yield f"  {anode.label:32s}{volts:9.0f} mV{1000 * current[anode.id]:9.1f} mA{span_words(days[anode.id]):>14s}"
