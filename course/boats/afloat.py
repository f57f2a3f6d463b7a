"""A planned boat put in her water: the engine system for each state of links and anodes, and its passage of time.

Lumped form: one patch a metal. Flush plates take the resistance of a disk in an insulating plane; free metals that of the
spheroid or disk nearest to their shape. Engine coordinates: x forward, y to port, z up, the surface at z = 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.boats.datasets import load, row
from course.boats.description import Anode, Boat, Conductor, Metal, Place
from course.boats.plan import SlipPlan
from course.engine import (
    Kinetics,
    Network,
    Solution,
    System,
    Water,
    awg_diameter,
    conductor_resistance,
    disk_resistance,
    law,
    prolate_spheroid_resistance,
    relax_steps,
    solve,
    sphere_resistance,
    transfer_matrix,
    transfer_to_points,
)
from course.engine.constants import ZERO_CELSIUS

Array = NDArray[np.float64]
MINUTE = 60.0
STEADY_STEP = 2e-6  # V in a minute: an eighth of a millivolt in an hour, under any display digit in use
REGULAR_TEMPERATURE = 293.15


class Setting(NamedTuple):
    """What is open and what hangs out of the water."""

    open_links: frozenset[str]
    lifted: frozenset[str]


@dataclass(frozen=True)
class Body:
    """One metal in the water as the lumped engine sees it."""

    id: str
    alloy: str
    area: float
    radius: float
    self_resistance: float  # ohm at 1 S/m
    place: tuple[float, float, float]


@dataclass(frozen=True)
class Moment:
    """The boat at one minute: the potential of each member vs SHE and the engine's solution behind it."""

    setting: Setting
    bodies: tuple[str, ...]
    solution: Solution
    steady: bool
    polarisation: dict[str, float] = field(default_factory=dict)


def _metal_body(part: Metal) -> Body:
    area = part.wetted_area_m2
    if part.shape == "through_hull":
        radius = math.sqrt(area / math.pi)
        resistance = disk_resistance(radius, 1.0)
    elif part.shape == "shaft":
        half = part.length_m / 2
        resistance = prolate_spheroid_resistance(half, area / (math.pi**2 * half), 1.0)
        radius = 1 / (4 * math.pi * resistance)
    elif part.shape == "strut":
        radius = math.sqrt(area / (4 * math.pi))
        resistance = sphere_resistance(radius, 1.0)
    else:  # a thin plate wet on both sides: two half-spaces, each a disk in a plane
        resistance = disk_resistance(math.sqrt(area / (2 * math.pi)), 1.0) / 2
        radius = 1 / (4 * math.pi * resistance)
    return Body(part.id, part.metal, area * part.bare_fraction, radius, resistance, _xyz(part.place))


def _anode_body(part: Anode) -> Body:
    """An anode's wet area goes as the 2/3 power of the mass left, its length scale as the 1/3."""
    scale = part.remaining ** (2 / 3)
    face = part.length_m * part.width_m
    rim = 2 * (part.length_m + part.width_m) * part.thickness_m
    if part.mounting == "flush_plate":
        area = (face + rim) * scale
        resistance = disk_resistance(math.sqrt(area / math.pi), 1.0)
    elif part.mounting == "hanging":
        area = (2 * face + rim) * scale
        resistance = disk_resistance(math.sqrt(area / (2 * math.pi)), 1.0) / 2
    else:
        area = math.pi * part.width_m * part.length_m * scale
        resistance = sphere_resistance(math.sqrt(area / (4 * math.pi)), 1.0)
    return Body(part.id, part.alloy, area, 1 / (4 * math.pi * resistance), resistance, _xyz(part.place))


def _xyz(place: Place) -> tuple[float, float, float]:
    return (place.x_m, place.y_m, min(place.height_m, -0.05))


@cache
def kinetics_of(metal: str) -> Kinetics:
    """Return the engine's parameters of a metal. Raises UnknownName for one not in the table."""
    return Kinetics(**row("metals", metal)["kinetics"])


def conductor_ohm(part: Conductor) -> float:
    """Return the resistance of a bonding conductor with its joints, or of a contact."""
    if part.contact_ohm is not None:
        return part.contact_ohm
    assert part.gauge_awg is not None
    assert part.length_m is not None
    return conductor_resistance(part.gauge_awg, part.length_m, REGULAR_TEMPERATURE) + part.joints_ohm


