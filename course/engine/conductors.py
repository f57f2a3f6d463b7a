"""Metal paths: wires by gauge and length, and the network they form with sources and diode strings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from course.engine.constants import ZERO_CELSIUS
from course.engine.errors import Array, EngineError, require

COPPER_RESISTIVITY = 1.7241e-8  # ohm m at 20 degC: annealed copper, 100 % IACS (IEC 60028)
COPPER_COEFFICIENT = 3.93e-3  # 1/K at 20 degC (IEC 60028)


def awg_diameter(gauge: int) -> float:
    """Diameter [m] of a solid wire of American Wire Gauge `gauge` (-3 for 4/0 to 40).

    0.127 mm * 92**((36 - gauge)/39), ASTM B258. Raises OutOfRange.
    """
    require("wire gauge", gauge, "AWG", -3, 40)
    return float(0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0))


def conductor_resistance(gauge: int, length: float, temperature: float = ZERO_CELSIUS + 20.0) -> float:
    """Resistance [ohm] of a copper conductor of `gauge` (AWG) and `length` [m] at `temperature` [K].

    Solid section of the gauge; a stranded conductor is some 2 % higher. Raises OutOfRange.
    """
    require("conductor length", length, "m", 0.0, 1e5)
    require("conductor temperature", temperature, "K", 150.0, 500.0)
    section = 0.25 * math.pi * awg_diameter(gauge) ** 2
    warm = 1.0 + COPPER_COEFFICIENT * (temperature - ZERO_CELSIUS - 20.0)
    return COPPER_RESISTIVITY * warm * length / section


class Branch(NamedTuple):
    """A conductor between nodes `a` and `b`: conductance [S]."""

    a: int
    b: int
    conductance: float


class Source(NamedTuple):
    """A source: node `end` stands `emf` [V] over node `start`, less its current times `resistance` [ohm]."""

    start: int
    end: int
    emf: float
    resistance: float


class DiodeString(NamedTuple):
    """`junctions` silicon junctions in series that conduct from node `a` to node `b` (Shockley).

    i = saturation_current * (exp(v/(junctions*emission*Vt)) - 1), continued by its tangent past argument 25.
    Two strings, one each way, make a galvanic isolator: see `isolator`.
    """

    a: int
    b: int
    saturation_current: float = 2.5e-9
    emission: float = 1.5
    junctions: int = 2


def isolator(
    a: int, b: int, saturation_current: float = 2.5e-9, emission: float = 1.5, junctions: int = 2
) -> tuple[DiodeString, DiodeString]:
    """A galvanic isolator between nodes `a` and `b`: antiparallel strings (junction constants declared)."""
    return (
        DiodeString(a, b, saturation_current, emission, junctions),
        DiodeString(b, a, saturation_current, emission, junctions),
    )


@dataclass(frozen=True)
class Network:
    """`size` nodes joined by branches, sources and diode strings (tuples of the shapes above are accepted).

    temperature [K] is that of the diodes. Node voltages are against remote water. Raises EngineError or
    OutOfRange for a node number, conductance (0 to 1e9 S), emf (+-1000 V), resistance (1e-9 to 1e15 ohm),
    saturation current (1e-18 to 1e-3 A), emission (0.5 to 4) or junction count (1 to 20) that cannot be.
    """

    size: int
    branches: Sequence[tuple[int, int, float]] = ()
    sources: Sequence[tuple[int, int, float, float]] = ()
    diodes: Sequence[tuple[int, int, float, float, int]] = ()
    temperature: float = ZERO_CELSIUS + 25.0

    def __post_init__(self) -> None:
        require("number of nodes", self.size, "", 1, 100_000)
        require("network temperature", self.temperature, "K", 150.0, 500.0)
        object.__setattr__(self, "branches", tuple(Branch(*b) for b in self.branches))
        object.__setattr__(self, "sources", tuple(Source(*s) for s in self.sources))
        object.__setattr__(self, "diodes", tuple(DiodeString(*d) for d in self.diodes))
        for kind, rows in (
            ("branch", self.branches),
            ("source", self.sources),
            ("diode string", self.diodes),
        ):
            for number, row in enumerate(rows):
                self._check_ends(f"{kind} {number}", int(row[0]), int(row[1]))
        for number, (_, _, conductance) in enumerate(self.branches):
            require(f"conductance of branch {number}", conductance, "S", 0.0, 1e9)
        for number, (_, _, emf, resistance) in enumerate(self.sources):
            require(f"emf of source {number}", emf, "V", -1e3, 1e3)
            require(f"resistance of source {number}", resistance, "ohm", 1e-9, 1e15)
        for number, (_, _, saturation, emission, junctions) in enumerate(self.diodes):
            require(f"saturation current of diode string {number}", saturation, "A", 1e-18, 1e-3)
            require(f"emission coefficient of diode string {number}", emission, "", 0.5, 4.0)
            require(f"junction count of diode string {number}", junctions, "", 1, 20)

    def _check_ends(self, what: str, a: int, b: int) -> None:
        for node in (a, b):
            if not 0 <= node < self.size:
                raise EngineError(f"{what} ends on node {node}; the nodes are 0 to {self.size - 1}.")
        if a == b:
            raise EngineError(f"{what} starts and ends on node {a}; it must join two nodes.")

    @cached_property
    def edges(self) -> tuple[tuple[int, int, float, float], ...]:
        """(a, b, conductance [S], emf [V]) of each linear element; a to b flows g (Va - Vb + emf)."""
        wires = [(a, b, g, 0.0) for a, b, g in self.branches]
        return (*wires, *((a, b, 1.0 / r, emf) for a, b, emf, r in self.sources))

    def admittance(self) -> Array:
        """Nodal admittance matrix [S], (size, size), of branches and sources; no ties, no diodes."""
        matrix = np.zeros((self.size, self.size))
        for a, b, g, _ in self.edges:
            matrix[a, a] += g
            matrix[b, b] += g
            matrix[a, b] -= g
            matrix[b, a] -= g
        return matrix

    def injection(self) -> Array:
        """Current [A] the sources push into each node, (size,), with all nodes held at the same voltage."""
        pushed = np.zeros(self.size)
        for a, b, g, emf in self.edges:
            pushed[a] -= g * emf
            pushed[b] += g * emf
        return pushed

    def edge_currents(self, node_voltage: Array) -> Array:
        """Current [A] from a to b through each branch, then each source (see `edges`)."""
        return np.array([g * (node_voltage[a] - node_voltage[b] + emf) for a, b, g, emf in self.edges])
