"""A marina's conductors made ready for its solve: crafts reduced and laid flat, and the network between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.engine.conductors import Network
from course.engine.errors import Array
from course.engine.marina.craft import Craft, Reduced, reduce
from course.engine.marina.shore import Shore, diode_volts, grouped
from course.engine.tree import BOND

Numbers = NDArray[np.int64]
Parts = tuple[Array, Array, Array, Array, Array]
Ports = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, eq=False)
class Hulls:
    """All crafts, laid flat as `marina.linear` takes them, and what of them belongs to the network outside.

    volts: the rows of `Reduced` for wet nodes, flat; wet and loose: numbers of wet and other nodes; edges,
    diodes: elements (a, b, ...) that end on loose nodes, or are diodes; on_patch: which of the rows of patches
    and ports are patches.
    """

    crafts: tuple[Craft, ...]
    ports: Ports
    offset: Numbers
    parts: Parts
    group: Numbers
    volts: tuple[Array, Array, Array, Numbers]
    wet: Numbers
    port: Numbers
    loose: Numbers
    edges: list[tuple[int, int, float, float]]
    diodes: list[tuple[int, int, float, float, int]]
    on_patch: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Wiring:
    """Crafts, the network between them, and the number in the marina of each of that network's nodes."""

    hulls: Hulls
    shore: Shore
    shore_node: Numbers

    def node_voltages(self, size: int, current: Array, push: Array, u: Array, shore: Array) -> Array:
        """Voltage [V] of every one of `size` nodes."""
        from course.engine.marina import linear as loops

        found = np.zeros(size)
        found[self.shore_node] = shore
        by_u, by_lag, alone, rows = self.hulls.volts
        found[self.hulls.wet] = loops.volts(self.hulls.offset, rows, by_u, by_lag, alone, current, push, u)
        return found


@dataclass
class Workshop:
    """What marinas made from one another share: crafts reduced, and every port that any of them had."""

    reduced: dict[tuple[Craft, tuple[int, ...]], tuple[Reduced, Numbers]] = field(default_factory=dict)
    ports: dict[Craft, set[int]] = field(default_factory=dict)
    hulls: Hulls | None = None

    def reduce(self, craft: Craft, ports: tuple[int, ...]) -> tuple[Reduced, Numbers]:
        """A craft's circuit, and the bonded group of each of her patches."""
        key = (craft, ports)
        if key not in self.reduced:
            bonds = [(a, b) for a, b, g in craft.network.branches if g > BOND]
            bonded = grouped(craft.network.size, np.array(bonds, dtype=np.int64).reshape(-1, 2))[craft.node]
            group = np.unique(bonded, return_inverse=True)[1].astype(np.int64)
            self.reduced[key] = reduce(craft, ports), group
        return self.reduced[key]


def ends_of(network: Network) -> Numbers:
    """Every node on which an element of `network` ends."""
    rows = chain(network.branches, network.sources, network.diodes)
    return np.unique(np.array([row[:2] for row in rows], dtype=np.int64))


def _ports(crafts: Sequence[Craft], firsts: Numbers, ends: Numbers, workshop: Workshop) -> Ports:
    """The wet nodes of each craft that something outside meets, or met before: closing a port costs more."""
    owner = np.searchsorted(firsts, ends, side="right") - 1
    met: dict[int, list[int]] = {}
    for craft, node in zip(owner.tolist(), (ends - firsts[owner]).tolist(), strict=True):
        met.setdefault(craft, []).append(node)
    found = []
    for number, craft in enumerate(crafts):
        known = workshop.ports.get(craft)
        if known is None:
            own = {int(k) for d in craft.network.diodes for k in d[:2]}
            known = workshop.ports[craft] = own & set(craft.wet)
        known |= set(met.get(number, ())) & set(craft.wet)
        found.append(tuple(sorted(known)))
    return tuple(found)


def _offsets(rows: Sequence[tuple[Reduced, Numbers]], ports: Ports) -> Numbers:
    n = np.array([group.size for _, group in rows])
    p = np.array([len(here) for here in ports])
    f = np.array([r.matrix.shape[0] for r, _ in rows])
    sizes = np.stack([n, p, f, n**2, p**2, (n + p) ** 2, (n + p) * f, f**2], axis=1)
    return np.concatenate([np.zeros((1, 8), np.int64), np.cumsum(sizes, axis=0)]).astype(np.int64)


