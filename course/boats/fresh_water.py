"""Fresh water's lumped form: the resolved field, reduced to one potential a metal.

In fresh water potential falls along a metal, and one patch with the resistance of a simple body does not tell how much current it
passes. With all patches of a metal at one potential, their currents add up to G = B' R^-1 B, and the lumped transfer matrix is its
inverse; see `reduced` for the other bound, and the mean that is used. What lies beside the boat keeps its own resistance, and
hears her through the field of her patches.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from course.boats.boat_panels import Pool, pool_of
from course.boats.bodies import Body, anode_body, paint_ohm
from course.boats.description import Boat
from course.boats.plan import Berth
from course.engine import transfer_matrix, transfer_to_points

Array = NDArray[np.float64]
FRESH_BELOW = 2.0  # practical salinity
ALONG, GIRTH = 24, 10  # parts of the hull; see the tests for what finer ones change
KEPT = 24  # boats whose field is kept


@dataclass(frozen=True, eq=False)
class FreshField:
    """transfer (n, n) ohm at 1 S/m of a boat's metals and what lies beside her, in the order asked for."""

    pool: Pool
    transfer: Array
    spread: Array  # (patches, metals of the boat): current of each patch per ampere of its metal
    order: tuple[int, ...]
    beside: tuple[Array, Array, float, float]  # places, radii, depth, reflection of what lies beside

    def to_points(self, points: Array) -> Array:
        """Potential at points (p, 3) m per ampere of each metal (p, n) [ohm at 1 S/m]."""
        own = self.pool.to_points(points) @ self.spread
        if self.beside[0].size:
            own = np.concatenate([own, transfer_to_points(points, *self.beside)], axis=1)
        return np.asarray(own[:, list(self.order)])


def reduced(pool: Pool, anodes: frozenset[str]) -> tuple[Array, Array]:
    """The lumped transfer matrix (m, m) of a pool's metals, and the share of each patch in its metal's current (n, m).

    The mean of two bounds: every metal at one potential of the water (the least resistance it can have), and every metal but the
    anodes at one current density (the most). Oxygen's limit holds cathodes nearer to the second, anodes to the first.
    """
    belongs = np.array([[owner == metal for metal in pool.metals] for owner in pool.owners], dtype=float)
    answer = np.linalg.solve(pool.transfer, belongs)  # current of each patch with one metal at 1 V
    least = np.linalg.inv(belongs.T @ answer)
    level = answer @ least
    even = belongs * pool.drawn[:, None]
    anode = np.array([metal in anodes for metal in pool.metals])
    even[:, anode] = (belongs * np.maximum(level, 0.0))[:, anode]
    even /= even.sum(axis=0)
    lumped = 0.5 * (least + even.T @ pool.transfer @ even)
    return 0.5 * (lumped + lumped.T), 0.5 * (level + even)


def _shape(boat: Boat) -> str:
    """What the field depends on, as a key."""
    metals = tuple((m.id, m.shape, m.wetted_area_m2, m.length_m, m.place) for m in boat.metals)
    anodes = tuple(
        (a.id, a.mounting, a.remaining, a.length_m, a.width_m, a.thickness_m, a.place) for a in boat.anodes
    )
    return repr((boat.hull, metals, anodes, boat.raw_water))


_POOLS: dict[tuple[str, float, float], tuple[Pool, Array, Array]] = {}


def _pool(boat: Boat, berth: Berth) -> tuple[Pool, Array, Array]:
    key = (_shape(boat), berth.depth_m, berth.bed_reflection)
    if key not in _POOLS:
        while len(_POOLS) >= KEPT:
            _POOLS.pop(next(iter(_POOLS)))
        pool = pool_of(boat, berth, ALONG, GIRTH)
        _POOLS[key] = (pool, *reduced(pool, frozenset(a.id for a in boat.anodes)))
    return _POOLS[key]


def fresh_field(boat: Boat, bodies: tuple[Body, ...], berth: Berth) -> FreshField:
    """The field of `bodies`, which are the boat's metals and what lies beside her, at 1 S/m.

    Costs about half a second for a boat not met before. Raises EngineError for a boat that cannot be drawn.
    """
    pool, own, spread = _pool(boat, berth)
    others = [body for body in bodies if body.id not in pool.metals]
    names = (*pool.metals, *(body.id for body in others))
    places = np.array([body.place for body in others]).reshape(-1, 3)
    radii = np.array([body.radius for body in others])
    bed = (berth.depth_m, berth.bed_reflection)
    painted = {a.id: a for a in boat.anodes if a.painted_fraction}
    plain = {k: a.model_copy(update={"painted_fraction": 0.0}) for k, a in painted.items()}
    extra = [
        paint_ohm(painted[m], anode_body(plain[m]).self_resistance) if m in painted else 0.0
        for m in pool.metals
    ]
    transfer = own + np.diag(extra)
    if others:
        alone = np.array([body.self_resistance for body in others])
        across = pool.to_points(places) @ spread
        apart = transfer_matrix(places, alone, radii, *bed)
        transfer = np.block([[transfer, across.T], [across, apart]])
    order = tuple(names.index(body.id) for body in bodies)
    chosen = transfer[np.ix_(order, order)]
    return FreshField(pool, chosen, spread, order, (places, radii, *bed))
