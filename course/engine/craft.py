"""A boat as the seasons know her: patches, anodes with mass, coatings, and the networks she can be switched to."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from course.engine.conductors import Network
from course.engine.constants import FARADAY
from course.engine.electrode import Law
from course.engine.errors import Array, EngineError, require, require_array
from course.engine.film import Coating
from course.engine.kinetics import Kinetics
from course.engine.system import System


def anode_capacity(equivalent_weight: float, efficiency: float = 1.0) -> float:
    """Charge [C] that dissolves one kg of anode: Faraday's times `efficiency` (0.01 to 1: grains that fall out).

    equivalent_weight [kg/eq]. Self-corrosion is not in it: it is part of the dissolution current. Raises
    OutOfRange.
    """
    share = require("anode efficiency", efficiency, "", 0.01, 1.0)
    return FARADAY / require("equivalent weight", equivalent_weight, "kg/eq", 1e-4, 0.5) * share


@dataclass(frozen=True, eq=False)
class Craft:
    """n patches of metal that change over the seasons.

    Parameters
    ----------
    kinetics : n metals; area (n,) m2 wet, when new and (if coated) uncoated
    transfer : (n, n) ohm at 1 S/m, when new
    self_resistance : (n,) ohm at 1 S/m, the patch's own part of the diagonal; it grows as an anode shrinks
    node : (n,); networks : the switch positions, each a Network of the same size (0: as moored)
    mass : (n,) kg, 0 for what is no anode; capacity : (n,) C/kg, see `anode_capacity`
    coating : by patch number; deposit : patch numbers on which calcareous deposit grows; settling : patch
        numbers of passive metal that is new to the water, on which a biofilm settles first
    spent : fraction of its mass left when an anode falls off its core (0.01 to 0.9)

    Raises EngineError or OutOfRange.
    """

    kinetics: tuple[Kinetics, ...]
    area: Array
    transfer: Array
    self_resistance: Array
    node: NDArray[np.int64]
    networks: tuple[Network, ...]
    mass: Array
    capacity: Array
    coating: dict[int, Coating] = field(default_factory=dict)
    deposit: tuple[int, ...] = ()
    settling: tuple[int, ...] = ()
    spent: float = 0.1

    def __post_init__(self) -> None:
        n = len(self.kinetics)
        require_array("area of patch", self.area, "m2", 1e-12, 1e6, (n,))
        require_array("transfer matrix", self.transfer, "ohm at 1 S/m", -1e9, 1e9, (n, n))
        require_array("self resistance of patch", self.self_resistance, "ohm at 1 S/m", 0.0, 1e9, (n,))
        mass = require_array("mass of anode", self.mass, "kg", 0.0, 1e6, (n,))
        capacity = require_array("capacity of anode", self.capacity, "C/kg", 0.0, 1e9, (n,))
        require("fraction of a spent anode", self.spent, "", 0.01, 0.9)
        if not self.networks or len({network.size for network in self.networks}) != 1:
            raise EngineError("a craft needs one network or more, all with the same number of nodes.")
        if np.any((mass > 0.0) & (capacity <= 0.0)):
            raise EngineError("an anode has mass but no capacity; give the charge that a kg of it yields.")
        strange = [k for k in (*self.coating, *self.deposit, *self.settling) if not 0 <= k < n]
        if strange:
            raise EngineError(f"a film is on patch {strange[0]}; the patches are 0 to {n - 1}.")

    @property
    def size(self) -> int:
        """Number of patches."""
        return len(self.kinetics)

    @property
    def anodes(self) -> NDArray[np.int64]:
        """Numbers of the patches that have mass to lose."""
        return np.flatnonzero(np.asarray(self.mass) > 0.0)

    def geometry(self, remaining: Array, seconds: float) -> tuple[Array, Array]:
        """Bare area [m2] (n,) and transfer at 1 S/m (n, n) when `remaining` (n,) of each anode's mass is left.

        Area goes as the 2/3 power of mass, lengths as the 1/3 (an anode that keeps its shape).
        """
        length = np.cbrt(remaining)
        area = np.asarray(self.area) * length**2
        for patch, coating in self.coating.items():
            area[patch] = max(1e-12, area[patch] * coating.bare(seconds))
        transfer = np.array(self.transfer, dtype=np.float64)
        transfer.flat[:: self.size + 1] += np.asarray(self.self_resistance) * (1.0 / length - 1.0)
        return area, transfer


def refitted(template: System, transfer: Array, area: Array, law: Law) -> System:
    """`template` with other patches on the same nodes, keeping its network's tree. Unchecked: for inner loops."""
    member, weights = template.groups
    weights = np.zeros_like(weights)
    weights[np.arange(area.size), member] = area
    other: System = object.__new__(System)
    other.__dict__.update(
        transfer=transfer, area=area, law=law, node=template.node, network=template.network,
        tree=template.tree, reach=template.reach, groups=(member, weights),
    )  # fmt: skip
    return other
