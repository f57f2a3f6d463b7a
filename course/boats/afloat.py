"""A planned boat put in her water: what she does in each setting of switches, links and anodes, and as time passes.

Lumped form: one patch a metal. Engine coordinates: x forward, y to port, z up, the surface at z = 0. A fault counts unless the
setting says that it has been mended; a switch that no fault hangs on changes nothing, and is left out of what is computed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from course.boats.boat_parts import Conductor
from course.boats.bodies import Body
from course.boats.datasets import kinetics_of, load
from course.boats.description import Boat
from course.boats.fitted import Fitted, conductor_ohm
from course.boats.paths import (
    bilge_voltage,
    clampable,
    conductor_current,
    overloaded,
    post_voltage,
)
from course.boats.plan import SlipPlan
from course.boats.probing import joined_to_source, probed
from course.boats.setting import BOND, Setting
from course.engine import Solution, System, Water, awg_diameter, relax_steps, solve
from course.engine.constants import ZERO_CELSIUS

__all__ = ["Afloat", "Body", "Moment", "Setting", "conductor_label", "conductor_ohm", "kinetics_of"]

Array = NDArray[np.float64]
MINUTE = 60.0
STEADY_STEP = 2e-6  # V in a minute: an eighth of a millivolt in an hour, under any display digit in use


@dataclass(frozen=True)
class Moment:
    """The boat at one minute: the potential of each member vs SHE and the engine's solution behind it."""

    setting: Setting
    bodies: tuple[str, ...]
    solution: Solution
    steady: bool
    polarisation: dict[str, float] = field(default_factory=dict)


def conductor_label(part: Conductor) -> str:
    """Return a conductor's size in words, gauge beside cross-section."""
    if part.gauge_awg is None:
        return part.label or "contact"
    area_mm2 = math.pi / 4 * awg_diameter(part.gauge_awg) ** 2 * 1e6
    return f"{part.gauge_awg} AWG ({area_mm2:.1f} mm²)"


