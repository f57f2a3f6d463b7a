"""The reference hunter: what a competent person would measure on this very boat, and what it takes.

Greedy: each time the measurement that tells most about what is wrong for the minutes it takes. Freely, or by the taught
procedure: the boat as found, everything off, then one circuit at a time or by halves, the repair, and its proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

import numpy as np

from course.boats.plan import SlipPlan
from graders.hunt.evidence import (
    ALIKE,
    HARDLY,
    Shown,
    by_group,
    chances,
    gains_at,
    level,
    nearest,
    seen,
    trip_chances,
)
from graders.hunt.probes import MINUTES, SET_UP_MINUTES, SETTLE_MINUTES, SETTLING, Array, Probe
from graders.hunt.table import SOUND, Table, effect, table_for

Style = Literal["free", "one at a time", "by halves"]
SURE = 0.98  # of belief in one group
WORTH_BITS = 0.03  # a measurement that tells less is not taken
STILL_BELIEVED = 0.2
MOST_MEASUREMENTS = 40
MENDING_MINUTES = 30


@dataclass(frozen=True)
class Step:
    """One measurement of a hunt: with which circuits on, the shore lead in or out, and of what."""

    on: frozenset[str]
    plugged: bool
    probe: Probe


@dataclass(frozen=True)
class Hunted:
    """A hunt that was done: its steps, the group it ended with, whether that is right up to what cannot be told, minutes."""

    style: Style
    steps: tuple[Step, ...]
    answer: str
    right: bool
    minutes: int

    @property
    def measurements(self) -> int:
        """Return how many measurements it took."""
        return len(self.steps)


@dataclass
class _Hunter:
    table: Table
    truth: Shown
    on: frozenset[str]
    plugged: bool
    belief: Array
    steps: list[Step] = field(default_factory=list)
    minutes: int = SET_UP_MINUTES
    settled: bool = True

    def cost(self, on: frozenset[str], plugged: bool, probe: Probe) -> int:
        """Return the minutes a measurement would take from here."""
        switched = len(self.on ^ on) + (3 if plugged != self.plugged else 0)
        waits = probe.kind in SETTLING and (switched > 0 or not self.settled)
        return switched + MINUTES[probe.kind] + (SETTLE_MINUTES if waits else 0)

    def look(self) -> None:
        """Take in whether a breaker opened by itself, and which."""
        if self.truth.trips and self.truth.circuits & self.on:
            self.belief = seen(self.belief, trip_chances(self.table, self.truth.circuits))
        else:
            self.belief = seen(self.belief, 1 - trip_chances(self.table, self.on))

    def measure(self, on: frozenset[str], plugged: bool, probe: Probe) -> None:
        """Switch, wait if need be, measure, and believe accordingly."""
        self.minutes += self.cost(on, plugged, probe)
        self.settled = probe.kind in SETTLING or (self.settled and on == self.on and plugged == self.plugged)
        switched, self.on, self.plugged = on != self.on, on, plugged
        if switched:
            self.look()
        k = self.table.probes.index(probe)
        shown = level(self.truth.at(on, plugged), self.table.tolerance)[k]
        self.belief = seen(self.belief, chances(self.table, on, plugged)[:, k, shown])
        self.steps.append(Step(on, plugged, probe))

    def best(self, settings: Iterable[tuple[frozenset[str], bool]], free: bool) -> Step | None:
        """Return the measurement that tells most, for the minutes it takes unless ``free``; None when none is worth it."""
        found: tuple[float, Step] | None = None
        for on, plugged in self._unlike(settings):
            told = gains_at(self.table, self.belief.tobytes(), on, plugged)
            minutes = np.array([self.cost(on, plugged, probe) for probe in self.table.probes])
            worth = told - 1e-4 * minutes if free else told / minutes
            taken = self._taken(on, plugged)  # ohms only with everything off, and nothing twice
            allowed = np.array([(p.kind != "ohm" or not on) and p not in taken for p in self.table.probes])
            worth = np.where(allowed & (told > WORTH_BITS), worth, -1.0)
            k = int(worth.argmax())
            if worth[k] > 0 and (found is None or worth[k] > found[0]):
                found = (float(worth[k]), Step(on, plugged, self.table.probes[k]))
        return None if found is None else found[1]

    @property
    def _suspected(self) -> set[str | None]:
        """Return the circuits of the guesses that are still believed."""
        return {c for c, kept in zip(self.table.circuits, self.belief > HARDLY, strict=True) if kept}

    def _taken(self, on: frozenset[str], plugged: bool) -> set[Probe]:
        """Return what was measured already in a setting, or in one that no guess still believed tells from it."""
        alike_here = on & self._suspected
        return {
            one.probe
            for one in self.steps
            if one.plugged == plugged and one.on & self._suspected == alike_here
        }

    def _unlike(
        self, settings: Iterable[tuple[frozenset[str], bool]]
    ) -> Iterator[tuple[frozenset[str], bool]]:
        """Yield of settings that no guess still believed tells apart only the one that is quickest to reach."""
        suspected = self._suspected
        quickest: dict[tuple[frozenset[str], bool, bool], tuple[frozenset[str], bool]] = {}
        for on, plugged in sorted(
            settings, key=lambda one: (self.cost(one[0], one[1], self.table.probes[0]), sorted(one[0]))
        ):
            quickest.setdefault((on & suspected, plugged, bool(on)), (on, plugged))
        yield from quickest.values()

    @property
    def sure(self) -> bool:
        """Return whether nearly all belief lies in one group; what cannot be told apart ends when nothing is worth measuring."""
        return float(by_group(self.belief, self.table).max()) >= SURE

    @property
    def answer(self) -> int:
        """Return the group that is believed most."""
        return int(by_group(self.belief, self.table).argmax())


def shown_by(plan: SlipPlan, table: Table) -> Shown:
    """Return what a plan's boat, with her own faults, shows against the same boat sound."""
    sound = effect(plan, (), table.probes)
    real = effect(plan, plan.faults, table.probes)
    circuits = frozenset(f.circuit for f in plan.faults if f.circuit is not None)
    return Shown(
        real.dead - sound.dead, real.live - sound.live, real.plugged - sound.plugged, real.trips, circuits
    )


