"""What every fault a boat could have would make each measurement show: the table a hunter reasons from.

Differences from the sound boat, at three severities a fault. They depend little on what makes one boat personal (areas within
15 %), so a table is made once for each boat of the fleet in her marina, and a personal boat's own sound readings are added.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat, Setting
from course.boats.datasets import load
from course.boats.description import fleet_boat
from course.boats.faults import Fault, candidates, grid
from course.boats.hunts import COLLARS, REMAINING
from course.boats.kept import Arrays
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from graders.hunt.kept import kept, place
from graders.hunt.probes import ADRIFT, Array, Probe, probes, readings

SHARES = (
    0.0,
    0.33,
    0.67,
    1.0,
)  # of the grid of severities; half-way between two the readings are their geometric mean
SOUND = "sound"


def all_off(afloat: Afloat) -> Setting:
    """Return the setting in which every breaker is open, the battery switch off and the shore lead unplugged."""
    circuits = frozenset(c.id for c in afloat.plan.boat.circuits)
    return afloat.start._replace(open_breakers=circuits, battery_on=False, shore_plugged=False)


def only(afloat: Afloat, circuits: frozenset[str]) -> Setting:
    """Return the setting in which some circuits alone are on, with the shore lead out."""
    every = frozenset(c.id for c in afloat.plan.boat.circuits)
    return afloat.start._replace(open_breakers=every - circuits, battery_on=True, shore_plugged=False)


@dataclass(frozen=True)
class Guess:
    """One thing that may be so: a fault at one severity, or nothing wrong."""

    name: str
    group: str
    title: str
    circuit: str | None
    fault: Fault | None


@dataclass(frozen=True)
class Effect:
    """What one state of a boat shows: readings [probe] with her circuit dead and live, ashore or not, and whether it trips."""

    dead: Array
    live: Array
    plugged: Array
    trips: bool


def severities(fault: Fault) -> Iterator[Fault]:
    """Yield a fault at each severity the table holds; one that is there or not, once."""
    if fault.span is None:
        yield fault
        return
    values = grid(fault.span.low, fault.span.high)
    for share in SHARES:
        yield fault.weighed(values[min(int(share * len(values)), len(values) - 1)])


def guesses(plan: SlipPlan) -> tuple[Guess, ...]:
    """Return everything that may be wrong with a plan's boat, nothing wrong first."""
    found = [Guess(SOUND, SOUND, "nothing is wrong", None, None)]
    for candidate in candidates(plan.boat, plan.neighbours):
        found += [Guess(f.id, f.group, f.title, f.circuit, f) for f in severities(candidate)]
    return tuple(found)


def effect(
    plan: SlipPlan, faults: Sequence[Fault], wanted: Sequence[Probe], like: Afloat | None = None
) -> Effect:
    """Return what a plan's boat shows with some faults in place of her own; ``like`` is the same boat otherwise, to share from."""
    afloat = Afloat(plan.model_copy(update={"faults": tuple(faults)}))
    if like is not None:
        afloat.fitted(afloat.start).hear(like.fitted(like.start))
    dead = readings(afloat, all_off(afloat), wanted)
    fed = frozenset(f.circuit for f in faults if f.circuit is not None)
    live, trips = dead, False
    ohms = np.array([probe.kind == "ohm" for probe in wanted])  # taken with everything off, and no other way
    switched = tuple(probe for probe in wanted if probe.kind != "ohm")

    def seen(setting: Setting) -> Array:
        found = dead.copy()
        found[~ohms] = readings(afloat, setting, switched)
        return found

    if fed:
        on = only(afloat, fed)
        trips = bool(afloat.trips(on))
        live = dead if trips else seen(on)
    plugged = dead
    if plan.dock is not None or plan.neighbours:
        plugged = seen(all_off(afloat)._replace(shore_plugged=True))
    return Effect(dead, live, plugged, trips)


