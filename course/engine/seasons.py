"""Years afloat: anodes waste, coatings fail, deposits grow, the water changes, the boat goes out and comes back.

Quasi-steady: at each moment the circuit is in balance (`solve`), and the slow states follow by an adaptive
step. What an anode loses is its whole dissolution, self-corrosion included:

    mass(t) = mass(0) - charge dissolved / capacity,

so that mass and charge agree to the last digit. An anode worn to the fraction `spent` falls off: an event, at
which the circuit is built anew without it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.engine.adjust import repeated
from course.engine.batch import kinetics_table
from course.engine.compiled import season_kernel
from course.engine.craft import Craft, refitted
from course.engine.electrode import Law, law
from course.engine.errors import Array, EngineError, require
from course.engine.film import biofilm_rate, deposit_rate, under_deposit, with_biofilm
from course.engine.kinetics import Kinetics
from course.engine.machine import Balance, Balancer
from course.engine.solve import solve
from course.engine.stepper import Step, integrate
from course.engine.system import Solution, System
from course.engine.water import Water
from course.engine.weather import DAY, WaterYear

Place = tuple[int, int]  # the switch position, and which of the waters of a tide

TOLERANCE = 2e-5  # of an anode's charge, and of a deposit's cover, a step
LEAST_LEFT = 1e-3  # fraction of mass at which sizes stop shrinking inside a trial step


@dataclass(frozen=True)
class Spell:
    """A stretch of use: `days` (0.01 to 36525) in which `network` is the switch position at the berth.

    Each day `hours_under_way` (0 to 24) pass at `speed` [m/s] in the position `network_under_way`.
    """

    days: float
    network: int = 0
    hours_under_way: float = 0.0
    speed: float = 0.0
    network_under_way: int = 0

    def __post_init__(self) -> None:
        require("length of a spell", self.days, "days", 0.01, 36525.0)
        require("hours under way a day", self.hours_under_way, "h", 0.0, 24.0)
        require("speed under way", self.speed, "m/s", 0.0, 20.0)


class Moment(NamedTuple):
    """Means over tide and day at one time: polarisation [V SHE], current and dissolution [A], each (n,)."""

    polarisation: Array
    current: Array
    dissolution: Array


@dataclass(frozen=True, eq=False)
class Voyage:
    """What the seasons did: k times, n patches.

    time (k,) s; mass (k, n) kg; polarisation (k, n) V SHE (the last one it had, of an anode that is gone);
    current (k, n) A; charge (k, n) C, net, metal to water; dissolved (k, n) C; cover (k, n) of deposit; biofilm (k, n), its share;
    gone_at (n,) s, infinity where it lasted; solves, how many.
    """

    time: Array
    mass: Array
    polarisation: Array
    current: Array
    charge: Array
    dissolved: Array
    cover: Array
    biofilm: Array
    gone_at: Array
    solves: int


@dataclass(eq=False)
class _Crew:
    """The craft while some of her anodes are still there: the right-hand side of the slow states.

    The state is (charge, dissolved, cover, biofilm), 4 n numbers.
    """

    craft: Craft
    year: WaterYear
    here: NDArray[np.int64]
    spell: Spell
    templates: dict[int, System] = field(default_factory=dict)
    machines: dict[int, Balancer] = field(default_factory=dict)
    last: dict[Place, Solution] = field(default_factory=dict)
    solves: int = 0

    def __post_init__(self) -> None:
        craft = self.craft
        whole = craft.mass * craft.capacity
        self.worn_by = np.where(whole > 0.0, 1.0 / np.where(whole > 0.0, whole, 1.0), 0.0)  # 1/C
        self.standing = np.intersect1d(craft.anodes, self.here)
        kinds: dict[Kinetics, int] = {}
        self.kind = np.array(
            [kinds.setdefault(craft.kinetics[k], len(kinds)) for k in self.here], dtype=np.int64
        )
        self.metals = tuple(kinds)
        self.square = np.ix_(self.here, self.here)
        self.filmed = bool(craft.deposit or craft.settling)
        self.bears, self.new = np.zeros(craft.size, dtype=bool), np.zeros(craft.size, dtype=bool)
        self.bears[list(craft.deposit)] = True
        self.new[list(craft.settling)] = True

    def remaining(self, state: Array) -> Array:
        """Fraction of its mass that each patch still has (1 for what is no anode)."""
        n = self.craft.size
        return np.asarray(1.0 - state[n : 2 * n] * self.worn_by)

    def margin(self, state: Array) -> float:
        """How far the most worn anode still is from falling off."""
        return float((self.remaining(state)[self.standing] - self.craft.spent).min(initial=1.0))

    def slope(self, time: float, state: Array) -> tuple[Array, Moment]:
        n, here = self.craft.size, self.here
        films = np.clip(state[2 * n :].reshape(2, n), 0.0, 1.0)
        fitted = self.craft.geometry(np.maximum(self.remaining(state), LEAST_LEFT), time)
        mean = np.zeros((5, n))
        for share, network, waters in self._modes(time):
            for phase, water in enumerate(waters):
                polarisation, current, lost = self._balance((network, phase), water, fitted, films)
                part = np.zeros((5, n))
                part[:3, here] = polarisation, current, lost
                if self.craft.deposit:
                    part[3, here] = deposit_rate(films[0, here], polarisation, water) * self.bears[here]
                if self.craft.settling:
                    part[4] = biofilm_rate(films[1], water) * self.new
                mean += share / len(waters) * part
        return mean[1:].ravel(), Moment(mean[0], mean[1], mean[2])

    def _modes(self, time: float) -> list[tuple[float, int, tuple[Water, ...]]]:
        out = self.spell.hours_under_way / 24.0
        waters = self.year.at(time)
        modes = []
        if out < 1.0:
            modes.append((1.0 - out, self.spell.network, waters))
        if out > 0.0:
            moving = tuple(water.moving(self.spell.speed) for water in waters)
            modes.append((out, self.spell.network_under_way, moving))
        return modes

    def _balance(self, place: Place, water: Water, fitted: tuple[Array, Array], films: Array) -> Balance:
        """Polarisation [V SHE], current [A] and dissolution [A] of the patches that are here."""
        self.solves += 1
        area = fitted[0][self.here]
        transfer = fitted[1][self.square] / water.conductivity
        found = None if self.filmed else self._by_kernel(place, water, area, transfer)
        return found or self._by_numpy(place, water, area, transfer, films)

    def _by_kernel(self, place: Place, water: Water, area: Array, transfer: Array) -> Balance | None:
        """The balance by the compiled kernel, or None where it is not there or did not settle."""
        if place[0] not in self.machines:
            machine = season_kernel(area.size + self.craft.networks[0].size, 1)
            if machine is None:
                return None
            template = self._template(place[0], repeated(law(self.metals, water), self.kind), area, transfer)
            self.machines[place[0]] = Balancer(machine, template, kinetics_table(self.metals), self.kind)
        return self.machines[place[0]].balance(place[1], water, area, transfer)

    def _template(self, network: int, laws: Law, area: Array, transfer: Array) -> System:
        """The system of a switch position, made once, whose circuit all others there share."""
        if network not in self.templates:
            here, found = self.here, self.craft.networks[network]
            self.templates[network] = System(transfer, area, laws, self.craft.node[here], found)
        return self.templates[network]

    def _by_numpy(self, place: Place, water: Water, area: Array, transfer: Array, films: Array) -> Balance:
        here, craft = self.here, self.craft
        laws = repeated(law(self.metals, water), self.kind)
        if craft.deposit:
            laws = under_deposit(laws, films[0, here])
        if craft.settling:
            laws = with_biofilm(laws, self.new[here], films[1, here])
        system = refitted(self._template(place[0], laws, area, transfer), transfer, area, laws)
        found = self.last[place] = solve(system, self.last.get(place))
        return found.polarisation, found.current, area * laws.dissolution(found.polarisation)


def _never(_time: float, _gone_at: Array) -> bool:
    return False


def sail(
    craft: Craft,
    year: WaterYear,
    spells: Sequence[Spell],
    start: float = 0.0,
    enough: Callable[[float, Array], bool] = _never,
) -> Voyage:
    """Take `craft` through `spells` one after another, from `start` [s after the first of January].

    `enough` is asked at each step, with the time [s] and when each patch went (n,) [s], whether the voyage may end
    there; up to there it is what it would have been.

    Steps are at most 30 days (a third of a flood), so that no season is skipped; about 1e-4 of an anode's
    mass. Raises EngineError for a switch position that is not there, or what `solve` raises.
    """
    for number, spell in enumerate(spells):
        for at in (spell.network, spell.network_under_way):
            if not 0 <= at < len(craft.networks):
                raise EngineError(
                    f"spell {number} wants network {at}; the craft's are 0 to {len(craft.networks) - 1}."
                )
    if not spells:
        raise EngineError("a voyage needs at least one spell; none was given.")
    n, time, solves = craft.size, start, 0
    here, gone = np.arange(n), np.full(n, np.inf)
    state = np.zeros(4 * n)
    crew = _Crew(craft, year, here, spells[0])
    log = [Step(time, state, crew.slope(time, state)[1])]
    for spell in spells:
        end = time + spell.days * DAY
        while time < end and here.size and not enough(time, gone):
            solves += crew.solves
            crew = _Crew(craft, year, here, spell)
            log += integrate(
                crew.slope,
                (time, end),
                state,
                _tolerance(craft),
                year.longest_step,
                crew.margin,
                lambda now: enough(now, gone),
            )
            time, state = log[-1].time, log[-1].state
            fallen = [k for k in craft.anodes if k in here and crew.remaining(state)[k] <= craft.spent + 1e-9]
            gone[fallen] = time
            here = np.setdiff1d(here, fallen)
    return _voyage(craft, log, gone, solves + crew.solves)


def _tolerance(craft: Craft) -> Array:
    whole = np.where(craft.mass > 0.0, craft.mass * craft.capacity, np.inf)
    return np.concatenate(
        [np.full(craft.size, np.inf), TOLERANCE * whole, np.full(2 * craft.size, TOLERANCE * 10.0)]
    )


def _voyage(craft: Craft, log: list[Step[Moment]], gone: Array, solves: int) -> Voyage:
    n, time = craft.size, np.array([step.time for step in log])
    states = np.array([step.state for step in log])
    potential = np.array([step.extra.polarisation for step in log])
    capacity = np.where(craft.capacity > 0.0, craft.capacity, np.inf)
    for k in np.flatnonzero(np.isfinite(gone)):
        last = int(np.searchsorted(time, gone[k]))
        potential[last:, k] = potential[last, k]
    return Voyage(
        time=time,
        mass=craft.mass - states[:, n : 2 * n] / capacity,
        polarisation=potential,
        current=np.array([step.extra.current for step in log]),
        charge=states[:, :n],
        dissolved=states[:, n : 2 * n],
        cover=states[:, 2 * n : 3 * n],
        biofilm=states[:, 3 * n :],
        gone_at=gone,
        solves=solves,
    )