def conductor_label(part: Conductor) -> str:
    """Return a conductor's size in words, gauge beside cross-section."""
    if part.gauge_awg is None:
        return part.label or "contact"
    area_mm2 = math.pi / 4 * awg_diameter(part.gauge_awg) ** 2 * 1e6
    return f"{part.gauge_awg} AWG ({area_mm2:.1f} mm2)"


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
        self.node_of = {member: k for k, member in enumerate(plan.boat.members)}
        parts = [_metal_body(m) for m in plan.boat.metals] + [_anode_body(a) for a in plan.boat.anodes]
        self._bodies = {body.id: body for body in parts}
        self._systems: dict[Setting, System] = {}
        self._steady: dict[Setting, Solution] = {}
        self._joined: dict[Setting, set[str]] = {}
        self._order = {body: k for k, body in enumerate(self._bodies)}
        self._geometry = (
            np.array([body.place for body in parts]),
            np.array([body.radius for body in parts]),
            berth.depth_m,
            berth.bed_reflection,
        )
        places, radii, *bed = self._geometry
        resistances = np.array([body.self_resistance for body in parts])
        self._transfer: Array = transfer_matrix(places, resistances, radii, *bed) / self.water.conductivity
        self._probes: dict[bytes, Array] = {}

    @property
    def start(self) -> Setting:
        """Return the setting in which the learner finds the boat."""
        found = self.plan.start
        return Setting(frozenset(found.open_links), frozenset(found.lifted_anodes))

    def bodies(self, setting: Setting) -> list[Body]:
        """Return the metals in the water in a setting."""
        return [body for body in self._bodies.values() if body.id not in setting.lifted]

    def system(self, setting: Setting) -> System:
        """Return the engine system of a setting."""
        if setting not in self._systems:
            self._systems[setting] = self._build(setting)
        return self._systems[setting]

    def _build(self, setting: Setting) -> System:
        bodies = self.bodies(setting)
        chosen = self._chosen(setting)
        return System(
            transfer=self._transfer[np.ix_(chosen, chosen)],
            area=np.array([body.area for body in bodies]),
            law=law([kinetics_of(body.alloy) for body in bodies], self.water),
            node=np.array([self.node_of[body.id] for body in bodies]),
            network=self._network(setting, self.plan.boat),
        )

    def _chosen(self, setting: Setting) -> list[int]:
        return [self._order[body.id] for body in self.bodies(setting)]

    def _network(self, setting: Setting, boat: Boat) -> Network:
        closed = [c for c in boat.conductors if not c.broken and c.id not in setting.open_links]
        return Network(
            size=len(self.node_of),
            branches=tuple((self.node_of[c.from_], self.node_of[c.to], 1 / conductor_ohm(c)) for c in closed),
        )

    def steady(self, setting: Setting) -> Moment:
        """Return the boat as she is once everything has settled in a setting."""
        if setting not in self._steady:
            self._steady[setting] = solve(self.system(setting))
        return self._moment(setting, self._steady[setting], True, {})

    def _moment(self, setting: Setting, solution: Solution, steady: bool, before: dict[str, float]) -> Moment:
        ids = tuple(body.id for body in self.bodies(setting))
        kept = dict(before)
        kept.update(zip(ids, (float(e) for e in solution.polarisation), strict=True))
        return Moment(setting, ids, solution, steady, kept)

    def later(self, moment: Moment, setting: Setting, minutes: int) -> Moment:
        """Return the boat ``minutes`` whole minutes later, in a setting taken up at their start.

        One backward-Euler step a minute with each metal's pseudo-capacitance: a declared first-order model.
        A metal lowered back into the water starts from the potential it had.
        """
        if minutes == 0 or (moment.steady and moment.setting == setting):
            return moment
        system, target = self.system(setting), self.steady(setting)
        bodies = self.bodies(setting)
        capacitance = np.array(
            [load("metals")[body.alloy]["pseudo_capacitance_F_m2"] for body in bodies], dtype=float
        )
        rest = target.polarisation
        before = np.array([moment.polarisation.get(body.id, rest[body.id]) for body in bodies])
        solution, stands = relax_steps(system, before, capacitance, MINUTE, minutes, STEADY_STEP)
        reached = target.solution if stands else solution
        return self._moment(setting, reached, stands, moment.polarisation)

    def water_potential(self, moment: Moment, points: Array) -> Array:
        """Return the potential of the water [V] at points (p, 3) [m]."""
        key = points.tobytes()
        if key not in self._probes:
            self._probes[key] = transfer_to_points(points, *self._geometry) / self.water.conductivity
        potential: Array = self._probes[key][:, self._chosen(moment.setting)] @ moment.solution.current
        return potential

    def voltage(self, moment: Moment, member: str) -> float | None:
        """Return the voltage of a member's metal [V], or None when no path ties it to any metal in the water."""
        if member not in self._tied(moment.setting):
            return None
        return float(moment.solution.node_voltage[self.node_of[member]])

    def _tied(self, setting: Setting) -> set[str]:
        """Return the members that a closed path of conductors joins to metal in the water."""
        if setting not in self._joined:
            self._joined[setting] = self._joined_to_metal(setting)
        return self._joined[setting]

    def _joined_to_metal(self, setting: Setting) -> set[str]:
        tied = {body.id for body in self.bodies(setting)}
        links = [
            (c.from_, c.to)
            for c in self.plan.boat.conductors
            if not c.broken and c.id not in setting.open_links
        ]
        grown = True
        while grown:
            more = {end for pair in links for end in pair if tied & set(pair)} - tied
            tied |= more
            grown = bool(more)
        return tied