def _outside(crafts: Sequence[Craft], firsts: Sequence[int]) -> dict[str, Any]:
    """Nodes and elements of crafts that belong to the network between them."""
    wet, loose, edges, diodes = [], [], [], []
    for craft, first in zip(crafts, firsts, strict=False):
        inside = set(craft.wet)
        wet += [first + k for k in craft.wet]
        if len(inside) < craft.network.size:
            loose += [first + k for k in range(craft.network.size) if k not in inside]
            edges += [
                (a + first, b + first, g, e)
                for a, b, g, e in craft.network.edges
                if g > 0.0 and a not in inside
            ]
        diodes += [(a + first, b + first, *rest) for a, b, *rest in craft.network.diodes]
    numbers = {"wet": np.array(wet, dtype=np.int64), "loose": np.array(loose, dtype=np.int64)}
    return {**numbers, "edges": edges, "diodes": diodes}


def _lay_flat(
    crafts: tuple[Craft, ...], firsts: Numbers, ports: Ports, workshop: Workshop, blocks: Sequence[Array]
) -> Hulls:
    rows = [workshop.reduce(craft, here) for craft, here in zip(crafts, ports, strict=True)]
    offset = _offsets(rows, ports)
    flat = [r for r, _ in rows]
    lag = np.concatenate([r.lag.ravel() for r in flat])
    on_patch = np.ones(int(offset[-1, 0] + offset[-1, 1]), dtype=bool)
    for b, block in enumerate(blocks):
        n, e = block.shape[0], block.shape[0] + len(ports[b])
        lag[offset[b, 5] : offset[b, 5] + e * e].reshape(e, e)[:n, :n] += block
        on_patch[offset[b, 0] + offset[b, 1] + n : offset[b, 0] + offset[b, 1] + e] = False
    parts = (
        lag,
        np.concatenate([r.rise.ravel() for r in flat]),
        np.concatenate([r.alone for r in flat]),
        np.concatenate([r.matrix.ravel() for r in flat]),
        np.concatenate([r.inflow for r in flat]),
    )
    volts = (
        np.concatenate([r.node_u.ravel() for r in flat]),
        np.concatenate([r.node_lag.ravel() for r in flat]),
        np.concatenate([r.node_alone for r in flat]),
        np.concatenate([[0], np.cumsum([r.node_alone.size for r in flat])]).astype(np.int64),
    )
    group = np.concatenate([bonds for _, bonds in rows])
    port = [int(first) + k for first, here in zip(firsts, ports, strict=False) for k in here]
    outside = _outside(crafts, firsts.tolist())
    return Hulls(
        crafts,
        ports,
        offset,
        parts,
        group,
        volts,
        port=np.array(port, np.int64),
        on_patch=on_patch,
        **outside,
    )


def _between(shore: Network, dock_nodes: int, hulls: Hulls) -> tuple[Shore, Numbers]:
    """The network of dock, loose nodes and ports, and the number of each of its nodes in the marina."""
    every = np.unique(np.concatenate([np.arange(dock_nodes), hulls.loose, hulls.port]))
    edges = np.array([e for e in shore.edges if e[2] > 0.0] + hulls.edges, dtype=float).reshape(-1, 4)
    diodes = np.array([*shore.diodes, *hulls.diodes], dtype=float).reshape(-1, 5)
    found = Shore(
        size=every.size,
        edges=np.searchsorted(every, edges[:, :2].astype(np.int64)),
        conductance=edges[:, 2],
        emf=edges[:, 3],
        diodes=np.searchsorted(every, diodes[:, :2].astype(np.int64)),
        saturation=diodes[:, 2],
        volts=diode_volts(diodes[:, 3], diodes[:, 4], shore.temperature),
        port=np.searchsorted(every, hulls.port),
        craft_ports=hulls.offset[:, 1],
    )
    return found, every


def wire(
    crafts: tuple[Craft, ...],
    firsts: Numbers,
    shore: Network,
    dock_nodes: int,
    workshop: Workshop,
    blocks: Sequence[Array],
) -> Wiring:
    """Reduce the crafts to patches, ports and a few unknowns, and number the network between them.

    firsts: number of the first node of each craft; blocks: each craft's own transfer matrix [ohm].
    """
    ends = ends_of(shore)
    ports = _ports(crafts, firsts, ends[ends >= dock_nodes], workshop)
    hulls = workshop.hulls
    if (
        hulls is None
        or hulls.ports != ports
        or any(a is not b for a, b in zip(hulls.crafts, crafts, strict=False))
    ):
        hulls = workshop.hulls = _lay_flat(crafts, firsts, ports, workshop, blocks)
    return Wiring(hulls, *_between(shore, dock_nodes, hulls))
