"""A planned boat in resolved form: about 150 patches of metal on and around her hull, for the same solve.

The same metals, areas, laws and conductors as the lumped form (`afloat`), which a slip uses unless its exercise family
says otherwise; here the hull stands in the way of the current, and a fitting's parts may differ in potential.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat, Setting, kinetics_of
from course.boats.boat_panels import pool_of
from course.boats.plan import SlipPlan
from course.engine import Law, Network, Solution, System, Water, law
from course.engine.field import Field

Array = NDArray[np.float64]
ALONG, GIRTH = 30, 14  # parts of the hull lengthwise and from waterline to waterline


class Resolved:
    """The resolved form of a plan's boat. Building it reduces the field once; the systems are cheap."""

    def __init__(self, plan: SlipPlan, along: int = ALONG, girth: int = GIRTH) -> None:
        self.plan = plan
        self.lumped = Afloat(plan)
        self.water: Water = self.lumped.water
        boat = self.lumped.boat(self.lumped.start)
        self.pool = pool_of(boat, plan.berth, along, girth)
        self.owners = list(self.pool.owners)
        self.field: Field = self.pool.field
        drawn_ids = set(self.owners)
        bodies = [body for body in self.lumped.fitted(self.lumped.start).bodies if body.id in drawn_ids]
        self.alloy_of = {body.id: body.alloy for body in bodies}
        bare = {body.id: body.area for body in bodies}
        drawn = self.pool.drawn
        total = {body: float(drawn[self._of(body)].sum()) for body in bare}
        self.area: Array = np.array([bare[o] * a / total[o] for o, a in zip(self.owners, drawn, strict=True)])
        self._whole: dict[Setting, System] = {}
        self.node: NDArray[np.int64] = np.array([self.lumped.node_of[o] for o in self.owners])

    def _of(self, body: str) -> NDArray[np.int64]:
        return np.array([k for k, owner in enumerate(self.owners) if owner == body], dtype=np.int64)

    @cached_property
    def _alloys(self) -> tuple[list[str], NDArray[np.int64]]:
        names, which = np.unique([self.alloy_of[o] for o in self.owners], return_inverse=True)
        return [str(name) for name in names], which.astype(np.int64)

    def laws(self, water: Water) -> Law:
        """The electrode laws of all patches in `water`: each alloy's once, then shared out."""
        names, which = self._alloys
        return _some(law([kinetics_of(name) for name in names], water), which)

    def chosen(self, setting: Setting) -> NDArray[np.int64]:
        """Numbers of the patches that are in the water in a setting."""
        return np.array([k for k, o in enumerate(self.owners) if o not in setting.lifted], dtype=np.int64)

    def system(
        self,
        setting: Setting,
        water: Water | None = None,
        network: Network | None = None,
        area: Array | None = None,
    ) -> System:
        """The engine system of a setting; in other `water`, with another `network` or `area` (n,) m2, if given.

        Only what differs from the setting's own system is computed.
        """
        if setting not in self._whole:
            self._whole[setting] = self._build(setting)
        whole = self._whole[setting]
        if water is None:
            return whole.changed(network=network, area=area)
        ratio = water.conductivity / self.water.conductivity
        laws = _some(self.laws(water), self.chosen(setting))
        return whole.changed(law=laws, network=network, area=area, conductivity_ratio=ratio)

    def _build(self, setting: Setting) -> System:
        chosen = self.chosen(setting)
        system = System(
            self.pool.transfer[np.ix_(chosen, chosen)] / self.water.conductivity,
            self.area[chosen],
            _some(self.laws(self.water), chosen),
            self.node[chosen],
            self.lumped.system(setting).network,
        )
        _ = system.reach, system.groups
        return system

    def by_metal(self, setting: Setting, values: Array) -> dict[str, float]:
        """Sum of a patch quantity (a current, an area) over each metal in the water."""
        total: dict[str, float] = {}
        for k, value in zip(self.chosen(setting), values, strict=True):
            total[self.owners[k]] = total.get(self.owners[k], 0.0) + float(value)
        return total

    def water_potential(self, setting: Setting, solution: Solution, points: Array) -> Array:
        """Potential of the water [V] at points (p, 3) [m]."""
        operator = self.pool.to_points(points)[:, self.chosen(setting)]
        return np.asarray(operator @ solution.current / self.water.conductivity)


def _some(laws: Law, which: NDArray[np.int64]) -> Law:
    """The laws of patches `which`, repeats welcome."""
    return Law(
        laws.centre[:, which],
        laws.inverse_slope[:, which],
        laws.amplitude[:, which],
        laws.floor[which],
        laws.floor_potential[which],
    )