@dataclass(frozen=True, eq=False)
class Table:
    """Differences from the sound boat (guess, probe) with the guess's circuit dead, live, and ashore; which trip."""

    guesses: tuple[Guess, ...]
    probes: tuple[Probe, ...]
    dead: Array
    live: Array
    plugged: Array
    trips: NDArray[np.bool_]

    @cached_property
    def tolerance(self) -> Array:
        """Return what an honest reading of each probe can be off by."""
        return np.array([probe.tolerance for probe in self.probes])

    @cached_property
    def prior(self) -> Array:
        """Return how likely each guess is before anything is measured: every fault alike, its severities sharing."""
        names = [guess.name for guess in self.guesses]
        counts = {name: names.count(name) for name in set(names)}
        weights = np.array([1 / counts[name] for name in names])
        return np.asarray(weights / weights.sum())

    @cached_property
    def circuits(self) -> tuple[str | None, ...]:
        """Return the circuit of each guess."""
        return tuple(guess.circuit for guess in self.guesses)

    @cached_property
    def groups(self) -> NDArray[np.int64]:
        """Return the number of each guess's group."""
        names = {name: k for k, name in enumerate(dict.fromkeys(guess.group for guess in self.guesses))}
        return np.array([names[guess.group] for guess in self.guesses])

    @cached_property
    def _lit(self) -> dict[frozenset[str], NDArray[np.bool_]]:
        return {}

    def lit(self, on: frozenset[str]) -> NDArray[np.bool_]:
        """Return which guesses' circuits are among those that are on."""
        if on not in self._lit:
            self._lit[on] = np.array([circuit in on for circuit in self.circuits])
        return self._lit[on]

    def shows(self, on: frozenset[str], plugged: bool = False) -> Array:
        """Return the differences (guess, probe) with some circuits on, or with the shore lead in."""
        base = self.plugged if plugged else self.dead
        return np.where(self.lit(on)[:, None], self.live + base - self.dead, base)

    def shows_at(self, probe: int, on: frozenset[str], plugged: bool = False) -> Array:
        """Return ``shows`` at one probe (guess,)."""
        base = (self.plugged if plugged else self.dead)[:, probe]
        return np.where(self.lit(on), self.live[:, probe] + base - self.dead[:, probe], base)


def _differences(found: Sequence[Effect], name: str) -> Array:
    rows = np.array([getattr(one, name) for one in found])
    return np.asarray(np.clip(rows - rows[0], -ADRIFT, ADRIFT))


def nominal(plan: SlipPlan) -> SlipPlan:
    """Return the plan of the fleet's own boat of that kind, her anodes half worn, in the middle of what her marina offers."""
    marina = next(name for name, row in load("marina").items() if row["name"] == plan.berth.marina)
    berth = middle_berth(marina).model_copy(update={"name": ""})
    boat = fleet_boat(plan.boat.id)
    worn = {True: sum(COLLARS) / 2, False: sum(REMAINING) / 2}
    anodes = tuple(a.model_copy(update={"remaining": worn[a.mounting == "collar"]}) for a in boat.anodes)
    boat = boat.model_copy(update={"anodes": anodes})
    return plan.model_copy(update={"boat": boat, "berth": berth, "faults": (), "seed": "0" * 64})


def table_for(plan: SlipPlan, instruments: tuple[str, ...]) -> Table:
    """Return the table of a plan's boat for some instruments; made once for each boat, berth and company."""
    bare = nominal(plan).model_copy(
        update={"record_card": {}, "sheet": {}, "exercise": "", "kit": plan.kit.__class__()}
    )
    return _table(bare.canonical_json(), instruments)


@lru_cache(maxsize=32)
def _table(plan_json: str, instruments: tuple[str, ...]) -> Table:
    plan = SlipPlan.model_validate_json(plan_json)
    known, wanted = guesses(plan), probes(plan.boat, instruments)
    shape = (len(known), len(wanted))
    shapes = {"dead": shape, "live": shape, "plugged": shape, "trips": shape[:1]}
    shown = kept(place(plan_json, instruments), shapes, lambda: _solved(plan, known, wanted))
    pairs = [k for k in range(1, len(known)) if known[k - 1].name == known[k].name]
    dead, live, plugged = (
        np.concatenate([shown[name], _between(shown[name], pairs)]) for name in ("dead", "live", "plugged")
    )
    trips = [bool(one) for one in shown["trips"]]
    return Table(
        (*known, *(known[k] for k in pairs)),
        wanted,
        dead,
        live,
        plugged,
        np.array([*trips, *(trips[k] and trips[k - 1] for k in pairs)]),
    )


def _solved(plan: SlipPlan, known: Sequence[Guess], wanted: tuple[Probe, ...]) -> Arrays:
    """Solve the boat with each guess: differences from the sound one, and which trip (1) or not (0)."""
    sound = Afloat(plan)
    readings(sound, sound.start, wanted)
    found = [effect(plan, () if g.fault is None else (g.fault,), wanted, sound) for g in known]
    shown = {name: _differences(found, name) for name in ("dead", "live", "plugged")}
    return {**shown, "trips": np.array([float(one.trips) for one in found])}


def _between(rows: Array, pairs: Sequence[int]) -> Array:
    """Return what lies half-way between each of some rows and the row before it."""
    one, other = rows[list(pairs)], rows[[k - 1 for k in pairs]]
    same = np.sign(one) == np.sign(other)
    return np.where(same, np.sign(one) * np.sqrt(np.abs(one * other)), (one + other) / 2)
