"""A learner's readings as evidence: which measurement each was, in which setting, and how far from the sound boat's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from course.boats.afloat import Afloat
from course.boats.boat_systems import BILGE_WATER
from course.boats.description import COMMON_POINT
from course.boats.plan import SlipPlan
from course.instruments.meter import DIAL, OVERLOAD
from course.instruments.points import contact_ohm, member_of
from course.instruments.replay import Reading
from course.instruments.state import State
from graders.hunt.evidence import FLOOR, level, outcome_chances
from graders.hunt.probes import ADRIFT, TOLERANCE, Array, Probe
from graders.hunt.table import Effect, Table, effect

SETTLED_MV = 8.0
PARTED_OHM = 5.0  # no sound bond shows so many
TO_MV = {"V": 1000.0, "mV": 1.0}
TO_MA = {"mA": 1.0, "A": 1000.0}
TO_OHM = {"ohm": 1.0, "kohm": 1000.0}
Summed = tuple[tuple[int, float], ...]  # probes by their number in the table, each with its sign


@dataclass(frozen=True)
class Evidence:
    """One reading as evidence: the probes it adds up (index, sign), the setting, its difference from the sound boat's."""

    reading: Reading
    terms: Summed
    on: frozenset[str]
    plugged: bool
    value: float
    difference: float
    tolerance: float

    def predicted(self, table: Table) -> Array:
        """Return the difference each guess would show (guess,)."""
        return _predicted(table, self.terms, self.on, self.plugged)

    def chance(self, table: Table) -> Array:
        """Return how likely each guess makes what was read (guess,)."""
        if _in_ohms(table, self.terms):
            return np.asarray(self.chances(table)[:, int(abs(self.difference) > PARTED_OHM)])
        width = np.array([self.tolerance])
        outcome = int(level(np.array([self.difference]), width)[0])
        return np.asarray(self.chances(table)[:, outcome])

    def chances(self, table: Table) -> Array:
        """Return how likely each guess makes each outcome (guess, level); of ohms there are two, joined and not."""
        if _in_ohms(table, self.terms):
            return _joined_or_not(self.predicted(table))
        return _chances(table, self.terms, self.on, self.plugged, self.tolerance)


def _in_ohms(table: Table, terms: Summed) -> bool:
    return table.probes[terms[0][0]].kind == "ohm"


def _joined_or_not(ohms: Array) -> Array:
    """Return how likely a metal seems joined, and not, where a guess puts so many ohms more between it and the common point.

    Afloat a meter on ohms sees the boat's own voltage across a bad bond as well, so it does not tell how bad the bond is.
    """
    far = np.where(ohms <= TOLERANCE["ohm"], FLOOR, np.where(ohms > PARTED_OHM, 1 - FLOOR, 0.5))
    return np.stack([1 - far, far], axis=1)


def _predicted(table: Table, terms: Summed, on: frozenset[str], plugged: bool) -> Array:
    total = np.zeros(len(table.guesses))
    for k, sign in terms:
        total += sign * table.shows_at(k, on, plugged)
    return total


@lru_cache(maxsize=512)  # learners on boats of one kind read the same things
def _chances(table: Table, terms: Summed, on: frozenset[str], plugged: bool, tolerance: float) -> Array:
    shown = _predicted(table, terms, on, plugged)
    return np.asarray(outcome_chances(shown[:, None], np.array([tolerance]))[:, 0, :])


def circuits_on(plan: SlipPlan, state: State) -> frozenset[str]:
    """Return the circuits that are under voltage in a state."""
    setting = state.setting
    live = (c for c in plan.boat.circuits if c.id not in setting.open_breakers)
    return frozenset(c.id for c in live if setting.battery_on or c.feed == "battery")


@lru_cache(maxsize=4)
def _sound(afloat: Afloat, wanted: tuple[Probe, ...]) -> Effect:
    """What a boat would show if nothing were wrong with her, worked out once for all her readings."""
    return effect(afloat.plan, (), wanted, afloat)


def evidence_of(afloat: Afloat, table: Table, reading: Reading) -> Evidence | None:
    """Return a reading as evidence, or None when it is none: other links open, parts mended, still moving, no such probe."""
    state, plan = reading.state, afloat.plan
    start, setting = afloat.start, state.setting
    if setting.mended or setting.open_links != start.open_links or setting.lifted != start.lifted:
        return None
    found = _clamped(reading) if reading.instrument == "clamp" else _metered(afloat, reading)
    if found is None:
        return None
    probes, value = found
    numbers = {probe: k for k, probe in enumerate(table.probes)}
    if any(probe not in numbers for probe, _ in probes) or not _settled(afloat, state, probes):
        return None
    sound = _sound(afloat, table.probes)
    base = sound.plugged if setting.shore_plugged else sound.dead
    terms = tuple((numbers[probe], sign) for probe, sign in probes)
    expected = sum(sign * base[k] for k, sign in terms)
    width = float(sum(table.tolerance[k] for k, _ in terms))
    on = circuits_on(plan, state)
    return Evidence(reading, terms, on, setting.shore_plugged, value, value - expected, width)


