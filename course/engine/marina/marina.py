"""A marina: many unlike crafts at unlike berths, coupled through the water and through dock earth.

Whatever joins crafts is in the marina's `shore` network: pontoon earths, shore leads with isolators or
transformers, and the bypasses that defeat them: a steel ladder (a craft of its own, joined to the dock), a
metal-sheathed data cable, a rafted neighbour's mooring chain. `solve_marina` finds the same answer as `solve`
of `Marina.system()`, in a time that grows nearly as the number of crafts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from course.engine.conductors import Network
from course.engine.electrode import Law
from course.engine.errors import Array, EngineError, NotConverged, OutOfRange, require, require_array
from course.engine.marina.craft import Craft
from course.engine.marina.wiring import Workshop
from course.engine.system import Solution, System
from course.engine.transfer import REFLECTION, transfer_matrix

if TYPE_CHECKING:
    from course.engine.marina.field import Field
    from course.engine.marina.wiring import Wiring

Numbers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Marina:
    """Crafts at berths in one water.

    Parameters
    ----------
    crafts : the boats, piles, ladders
    berths : (crafts, 3) x [m], y [m] of each craft's origin and heading [rad] of her x axis from the marina's
    conductivity : S/m of the water, 1e-3 to 10
    shore : network of what joins crafts. Its nodes are the dock's own, 0 to dock_nodes - 1, then those of every
        craft in order (see `node`)
    dock_nodes : nodes of the dock itself
    water_depth, bed_reflection : as `transfer_matrix` takes them

    Patches are numbered through, craft after craft (see `patches`). Raises EngineError or OutOfRange.
    """

    crafts: Sequence[Craft]
    berths: Array
    conductivity: float
    shore: Network
    dock_nodes: int = 1
    water_depth: float = math.inf
    bed_reflection: float = 0.0
    workshop: Workshop = field(default_factory=Workshop, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "crafts", tuple(self.crafts))
        if not self.crafts:
            raise EngineError("a marina needs at least one craft; none was given.")
        shape = (len(self.crafts), 3)
        object.__setattr__(self, "berths", require_array("berth", self.berths, "m or rad", -1e5, 1e5, shape))
        require("conductivity of the water", self.conductivity, "S/m", 1e-3, 10.0)
        require("number of dock nodes", self.dock_nodes, "", 1, 100_000)
        require("water depth", self.water_depth, "m", 0.1, math.inf)
        require("bed reflection", self.bed_reflection, "", -1.0, REFLECTION)
        self._check_shore()
        for number, craft in enumerate(self.crafts):
            lowest, highest = float(craft.positions[:, 2].min()), float(craft.positions[:, 2].max())
            if not -self.water_depth <= lowest <= highest <= 0.0:
                raise OutOfRange(
                    f"craft {number} has a patch at z = {lowest if highest <= 0.0 else highest:g} m; allowed is "
                    f"{-self.water_depth:g} m (the bed) to 0 m."
                )

    def _check_shore(self) -> None:
        if self.shore.size != self.first_node[-1]:
            raise EngineError(
                f"the shore network has {self.shore.size} nodes; the dock and its crafts have {self.first_node[-1]}."
            )

    @cached_property
    def first_patch(self) -> Numbers:
        """Number of patches before each craft, and of all."""
        return np.concatenate([[0], np.cumsum([c.law.size for c in self.crafts])]).astype(np.int64)

    @cached_property
    def first_node(self) -> Numbers:
        """Number of the first node of each craft, and of all nodes."""
        sizes = [self.dock_nodes, *(c.network.size for c in self.crafts)]
        return np.cumsum(sizes).astype(np.int64)

    def node(self, craft: int, node: int) -> int:
        """Number among all nodes of a craft's `node`. Raises EngineError for one she has not."""
        if not 0 <= craft < len(self.crafts) or not 0 <= node < self.crafts[craft].network.size:
            raise EngineError(f"the marina has no craft {craft} with a node {node}.")
        return int(self.first_node[craft]) + node

    def patches(self, craft: int) -> slice:
        """The patches of a craft among all patches."""
        return slice(int(self.first_patch[craft]), int(self.first_patch[craft + 1]))

    def with_shore(self, shore: Network) -> Marina:
        """The same marina with another shore network: a lead plugged or pulled. Shares what was computed."""
        return self._changed(shore=shore)

    def with_craft(self, number: int, craft: Craft) -> Marina:
        """The same marina with one craft changed in conductors, law or area: same patches, same nodes.

        Raises EngineError for a craft whose metal stands elsewhere; that is another marina.
        """
        old = self.crafts[number]
        for name in ("positions", "radii", "self_resistance"):
            if not np.array_equal(getattr(old, name), getattr(craft, name)):
                raise EngineError(f"the {name} of craft {number} changed; build another marina.")
        if craft.network.size != old.network.size:
            raise EngineError(f"craft {number} had {old.network.size} nodes, and now {craft.network.size}.")
        return self._changed(crafts=(*self.crafts[:number], craft, *self.crafts[number + 1 :]))

    def _changed(self, **parts: object) -> Marina:
        """A copy that shares field, workshop and geometry."""
        _ = self.positions, self.field
        stale = {"wiring"} if "crafts" not in parts else {"wiring", "area", "law", "table", "patch_node"}
        other = object.__new__(Marina)
        other.__dict__.update({k: v for k, v in self.__dict__.items() if k not in stale})
        other.__dict__.update(parts)
        other._check_shore()
        return other

    @cached_property
    def positions(self) -> Array:
        """(n, 3) m of all patches in the marina's coordinates."""
        parts = []
        for craft, (x, y, heading) in zip(self.crafts, self.berths, strict=True):
            at, c, s = craft.positions, math.cos(heading), math.sin(heading)
            parts.append(
                np.stack([x + c * at[:, 0] - s * at[:, 1], y + s * at[:, 0] + c * at[:, 1], at[:, 2]], axis=1)
            )
        return np.ascontiguousarray(np.concatenate(parts))

    def _all(self, name: str) -> Array:
        return np.concatenate([getattr(craft, name) for craft in self.crafts])

    @cached_property
    def area(self) -> Array:
        """(n,) m2."""
        return self._all("area")

    @cached_property
    def law(self) -> Law:
        """The laws of all patches."""
        laws = [craft.law for craft in self.crafts]
        return Law(
            centre=np.concatenate([w.centre for w in laws], axis=1),
            inverse_slope=np.concatenate([w.inverse_slope for w in laws], axis=1),
            amplitude=np.concatenate([w.amplitude for w in laws], axis=1),
            floor=np.concatenate([w.floor for w in laws]),
            floor_potential=np.concatenate([w.floor_potential for w in laws]),
        )

    @cached_property
    def table(self) -> Array:
        """(n, 17) the laws as the compiled kernel takes them, see `kernel.laws`."""
        law = self.law
        rows = [law.centre, law.inverse_slope, law.amplitude, law.floor[None], law.floor_potential[None]]
        return np.ascontiguousarray(np.concatenate(rows).T)

    @cached_property
    def field(self) -> Field:
        """The water between all patches; computed once, and shared by marinas made from this one."""
        return self.survey()

    def survey(self, **options: int) -> Field:
        """Compute the field afresh (see `marina_field.survey`)."""
        from course.engine.marina.field import Bed, survey

        bed = Bed(self.water_depth, self.bed_reflection)
        alone, radii = self._all("self_resistance"), self._all("radii")
        return survey(self.positions, alone, radii, self.first_patch, bed, self.conductivity, **options)

    @cached_property
    def wiring(self) -> Wiring:
        """The conductors made ready for the solve."""
        from course.engine.marina.wiring import wire

        blocks = [self.field.own_block(k) for k in range(len(self.crafts))]
        firsts = self.first_node
        return wire(tuple(self.crafts), firsts, self.shore, self.dock_nodes, self.workshop, blocks)

    @cached_property
    def patch_node(self) -> Numbers:
        """(n,) number among all nodes of each patch's node."""
        firsts = self.first_node.tolist()
        return np.concatenate([c.node + first for c, first in zip(self.crafts, firsts, strict=False)])

    def system(self) -> System:
        """The whole as one dense system, for small marinas and for checks: cost grows as the cube."""
        bed = self.water_depth, self.bed_reflection
        transfer = transfer_matrix(self.positions, self._all("self_resistance"), self._all("radii"), *bed)
        shore = self.shore
        branches, sources, diodes = list(shore.branches), list(shore.sources), list(shore.diodes)
        for craft, first in zip(self.crafts, self.first_node.tolist(), strict=False):
            own = craft.network
            branches += [(a + first, b + first, g) for a, b, g in own.branches]
            sources += [(a + first, b + first, emf, ohm) for a, b, emf, ohm in own.sources]
            diodes += [(a + first, b + first, i, e, j) for a, b, i, e, j in own.diodes]
        whole = Network(shore.size, branches, sources, diodes, shore.temperature)
        return System(transfer / self.conductivity, self.area, self.law, self.patch_node, whole)


def solve_marina(marina: Marina, start: Solution | None = None) -> Solution:
    """Solve `marina`; `start` is an earlier solution of a like one (same patches and nodes).

    Patches and nodes are numbered as in `Marina.system()`, of which `solve` finds the same answer but for what
    the grid errs by in the far field, some 1e-6 of it; with up to 700 patches there is no grid. Diodes are at
    the temperature of the shore network. Raises NotConverged, saying what was tried, or EngineError. Never
    returns a nan. Compiled on first use, some tens of seconds once.
    """
    from course.engine.marina.solve import ROUNDS, settle

    found = settle(marina, start)
    if found is None:
        raise NotConverged(
            f"the marina of {len(marina.crafts)} crafts and {marina.area.size} patches did not settle; tried "
            f"{'the given start and ' if start is not None else ''}{ROUNDS} limited Newton steps from rest "
            "potentials."
        )
    return found
