"""A boat with the faults she has at one state of repair: patches, nodes, transfer matrix, and the system of each setting."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from course.boats.bilge_water import bilge_nodes
from course.boats.boat_parts import Conductor
from course.boats.boat_systems import BILGE_WATER, DOCK_EARTH, SHORE_EARTH, Shore
from course.boats.bodies import Body, boat_bodies
from course.boats.datasets import kinetics_of
from course.boats.description import Boat
from course.boats.faults import Fault, faulty
from course.boats.fresh_water import FRESH_BELOW, FreshField, fresh_field
from course.boats.plan import SlipPlan
from course.boats.setting import Setting, Wiring
from course.boats.surroundings import DOCK_METAL, between
from course.engine import (
    Network,
    System,
    Water,
    conductor_resistance,
    law,
    transfer_matrix,
    transfer_to_points,
)
from course.engine.constants import ZERO_CELSIUS
from course.engine.pieces import Pieces, path
from course.engine.shore import safety_earth

Array = NDArray[np.float64]
REGULAR_TEMPERATURE = 293.15


def conductor_ohm(part: Conductor) -> float:
    """Return the resistance of a bonding conductor with its joints, or of a contact."""
    if part.contact_ohm is not None:
        return part.contact_ohm
    assert part.gauge_awg is not None
    assert part.length_m is not None
    return conductor_resistance(part.gauge_awg, part.length_m, REGULAR_TEMPERATURE) + part.joints_ohm


class Fitted:
    """The lumped form of a plan's boat with some faults, whichever of them are not mended."""

    def __init__(self, plan: SlipPlan, water: Water, faults: tuple[Fault, ...]) -> None:
        self.plan, self.water, self.faults = plan, water, faults
        self.boat: Boat = faulty(plan.boat, faults)
        self.neighbours = plan.neighbours
        for fault in faults:
            self.neighbours = fault.neighbours(self.neighbours)
        self.ashore = plan.dock is not None
        parts = [*boat_bodies(self.boat), *(b for n in self.neighbours for b in n.bodies())]
        self.bodies = (*parts, plan.dock.body()) if plan.dock is not None else tuple(parts)
        self.order = {body.id: k for k, body in enumerate(self.bodies)}
        self.node_of = {name: k for k, name in enumerate(self._nodes())}
        self.wiring = Wiring(self.boat, self.node_of, water)
        owners = {f"{n.node}:{k}": n.node for n in self.neighbours for k in range(len(n.metals))}
        self.node = np.array([self.node_of[owners.get(body.id, body.id)] for body in self.bodies])
        self.systems: dict[Setting, System] = {}
        self._heard: dict[bytes, Array] = {}
        self._names: dict[frozenset[str], tuple[str, ...]] = {}
        self.probes: dict[bytes, Array] = {}  # the map a dragged cell follows is the same at every act

    def _nodes(self) -> Iterator[str]:
        yield from self.boat.members
        if any(fault.wets_bilge for fault in self.faults):
            yield from bilge_nodes(self.boat)
        if self.inlet is not None:
            yield SHORE_EARTH
        if self.ashore:
            yield from (DOCK_EARTH, DOCK_METAL)
            yield from (name for n in self.neighbours for name in (n.node, n.earth, n.inlet))
        else:
            yield from (name for n in self.neighbours for name in (n.node, n.earth))

    @property
    def inlet(self) -> Shore | None:
        """What stands in the safety earth aboard, or None on a boat without shore power."""
        shore = self.boat.shore
        return None if shore is None or shore.arrangement == "none" else shore

    @cached_property
    def geometry(self) -> tuple[Array, Array, float, float]:
        """Places (n, 3) m, radii (n,) m, depth of the water m, reflection of the bed."""
        places = np.array([body.place for body in self.bodies])
        radii = np.array([body.radius for body in self.bodies])
        return places, radii, self.plan.berth.depth_m, self.plan.berth.bed_reflection

    @cached_property
    def _fresh(self) -> FreshField | None:
        """The field of the boat in fresh water, where the lumped form's own resistances are no good."""
        fresh = self.plan.berth.salinity < FRESH_BELOW
        return fresh_field(self.boat, self.bodies, self.plan.berth) if fresh else None

    @cached_property
    def transfer(self) -> Array:
        """Potential of the water at each patch per ampere from each (n, n) [ohm]."""
        if self._fresh is not None:
            return self._fresh.transfer / self.water.conductivity
        places, radii, *bed = self.geometry
        alone = np.array([body.self_resistance for body in self.bodies])
        return transfer_matrix(places, alone, radii, *bed) / self.water.conductivity

    def to_points(self, points: Array) -> Array:
        """Potential at points (p, 3) m per ampere from each patch (p, n) [ohm]; kept for each set of points."""
        key = points.tobytes()
        if key not in self._heard:
            field = (
                self._fresh.to_points(points) if self._fresh else transfer_to_points(points, *self.geometry)
            )
            self._heard[key] = field / self.water.conductivity
        return self._heard[key]

    def hear(self, other: Fitted) -> None:
        """Take over the field of the same metals in the same places of the same water, as far as it has been worked out."""
        if other.bodies == self.bodies and other.boat.hull == self.boat.hull:
            if "transfer" in other.__dict__:
                self.__dict__["transfer"] = other.transfer
            self._heard.update(other._heard)

    def names(self, setting: Setting) -> tuple[str, ...]:
        """Return the ids of the patches that are in the water in a setting."""
        if setting.lifted not in self._names:
            self._names[setting.lifted] = tuple(body.id for body in self.in_water(setting))
        return self._names[setting.lifted]

    def in_water(self, setting: Setting) -> list[Body]:
        """Return the patches that are in the water in a setting."""
        return [body for body in self.bodies if body.id not in setting.lifted]

    def chosen(self, setting: Setting) -> list[int]:
        """Return the numbers of the patches that are in the water in a setting."""
        return [k for k, body in enumerate(self.bodies) if body.id not in setting.lifted]

    def system(self, setting: Setting) -> System:
        """Return the engine system of a setting."""
        if setting not in self.systems:
            chosen, bodies = self.chosen(setting), self.in_water(setting)
            self.systems[setting] = System(
                transfer=self.transfer[np.ix_(chosen, chosen)],
                area=np.array([body.area for body in bodies]),
                law=law([kinetics_of(body.alloy) for body in bodies], self.water),
                node=self.node[chosen],
                network=self.network(setting),
            )
        return self.systems[setting]

    def closed(self, setting: Setting) -> list[Conductor]:
        """Return the conductors that conduct in a setting."""
        return [c for c in self.boat.conductors if not c.broken and c.id not in setting.open_links]

    def network(self, setting: Setting) -> Network:
        """Return the conductors, leaks, bilge and shore power of a setting as one network."""
        total = Pieces()
        for conductor in self.closed(setting):
            ends = self.node_of[conductor.from_], self.node_of[conductor.to]
            total += path(*ends, conductor_ohm(conductor))
        for _, pieces in self.sources(setting):
            total += pieces
        if BILGE_WATER in self.node_of:
            total += self.wiring.bilge()
        total += self._ashore(setting)
        return Network(len(self.node_of), total.branches, total.sources, total.diodes, ZERO_CELSIUS + 25.0)

    def sources(self, setting: Setting) -> list[tuple[Fault, Pieces]]:
        """Return what each fault adds to the network in a setting."""
        return [(fault, fault.pieces(self.wiring, setting)) for fault in self.faults]

    def _ashore(self, setting: Setting) -> Pieces:
        total, shore, node = Pieces(), self.inlet, self.node_of
        if shore is not None:
            total += between(shore.arrangement, shore.isolator, node[shore.earth_at], node[SHORE_EARTH])
        if self.plan.dock is None:
            for neighbour in self.neighbours:
                total += neighbour.afloat(node)
            return total
        total += self.plan.dock.pieces(node)
        for neighbour in self.neighbours:
            total += neighbour.pieces(node)
        if shore is not None and setting.shore_plugged:
            total += safety_earth(
                node[SHORE_EARTH], node[DOCK_EARTH], shore.cord_gauge_awg, shore.cord_length_m
            )
        return total