def _number(reading: Reading, scale: dict[str, float]) -> float | None:
    try:
        return scale[reading.display.unit] * float(reading.display.text)
    except (KeyError, ValueError):
        return None


def _ohms(reading: Reading) -> float | None:
    """Return what an ohmmeter shows [ohm]; beyond its range there is no path to speak of, which is what a parted bond shows."""
    if reading.display.text == OVERLOAD and reading.display.unit in TO_OHM:
        return ADRIFT
    return _number(reading, TO_OHM)


def _bright(afloat: Afloat, state: State, lead: str) -> bool:
    """Return whether a clip meets metal: through paint or scale an ohmmeter shows the paint's ohms."""
    point = state.leads[lead].point
    return point is not None and contact_ohm(afloat, point, point in state.scraped) < TOLERANCE["ohm"]


Terms = tuple[tuple[Probe, float], ...]


def _clamped(reading: Reading) -> tuple[Terms, float] | None:
    clamp, value = reading.state.clamp, _number(reading, TO_MA)
    if value is None or not clamp.around:
        return None
    value = value if clamp.arrow == "forward" else -value
    if len(clamp.around) == 1:
        return ((Probe("clamp", clamp.around[0]), 1.0),), value
    poles = {tuple(name.split(":", 1)) for name in clamp.around if ":" in name}
    circuits = {circuit for _, circuit in poles}
    if len(clamp.around) == 2 and len(circuits) == 1 and len(poles) == 2:
        return ((Probe("leak", circuits.pop()), 1.0),), value
    return None


def _metered(afloat: Afloat, reading: Reading) -> tuple[Terms, float] | None:
    state = reading.state
    dial = DIAL.get(state.dial)
    plus, common = state.lead_in("V"), state.lead_in("COM")
    if dial is None or plus is None or common is None:
        return None
    ends = [_end(afloat, state, lead) for lead in (plus, common)]
    if None in ends:
        return None
    if dial.tests:
        value, metals = _ohms(reading), {end for end in ends if end != COMMON_POINT}
        if value is None or len(metals) != 1 or COMMON_POINT not in ends:
            return None
        if not all(_bright(afloat, state, lead) for lead in (plus, common)):
            return None
        return ((Probe("ohm", str(metals.pop())), 1.0),), value
    value = _number(reading, TO_MV)
    if value is None:
        return None
    terms: dict[Probe, float] = {}
    for end, sign in zip(ends, (1.0, -1.0), strict=True):
        for probe in _probes_of(str(end)):
            turned = -sign if probe.kind == "hull" else sign
            terms[probe] = terms.get(probe, 0.0) + turned
    kept = tuple((probe, sign) for probe, sign in terms.items() if sign)
    return (kept, value) if kept else None


def _end(afloat: Afloat, state: State, lead: str) -> str | None:
    if lead == "cell lead":
        return "cell" if state.cell is not None else None
    if lead == "bilge probe":
        return BILGE_WATER if state.dipped is not None else None
    point = state.leads[lead].point
    return None if point is None else member_of(afloat.plan.boat, point)


def _probes_of(end: str) -> tuple[Probe, ...]:
    """Return the probes that stand for where a lead ends, each against the common bonding point."""
    if end == COMMON_POINT:
        return ()
    if end == "cell":  # the water stands under the common bonding point by the hull potential
        return (Probe("hull"),)
    return (Probe("bilge"),) if end == BILGE_WATER else (Probe("metal", end),)


def _settled(afloat: Afloat, state: State, probes: Terms) -> bool:
    """Return whether the boat has come to rest, as far as a meter would see."""
    if state.moment.steady or not any(probe.unit == "mV" for probe, _ in probes):
        return True
    rest = afloat.steady(state.setting)
    ends = {probe.at or COMMON_POINT for probe, _ in probes if probe.kind in ("hull", "metal")} | {
        COMMON_POINT
    }
    for end in ends:
        now, then = afloat.voltage(state.moment, end), afloat.voltage(rest, end)
        if now is not None and then is not None and abs(now - then) * 1000 > SETTLED_MV:
            return False
    return True


def evidence(afloat: Afloat, table: Table, readings: tuple[Reading, ...]) -> Iterator[Evidence]:
    """Yield the readings that are evidence, in order."""
    for reading in readings:
        found = evidence_of(afloat, table, reading)
        if found is not None:
            yield found
