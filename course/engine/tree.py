"""Network unknowns that keep their digits: voltages along a spanning tree of the best conductors.

A bonding wire of 0.1 milliohm beside a coated fitting of 1e-9 S loses everything in node voltages: thirteen
decades in one matrix entry. With the drop along each tree edge as unknown, every strong conductance stands in
its own row, and the root of a connected group sees only what the group sends into the water: charge balance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from course.engine.conductors import Network
from course.engine.constants import BOLTZMANN_OVER_CHARGE
from course.engine.errors import Array

TIE = 1e-9  # S to remote water for a group of nodes that touches none
SHUNT = 1e-12  # S across every diode string
BOND = 1e-3  # S: nodes joined by more count as one metal when a start is guessed


@dataclass(frozen=True, eq=False)
class Tree:
    """A network in tree unknowns u (m,): node voltages are basis @ u.

    matrix (m, m) [S] and inflow (m,) [A] are the linear elements; diode_rows (d, m) turn u into string
    voltages; group (m,) numbers the groups joined by bonds; component (m,) those joined by anything.
    """

    basis: Array
    matrix: Array
    inflow: Array
    diode_rows: Array
    diode_current: Array
    diode_volts: Array
    group: tuple[int, ...]
    component: tuple[int, ...]


class _Forest:
    """Disjoint sets."""

    def __init__(self, size: int) -> None:
        self.parent = list(range(size))

    def find(self, node: int) -> int:
        while self.parent[node] != node:
            self.parent[node] = self.parent[self.parent[node]]
            node = self.parent[node]
        return node

    def join(self, a: int, b: int) -> bool:
        a, b = self.find(a), self.find(b)
        self.parent[b] = a
        return a != b


def _links(network: Network) -> list[tuple[float, int, int, float]]:
    """All linear elements, diode shunts included, strongest first: (conductance, a, b, emf)."""
    links = [(g, a, b, emf) for a, b, g, emf in network.edges if g > 0.0]
    links += [(SHUNT, d[0], d[1], 0.0) for d in network.diodes]
    return sorted(links, key=lambda link: -link[0])


def _basis(size: int, links: list[tuple[float, int, int, float]]) -> tuple[Array, tuple[int, ...]]:
    """The spanning forest of strongest links as a matrix of zeros and ones, and each node's component."""
    forest = _Forest(size)
    neighbours: list[list[int]] = [[] for _ in range(size)]
    for _, a, b, _ in links:
        if forest.join(a, b):
            neighbours[a].append(b)
            neighbours[b].append(a)
    basis = np.zeros((size, size))
    component = [-1] * size
    for root in range(size):
        if component[root] >= 0:
            continue
        component[root] = root
        basis[root, root] = 1.0
        queue = [root]
        for node in queue:
            for child in neighbours[node]:
                if component[child] < 0:
                    component[child] = root
                    basis[child] = basis[node]
                    basis[child, child] = 1.0
                    queue.append(child)
    return basis, tuple(component)


def _bonded(network: Network) -> tuple[int, ...]:
    forest = _Forest(network.size)
    for a, b, conductance in network.branches:
        if conductance > BOND:
            forest.join(a, b)
    return tuple(forest.find(node) for node in range(network.size))


def plant(network: Network, wet_nodes: frozenset[int]) -> Tree:
    """Build the tree form of `network`; `wet_nodes` carry a patch, other components get a tie."""
    links = _links(network)
    basis, component = _basis(network.size, links)
    rows = np.array([basis[a] - basis[b] for _, a, b, _ in links]).reshape(-1, network.size)
    conductance = np.array([g for g, _, _, _ in links])
    emf = np.array([e for _, _, _, e in links])
    matrix = rows.T @ (conductance[:, None] * rows)
    inflow = -rows.T @ (conductance * emf)
    wet = {component[node] for node in wet_nodes}
    for root in set(component) - wet:
        matrix[root, root] += TIE
    diodes = network.diodes
    strings = np.array([basis[d[0]] - basis[d[1]] for d in diodes]).reshape(-1, network.size)
    thermal = BOLTZMANN_OVER_CHARGE * network.temperature
    return Tree(
        basis=basis,
        matrix=matrix,
        inflow=inflow,
        diode_rows=strings,
        diode_current=np.array([d[2] for d in diodes]),
        diode_volts=np.array([d[3] * d[4] * thermal for d in diodes]),
        group=_bonded(network),
        component=component,
    )
