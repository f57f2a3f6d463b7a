"""One craft of a marina, and her circuit without its strong conductors.

A craft's wet nodes are those that wires and sources join to a patch; the others (a shore inlet behind an
isolator, say) belong to the network outside her, and so does every diode string. Where an outside element
meets a wet node there is a port: it stands among the patches as one more row, and its current leaves by it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from course.engine.conductors import Network
from course.engine.electrode import Law
from course.engine.errors import Array, EngineError, require_array
from course.engine.tree import plant

STRONG = 1e-2  # S: unknowns of the network held by more are eliminated before any Newton step


@dataclass(frozen=True, eq=False)
class Craft:
    """A boat, or a pile, ladder or anything else with metal in the water, in coordinates of her own.

    positions (n, 3) m: x forward, y to port, z up, surface z = 0; self_resistance (n,) ohm at 1 S/m and radii
    (n,) m as `transfer_matrix` takes them; area (n,) m2; law of the n patches; node (n,) of each patch in
    `network`. Raises EngineError or OutOfRange for what cannot be.
    """

    positions: Array
    self_resistance: Array
    radii: Array
    area: Array
    law: Law
    node: NDArray[np.int64]
    network: Network

    def __post_init__(self) -> None:
        n = self.law.size
        for name, label, unit, low, high, shape in (
            ("positions", "coordinate of patch", "m", -1e4, 1e4, (n, 3)),
            ("self_resistance", "self resistance of patch", "ohm at 1 S/m", 1e-9, 1e9, (n,)),
            ("radii", "radius of patch", "m", 0.0, 1e4, (n,)),
            ("area", "area of patch", "m2", 1e-12, 1e6, (n,)),
        ):
            value = require_array(label, getattr(self, name), unit, low, high, shape)
            object.__setattr__(self, name, value)
        node = np.asarray(self.node)
        if node.shape != (n,) or not np.issubdtype(node.dtype, np.integer):
            raise EngineError(f"each of the {n} patches needs one whole node number; given is {self.node!r}.")
        if int(node.min()) < 0 or int(node.max()) >= self.network.size:
            raise EngineError(f"a patch is on a node that is none of 0 to {self.network.size - 1}.")
        object.__setattr__(self, "node", node.astype(np.int64))

    @cached_property
    def wet(self) -> tuple[int, ...]:
        """Nodes that wires and sources join to a patch."""
        reached = {int(k) for k in self.node}
        joined: dict[int, list[int]] = {}
        for a, b, g, _ in self.network.edges:
            if g > 0.0:
                joined.setdefault(a, []).append(b)
                joined.setdefault(b, []).append(a)
        queue = list(reached)
        while queue:
            more = [k for k in joined.get(queue.pop(), ()) if k not in reached]
            reached.update(more)
            queue.extend(more)
        return tuple(sorted(reached))


@dataclass(frozen=True, eq=False)
class Reduced:
    """E = rise u + alone - lag I on the n patches and p ports; matrix u + rise' I = inflow for few unknowns u.

    E is metal voltage at patches and ports, I the current that leaves by them; lag leaves out the water.
    Wet nodes stand at node_u u - node_lag I + node_alone.
    """

    rise: Array
    alone: Array
    lag: Array
    matrix: Array
    inflow: Array
    node_u: Array
    node_lag: Array
    node_alone: Array


def reduce(craft: Craft, ports: tuple[int, ...]) -> Reduced:
    """Eliminate what strong conductors hold; `ports` are wet nodes."""
    number = {node: k for k, node in enumerate(craft.wet)}
    branches = [(number[a], number[b], g) for a, b, g in craft.network.branches if a in number]
    sources = [(number[a], number[b], emf, ohm) for a, b, emf, ohm in craft.network.sources if a in number]
    leave = np.array([number[int(k)] for k in craft.node] + [number[k] for k in ports])
    tree = plant(Network(len(number), branches, sources), frozenset(range(len(number))))
    held = np.diagonal(tree.matrix) >= STRONG
    gone, kept = np.flatnonzero(held), np.flatnonzero(~held)
    reach, y = tree.basis[leave], tree.matrix
    sides = np.concatenate([y[np.ix_(gone, kept)], reach[:, gone].T, tree.inflow[gone, None]], axis=1)
    solved = np.linalg.solve(y[np.ix_(gone, gone)], sides) if gone.size else sides
    f, by_kept, by_leave, by_inflow = kept.size, *np.split(solved, [kept.size, solved.shape[1] - 1], axis=1)

    def lessened(rows: Array) -> tuple[Array, Array, Array]:
        through = rows[:, gone]
        return rows[:, kept] - through @ by_kept, through @ by_leave, (through @ by_inflow)[:, 0]

    rise, lag, alone = lessened(reach)
    matrix, _, pushed = lessened(y[kept])
    node_u, node_lag, node_alone = lessened(tree.basis)
    inflow = tree.inflow[kept] - pushed
    assert matrix.shape == (f, f)
    return Reduced(
        rise, alone, 0.5 * (lag + lag.T), 0.5 * (matrix + matrix.T), inflow, node_u, node_lag, node_alone
    )