class Afloat:
    """A boat afloat: builds and keeps the systems of one plan."""

    def __init__(self, plan: SlipPlan) -> None:
        self.plan = plan
        berth = plan.berth
        self.water = Water(
            temperature=berth.temperature_degC + ZERO_CELSIUS,
            salinity=berth.salinity,
            flow=berth.flow_m_per_s,
        )
        self._faults = frozenset(name for fault in plan.faults for name in (fault.id, fault.id + BOND))
        self._fitted: dict[frozenset[str], Fitted] = {}
        self._plain: dict[Setting, Setting] = {}
        self._steady: dict[Setting, Solution] = {}

    @property
    def start(self) -> Setting:
        """Return the setting in which the learner finds the boat."""
        found = self.plan.start
        return Setting(
            frozenset(found.open_links),
            frozenset(found.lifted_anodes),
            frozenset(found.open_breakers),
            found.battery_on,
            found.shore_plugged,
        )

    @property
    def node_of(self) -> dict[str, int]:
        """Return the numbers of the nodes of the boat as she is found."""
        return self.fitted(self.start).node_of

    def fitted(self, setting: Setting) -> Fitted:
        """Return the boat at the state of repair of a setting."""
        mended = setting.mended & self._faults
        if mended not in self._fitted:
            still = (fault for fault in self.plan.faults if fault.id not in mended)
            left = tuple(fault.rebonded() if fault.id + BOND in mended else fault for fault in still)
            fitted = Fitted(self.plan, self.water, left)
            for known in self._fitted.values():
                fitted.hear(known)
            self._fitted[mended] = fitted
        return self._fitted[mended]

    def boat(self, setting: Setting) -> Boat:
        """Return the boat as she is at the state of repair of a setting: what was added or lost can be seen on her."""
        return self.fitted(setting).boat

    def plain(self, setting: Setting) -> Setting:
        """Return the setting without the switches that change nothing: what results are kept under."""
        if setting not in self._plain:
            fitted = self.fitted(setting)
            fed = {fault.circuit for fault in fitted.faults} - {None}
            circuits = [c for c in fitted.boat.circuits if c.id in fed]
            shore = fitted.boat.shore
            can_plug = self.plan.dock is not None and shore is not None and shore.arrangement != "none"
            self._plain[setting] = setting._replace(
                open_breakers=setting.open_breakers & {c.id for c in circuits},
                battery_on=setting.battery_on or all(c.feed == "battery" for c in circuits),
                shore_plugged=setting.shore_plugged and can_plug,
                mended=setting.mended & self._faults,
            )
        return self._plain[setting]

    def bodies(self, setting: Setting) -> list[Body]:
        """Return the metals in the water in a setting."""
        return self.fitted(setting).in_water(setting)

    def system(self, setting: Setting) -> System:
        """Return the engine system of a setting."""
        return self.fitted(setting).system(self.plain(setting))

    def steady(self, setting: Setting) -> Moment:
        """Return the boat as she is once everything has settled in a setting."""
        plain = self.plain(setting)
        if plain not in self._steady:
            self._steady[plain] = solve(self.system(setting))
        return self._moment(setting, self._steady[plain], True, {})

    def _moment(self, setting: Setting, solution: Solution, steady: bool, before: dict[str, float]) -> Moment:
        ids = self.fitted(setting).names(setting)
        kept = before | dict(zip(ids, solution.polarisation.tolist(), strict=True))
        return Moment(setting, ids, solution, steady, kept)

    def later(self, moment: Moment, setting: Setting, minutes: int) -> Moment:
        """Return the boat ``minutes`` whole minutes later, in a setting taken up at their start.

        One backward-Euler step a minute with each metal's pseudo-capacitance: a declared first-order model.
        A metal lowered back into the water starts from the potential it had.
        """
        if minutes == 0:
            return moment
        if moment.steady and self.plain(moment.setting) == self.plain(setting):
            return moment if moment.setting == setting else replace(moment, setting=setting)
        system, target = self.system(setting), self.steady(setting)
        bodies = self.bodies(setting)
        rest = target.polarisation
        before = np.array([moment.polarisation.get(body.id, rest[body.id]) for body in bodies])
        solution, stands = relax_steps(
            system, before, self._capacitance(setting), MINUTE, minutes, STEADY_STEP
        )
        reached = target.solution if stands else solution
        return self._moment(setting, reached, stands, moment.polarisation)

    def _capacitance(self, setting: Setting) -> Array:
        metals = load("metals")
        return np.array(
            [metals[body.alloy]["pseudo_capacitance_F_m2"] for body in self.bodies(setting)], dtype=float
        )

    def water_potential(self, moment: Moment, points: Array) -> Array:
        """Return the potential of the water [V] at points (p, 3) [m]."""
        fitted = self.fitted(moment.setting)
        potential: Array = (
            fitted.to_points(points)[:, fitted.chosen(moment.setting)] @ moment.solution.current
        )
        return potential

    def voltage(self, moment: Moment, member: str) -> float | None:
        """Return the voltage [V] of a member's metal, or of any other node of the network by name.

        None when no path ties it to metal in the water, or when this boat has no such node now.
        """
        fitted = self.fitted(moment.setting)
        if member == "battery_positive":
            return post_voltage(fitted, moment.setting, moment.solution)
        if member == "bilge_water" and member not in fitted.node_of:
            return bilge_voltage(fitted, moment.solution, self.system(moment.setting))
        if member not in fitted.node_of or not self.tied(moment.setting, member):
            return None
        return float(moment.solution.node_voltage[fitted.node_of[member]])

    def tied(self, setting: Setting, member: str) -> bool:
        """Return whether a path of conductors joins a node to metal in the water."""
        system, node = self.system(setting), self.fitted(setting).node_of[member]
        component = system.tree.component
        return component[node] in {component[int(k)] for k in system.node}

    def current(self, moment: Moment, conductor: str) -> float:
        """Return the current [A], from its first end to its second, in what a clamp can close around.

        Bonding conductors by id; "shore_earth" from boat to dock; "positive:<circuit>" and "negative:<circuit>" both from the panel
        to the load, so that a clamp round both reads what leaks. A wire that is not there, or not any more, carries none.
        """
        return conductor_current(self.fitted(moment.setting), moment.setting, moment.solution, conductor)

    def clampable(self) -> tuple[tuple[str, str], ...]:
        """Return what a clamp can go round, as (id, label): every wire of the boat as she is found."""
        return clampable(self.boat(self.start))

    def trips(self, setting: Setting) -> frozenset[str]:
        """Return the circuits whose current is more than their breaker carries: only a fault makes it so."""
        if all(fault.circuit is None for fault in self.plan.faults):
            return frozenset()
        return overloaded(self.fitted(setting), setting, self.steady(setting).solution)

    def live(self, setting: Setting, member: str) -> bool:
        """Return whether a direct-current source pushes current into a member now; no resistance is measured there."""
        return joined_to_source(self.fitted(setting), setting, member)

    def probed(self, moment: Moment, a: str, b: str, emf_V: float, ohm: float) -> float:
        """Return the volts of node ``a`` over node ``b`` with a test source between them, positive towards ``a``.

        The source (an ohmmeter's, or with no emf a meter that loads the circuit) acts for one second; the metals' polarisation
        moves no further than their capacitance lets it. Raises KeyError for a node that this boat has not.
        """
        setting = moment.setting
        before = np.array([moment.polarisation[name] for name in moment.bodies])
        parts = self.fitted(setting), self.system(setting)
        return probed(*parts, before, self._capacitance(setting), a, b, emf_V, ohm)