def _singles(circuits: tuple[str, ...]) -> Iterator[frozenset[str]]:
    yield from (frozenset({circuit}) for circuit in circuits)


def _halves(hunter: _Hunter, circuits: tuple[str, ...]) -> Iterator[frozenset[str]]:
    """Yield each half of the circuits that are still suspected, in the order of the panel."""
    lit = [float(hunter.belief[hunter.table.lit(frozenset({c}))].sum()) for c in circuits]
    left = [c for c, share in zip(circuits, lit, strict=True) if share > 0.01]
    middle = (len(left) + 1) // 2
    yield from (frozenset(half) for half in (left[:middle], left[middle:]) if half)


def _settings(hunter: _Hunter, plan: SlipPlan, style: Style) -> list[tuple[frozenset[str], bool]]:
    circuits = tuple(c.id for c in plan.boat.circuits)
    off: frozenset[str] = frozenset()
    found = [(off, False), (frozenset(circuits), False)]
    if plan.dock is not None or plan.neighbours:
        found.append((off, True))
    partly = _halves(hunter, circuits) if style == "by halves" else _singles(circuits)
    found += [(on, False) for on in partly]
    if style == "free":
        found += [(on, False) for on in _halves(hunter, circuits)]
    return found


def hunt(plan: SlipPlan, instruments: tuple[str, ...], style: Style = "free") -> Hunted:
    """Return how the reference hunter hunts on a plan's boat."""
    return _hunt(plan.canonical_json(), instruments, style)


