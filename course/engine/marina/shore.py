"""The network between crafts: dock, shore leads, isolators, bypasses, and what on board no patch touches.

Unknowns are the voltages of its nodes. A craft is seen at its ports as the inverse of their impedance, so the
matrix is sparse, and one sparse factorisation solves it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import SuperLU, splu

from course.engine.constants import BOLTZMANN_OVER_CHARGE
from course.engine.electrode import STRAIGHT_FROM
from course.engine.errors import Array
from course.engine.tree import SHUNT, TIE

Numbers = NDArray[np.int64]


def grouped(size: int, pairs: Numbers) -> Numbers:
    """Group number of each of `size` nodes, counted from 0, when `pairs` (k, 2) are joined."""
    joined = coo_matrix((np.ones(pairs.shape[0]), (pairs[:, 0], pairs[:, 1])), shape=(size, size))
    return np.asarray(connected_components(joined, directed=False)[1], dtype=np.int64)


@dataclass(frozen=True, eq=False)
class Shore:
    """size nodes; edges (k, 2) of conductance [S] and emf [V]; diodes (d, 2); port (p,) node of each port.

    block (p + 1,) counts the ports before each craft: ports of one craft see each other through her.
    """

    size: int
    edges: Numbers
    conductance: Array
    emf: Array
    diodes: Numbers
    saturation: Array
    volts: Array
    port: Numbers
    craft_ports: Numbers

    @cached_property
    def inflow(self) -> Array:
        """Current [A] the sources push into each node."""
        out = np.zeros(self.size)
        np.add.at(out, self.edges[:, 1], self.conductance * self.emf)
        np.subtract.at(out, self.edges[:, 0], self.conductance * self.emf)
        return out

    @cached_property
    def ties(self) -> Numbers:
        """The first node of every group that reaches no craft."""
        label = grouped(self.size, np.concatenate([self.edges, self.diodes, self._port_chain]))
        _, firsts = np.unique(label, return_index=True)
        return firsts[~np.isin(np.arange(firsts.size), label[self.port])].astype(np.int64)

    @property
    def _port_chain(self) -> Numbers:
        """Pairs that join the ports of each craft."""
        return np.stack(self._port_pairs, axis=1)

    @cached_property
    def _port_pairs(self) -> tuple[Numbers, Numbers]:
        counts = np.diff(self.craft_ports)
        each = np.repeat(counts, counts)  # ports of the craft, port by port
        first = np.repeat(self.craft_ports[:-1], counts)
        within = np.arange(each.sum()) - np.repeat(np.cumsum(each) - each, each)
        return np.repeat(self.port, each), self.port[np.repeat(first, each) + within]

    @cached_property
    def _pattern(self) -> tuple[Numbers, Numbers, Numbers]:
        """Where each contribution lands in a matrix by columns: places, row numbers, column starts."""
        ends = np.concatenate([self.edges, self.diodes])
        a, b = ends[:, 0], ends[:, 1]
        rows, columns = self._port_pairs
        row = np.concatenate([a, b, a, b, rows, self.ties, np.arange(self.size)])
        column = np.concatenate([a, b, b, a, columns, self.ties, np.arange(self.size)])
        keys, places = np.unique(column * self.size + row, return_inverse=True)
        starts = np.searchsorted(keys // self.size, np.arange(self.size + 1))
        return places, keys % self.size, starts

    def diode_terms(self, at: Array) -> tuple[Array, Array]:
        """Current [A] and conductance [S] of the strings at string voltages [V]."""
        x = at / self.volts
        capped = np.minimum(x, STRAIGHT_FROM)
        rise = np.exp(capped)
        return self.saturation * (rise * (1.0 + x - capped) - 1.0), self.saturation / self.volts * rise

    def factorise(self, admittance: Array, string: Array) -> Factors:
        """The network with crafts of `admittance` [S] (their port blocks, flat) and strings at `string` [V]."""
        places, rows, starts = self._pattern
        _, slope = self.diode_terms(string)
        along = np.concatenate([self.conductance, slope + SHUNT])
        tied = np.full(self.ties.size, TIE)
        parts = [along, along, -along, -along, admittance, tied, np.zeros(self.size)]
        data = np.bincount(places, np.concatenate(parts), rows.size)
        matrix = csc_matrix((data, rows, starts), shape=(self.size, self.size))
        options = {"SymmetricMode": True, "Equil": False}
        return Factors(
            splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=options), slope
        )

    def pushed(self, slope: Array, string: Array) -> Array:
        """Current [A] that sources and strings, as tangents of `slope` [S] at `string` [V], push into each node."""
        current, _ = self.diode_terms(string)
        push = slope * string - current
        out = self.inflow.copy()
        np.add.at(out, self.diodes[:, 0], push)
        np.subtract.at(out, self.diodes[:, 1], push)
        return out

    def string_voltage(self, node_voltage: Array) -> Array:
        """Voltage [V] across each diode string."""
        return np.asarray(node_voltage[self.diodes[:, 0]] - node_voltage[self.diodes[:, 1]])


@dataclass(frozen=True, eq=False)
class Factors:
    """A factorised shore network, and the slopes [S] its strings had."""

    factor: SuperLU
    slope: Array


def diode_volts(emission: Array, junctions: Array, temperature: float) -> Array:
    """Volts an e-fold of each string."""
    return junctions * emission * BOLTZMANN_OVER_CHARGE * temperature
