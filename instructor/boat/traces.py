"""What each fault a boat can have would do to the readings: the table a technician reads through for sense."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from course.boats.afloat import Afloat, Moment
from course.boats.boat_systems import SHORE_EARTH
from course.boats.datasets import load, row
from course.boats.description import Boat
from course.boats.faults import Fault, candidates
from course.boats.surroundings import Neighbour
from course.boats.variation import dock_of, neighbour_of
from course.engine import mass_rate
from instructor.boat.report import DAY, afloat_in, dissolution, hull_mV, loss_mm_per_year, marina_of

ASHORE = ("isolator_fault", "shore_wiring", "neighbour_leak")
LEAST_GAIN_A = 2e-5  # a loss that grows by less is not worth naming


class Trace(NamedTuple):
    """What a fault does: hull potential [mV] and that of its own place, current on the wire and which, what suffers and how fast."""

    hull: float | None
    place: float | None
    leak_A: float
    shore_A: float
    trips: bool
    sufferer: str
    mm_per_year: float
    g_per_day: float
    times: float


def neighbours_of(marina: str) -> tuple[Neighbour, ...]:
    """Return the two nearest neighbours that may lie in a marina's water."""
    water = row("marina", marina)["water"]
    found = [n for n in load("neighbours").values() if water in n["waters"] and n["arrangement"] != "none"]
    nearest = sorted(found, key=lambda n: abs(n["place"]["y_m"]))[:2]
    return tuple(neighbour_of(n["id"]) for n in nearest)


def beside_the_dock(boat: Boat, marina: str) -> Afloat:
    """Return a boat plugged in at a dock with two neighbours."""
    plan = afloat_in(boat, marina).plan
    start = plan.start.model_copy(update={"shore_plugged": True})
    return Afloat(
        plan.model_copy(update={"dock": dock_of(marina), "neighbours": neighbours_of(marina), "start": start})
    )


def trace(sound: Afloat, fault: Fault) -> Trace:
    """Return what one fault does to a boat that is otherwise as ``sound`` is."""
    ill = Afloat(sound.plan.model_copy(update={"faults": (fault,)}))
    before, after = sound.steady(sound.start), ill.steady(ill.start)
    tripped = ill.trips(ill.start)
    if tripped:  # what a person finds is the boat with the breaker open
        opened = ill.start._replace(open_breakers=ill.start.open_breakers | tripped)
        after = ill.steady(opened)
    leak = 0.0
    if fault.circuit is not None:
        leak = sum(ill.current(after, f"{pole}:{fault.circuit}") for pole in ("positive", "negative"))
    who, amps, area, times = _sufferer(sound, ill, before, after)
    alloy = next((b.alloy for b in ill.bodies(ill.start) if b.id == who), "")
    weight = row("metals", alloy)["equivalent_weight_g"] * 1e-3 if alloy else 0.0
    return Trace(
        hull_mV(ill, after),
        hull_mV(ill, after, fault.place) if fault.place in ill.boat(ill.start).members else None,
        leak,
        ill.current(after, SHORE_EARTH),
        bool(tripped),
        ill.boat(ill.start).label(who) if who else "",
        loss_mm_per_year(alloy, amps, area) if alloy else 0.0,
        float(mass_rate(amps, weight)) * DAY * 1000 if weight else 0.0,
        times,
    )


def _sufferer(sound: Afloat, ill: Afloat, before: Moment, after: Moment) -> tuple[str, float, float, float]:
    """Return (id, current of loss [A], bare area [m2], how many times as before) of the boat's metal whose loss grows most.

    Metals that are no anodes come first: an anode is there to be lost.
    """
    was, now = dissolution(sound, before), dissolution(ill, after)
    boat = ill.boat(ill.start)
    bodies = ill.bodies(ill.start)
    areas = {body.id: body.area for body in bodies}
    lasting = {body.id for body in bodies if not row("metals", body.alloy)["equivalent_weight_g"]}
    for group in ((*boat.metals, *boat.raw_water), boat.anodes):
        gain = {p.id: now[p.id] - was.get(p.id, 0.0) for p in group if p.id in now and p.id not in lasting}
        worst = max(gain, key=gain.__getitem__, default="")
        if worst and gain[worst] > max(LEAST_GAIN_A, 0.05 * was.get(worst, 0.0)):
            return worst, now[worst], areas[worst], now[worst] / max(was.get(worst, 0.0), 1e-9)
    return "", 0.0, 1.0, 1.0


def _volts(value: float | None) -> str:
    return "       -" if value is None else f"{value:8.0f}"


def _line(fault: Fault, found: Trace) -> str:
    trips = "trips" if found.trips else f"{found.leak_A:.3g} A" if abs(found.leak_A) > 5e-5 else ""
    shore = f"{1000 * found.shore_A:.0f} mA" if abs(found.shore_A) > 5e-4 else ""
    loss = ""
    if found.sufferer:
        grown = f"{found.times:.3g} times" if found.times < 1e4 else "from nothing"
        loss = f"{found.sufferer}: {found.mm_per_year:.3g} mm/yr, {found.g_per_day:.3g} g/day ({grown})"
    return (
        f"  {fault.title[:118]:120s}{_volts(found.hull)}{_volts(found.place)}  {trips:>9s}{shore:>9s}  {loss}"
    )


def fault_table(boat: Boat, marina: str | None = None) -> Iterator[str]:
    """Yield what each fault does to a boat, line by line; faults ashore with her lead plugged in beside two neighbours."""
    place = marina or marina_of(boat)
    alone, docked = afloat_in(boat, place), beside_the_dock(boat, place)
    found = candidates(boat, docked.plan.neighbours)
    yield f"{len(found)} faults she can have, each at a middling severity (mV; hull: amidships, at the common point):"
    yield f"  {'fault':120s}{'hull':>8s}{'place':>8s}  {'leak':>9s}{'ashore':>9s}  what is lost most"
    for sound, words in ((alone, "sound"), (docked, "sound, plugged in between two neighbours")):
        moment = sound.steady(sound.start)
        shore = sound.current(moment, SHORE_EARTH)
        beside = f"{1000 * shore:.0f} mA" if abs(shore) > 5e-4 else ""
        yield f"  {words:120s}{_volts(hull_mV(sound, moment))}{_volts(None)}  {'':>9s}{beside:>9s}"
    for fault in found:
        yield _line(fault, trace(docked if fault.kind in ASHORE else alone, fault))
