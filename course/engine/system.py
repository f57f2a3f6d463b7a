"""One electrochemical circuit, and the answer of a solve."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.conductors import Network
from course.engine.electrode import Law
from course.engine.errors import Array, EngineError, require, require_array
from course.engine.tree import Tree, plant

ASYMMETRY = 1e-9  # relative; collocation leaves 1-3 %, so the maker of the matrix must symmetrise it


@dataclass(frozen=True, eq=False)
class System:
    """n patches of metal in water, joined by a network.

    Parameters
    ----------
    transfer : (n, n) ohm; potential of the water at patch i per ampere from patch j, at the water's own
        conductivity; symmetric, positive definite
    area : (n,) m2 of bare metal, 1e-12 to 1e6
    law : electrode laws of the n patches
    node : (n,) network node of each patch
    network : the conductors; node voltages are against remote water

    Raises EngineError or OutOfRange for shapes or values that cannot be.
    """

    transfer: Array
    area: Array
    law: Law
    node: NDArray[np.int64]
    network: Network

    def __post_init__(self) -> None:
        n = self.law.size
        transfer = require_array("transfer matrix", self.transfer, "ohm", -1e12, 1e12, (n, n))
        area = require_array("area of patch", self.area, "m2", 1e-12, 1e6, (n,))
        node = np.asarray(self.node)
        if node.shape != (n,) or not np.issubdtype(node.dtype, np.integer):
            raise EngineError(f"each of the {n} patches needs one whole node number; given is {self.node!r}.")
        if int(node.min()) < 0 or int(node.max()) >= self.network.size:
            raise EngineError(
                f"a patch is on node {int(node.max() if node.min() >= 0 else node.min())}; "
                f"the nodes are 0 to {self.network.size - 1}."
            )
        if np.abs(transfer - transfer.T).max() > ASYMMETRY * np.abs(transfer).max():
            raise EngineError("the transfer matrix is not symmetric; symmetrise it before building a system.")
        try:
            np.linalg.cholesky(transfer)
        except np.linalg.LinAlgError:
            raise EngineError(
                "the transfer matrix is not positive definite; patches overlap or resistances are too small."
            ) from None
        symmetric = 0.5 * (transfer + transfer.T)
        for name, value in (("transfer", symmetric), ("area", area), ("node", node.astype(np.int64))):
            object.__setattr__(self, name, value)

    @cached_property
    def tree(self) -> Tree:
        """The network in the unknowns the solve uses; computed once."""
        return plant(self.network, frozenset(int(k) for k in self.node))

    @cached_property
    def reach(self) -> Array:
        """(n, m): metal voltage of each patch from the tree unknowns; computed once."""
        return np.ascontiguousarray(self.tree.basis[self.node])

    @cached_property
    def groups(self) -> tuple[NDArray[np.int64], Array]:
        """Number of the bonded group of each patch (n,), and areas [m2] by patch and group (n, groups)."""
        _, member = np.unique(np.array(self.tree.group)[self.node], return_inverse=True)
        weights = np.zeros((member.size, int(member.max()) + 1))
        weights[np.arange(member.size), member] = self.area
        return member, weights

    @cached_property
    def prepared(self) -> dict[str, Any]:
        """What a solver makes of the circuit once, by its name; no law in it, so that `with_law` shares it."""
        return {}

    def with_law(self, law: Law) -> System:
        """The same system with another law of the same size, sharing everything computed so far."""
        if law.size != self.law.size:
            raise EngineError(f"the new law has {law.size} patches; the system has {self.law.size}.")
        _ = self.reach, self.groups, self.prepared
        other = object.__new__(System)
        other.__dict__.update(self.__dict__)
        other.__dict__["law"] = law
        return other

    def changed(
        self,
        law: Law | None = None,
        network: Network | None = None,
        area: ArrayLike | None = None,
        conductivity_ratio: float = 1.0,
    ) -> System:
        """The same patches after a slider or a switch, sharing what the change leaves as it was.

        conductivity_ratio is the water's new conductivity over the old. Only what is new is checked: a transfer
        matrix that was positive definite stays so. Raises EngineError or OutOfRange as the class does.
        """
        new: dict[str, Any] = {}
        if law is not None and law.size != self.law.size:
            raise EngineError(f"the new law has {law.size} patches; the system has {self.law.size}.")
        if network is not None and int(self.node.max()) >= network.size:
            raise EngineError(
                f"a patch is on node {int(self.node.max())}; the nodes are 0 to {network.size - 1}."
            )
        if area is not None:
            new["area"] = require_array("area of patch", area, "m2", 1e-12, 1e6, self.area.shape)
        if conductivity_ratio != 1.0:
            new["transfer"] = self.transfer / require("conductivity ratio", conductivity_ratio, "", 1e-6, 1e6)
        kept = {"transfer", "area", "law", "node", "network"}
        if network is None:
            kept |= {"tree", "reach"} | (set() if "area" in new else {"groups"})
        other = object.__new__(System)
        other.__dict__.update({name: value for name, value in self.__dict__.items() if name in kept})
        other.__dict__.update(new)
        other.__dict__.update({n: v for n, v in (("law", law), ("network", network)) if v is not None})
        return other


@dataclass(frozen=True, eq=False)
class Solution:
    """What a solve found.

    water_potential (n,) V at each patch against remote water; node_voltage (m,) V; polarisation (n,) V SHE,
    metal minus water; current (n,) A from metal into water; iterations; residual (relative, of the laws).
    """

    water_potential: Array
    node_voltage: Array
    polarisation: Array
    current: Array
    iterations: int
    residual: float