@lru_cache(maxsize=256)
def _hunt(plan_json: str, instruments: tuple[str, ...], style: Style) -> Hunted:
    plan = SlipPlan.model_validate_json(plan_json)
    table = table_for(plan, instruments)
    return _hunted(plan, table, style, shown_by(plan, table))


def _met(plan: SlipPlan, table: Table, truth: Shown) -> _Hunter:
    """Return a hunter who has looked at the panel of the boat as she was found."""
    on = frozenset(c.id for c in plan.boat.circuits) - set(plan.start.open_breakers)
    hunter = _Hunter(table, truth, on, plan.start.shore_plugged, table.prior)
    hunter.look()
    return hunter


def after_one_look(plan: SlipPlan, table: Table, truth: Shown) -> Array:
    """Return what is believed of a boat after her hull potential as found, and nothing else, was read."""
    hunter = _met(plan, table, truth)
    hunter.measure(hunter.on, hunter.plugged, Probe("hull"))
    return hunter.belief


def _hunted(plan: SlipPlan, table: Table, style: Style, truth: Shown) -> Hunted:
    circuits = frozenset(c.id for c in plan.boat.circuits)
    hunter = _met(plan, table, truth)
    if style != "free" and Probe("hull") in table.probes:
        hunter.measure(hunter.on, hunter.plugged, Probe("hull"))
        hunter.measure(frozenset(), False, Probe("hull"))
    while not hunter.sure and len(hunter.steps) < MOST_MEASUREMENTS:
        step = hunter.best(_settings(hunter, plan, style), style == "free")
        if step is None:
            break
        hunter.measure(step.on, step.plugged, step.probe)
    if style != "free":
        _prove(hunter, plan, circuits)
    return Hunted(
        style, tuple(hunter.steps), _name(table, hunter.answer), _right(hunter, plan), hunter.minutes
    )


def _prove(hunter: _Hunter, plan: SlipPlan, circuits: frozenset[str]) -> None:
    """Mend what was found, put everything as it was, wait, and take the reading that proves it."""
    found = circuits - set(plan.start.open_breakers)
    probe = Probe("hull") if Probe("hull") in hunter.table.probes else hunter.table.probes[0]
    hunter.minutes += 0 if not plan.faults else MENDING_MINUTES
    hunter.settled = hunter.settled and not plan.faults
    hunter.minutes += hunter.cost(found, plan.start.shore_plugged, probe)
    hunter.steps.append(Step(found, plan.start.shore_plugged, probe))


def _name(table: Table, group: int) -> str:
    return table.guesses[int(np.flatnonzero(table.groups == group)[0])].group


def _right(hunter: _Hunter, plan: SlipPlan) -> bool:
    """Return whether the answer is the truth, or cannot be told from it on this boat.

    That is so when it reads as the truth does at some severity, or when the truth is still believed and no measurement that is
    left would tell.
    """
    truths = {fault.group for fault in plan.faults} or {SOUND}
    groups = [guess.group in truths for guess in hunter.table.guesses]
    left = float(hunter.belief[np.array(groups)].sum())
    if _name(hunter.table, hunter.answer) in truths or (not hunter.sure and left >= STILL_BELIEVED):
        return True
    return nearest(hunter.table, hunter.truth, hunter.table.groups == hunter.answer) <= ALIKE


@dataclass(frozen=True)
class Par:
    """What the reference hunter needs on a plan's boat by the taught procedure, at the slower of the two ways."""

    minutes: int
    measurements: int
    right: bool


def par(plan: SlipPlan, instruments: tuple[str, ...]) -> Par:
    """Return par: halving a panel is as good as one circuit at a time, so the slower of both is par."""
    table = table_for(plan, instruments)
    truth = shown_by(plan, table)
    styles: tuple[Style, Style] = ("one at a time", "by halves")
    done = [_hunted(plan, table, style, truth) for style in styles]
    return Par(max(h.minutes for h in done), max(h.measurements for h in done), all(h.right for h in done))
