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
from course.boats.kept import Arrays, keep, place, read
from course.boats.plan import Berth
from course.engine import transfer_matrix, transfer_to_points
from course.engine.field import Basin, layer_at
from course.engine.field.plain import Shape

Array = NDArray[np.float64]
FRESH_BELOW = 2.0  # practical salinity
ALONG, GIRTH = 24, 10  # parts of the hull; see the tests for what finer ones change
AT_HAND = 24  # boats whose field is kept in this process


@dataclass(frozen=True, eq=False)
class Heard:
    """What is left of a pool once her metals are one patch each: names, transfer (m, m) ohm at 1 S/m, and her field at points.

    sources (panels, m): of each panel per ampere of each metal; shape: the panels, without what only pairs need.
    """

    metals: tuple[str, ...]
    transfer: Array
    sources: Array
    shape: Shape

    def to_points(self, points: Array, basin: Basin) -> Array:
        """Potential at points (p, 3) m per ampere of each metal (p, m) [ohm at 1 S/m]."""
        return layer_at(points, self.shape, basin, self.sources)


@dataclass(frozen=True, eq=False)
class FreshField:
    """transfer (n, n) ohm at 1 S/m of a boat's metals and what lies beside her, in the order asked for."""

    heard: Heard
    basin: Basin
    transfer: Array
    order: tuple[int, ...]
    beside: tuple[Array, Array, float, float]  # places, radii, depth, reflection of what lies beside

    def to_points(self, points: Array) -> Array:
        """Potential at points (p, 3) m per ampere of each metal (p, n) [ohm at 1 S/m]."""
        own = self.heard.to_points(points, self.basin)
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


_HEARD: dict[str, Heard] = {}
SHAPES = ("centre", "normal", "spread", "reach", "area", "corners", "mirrors")
NAMES = frozenset({"metals", "transfer", "sources", *SHAPES})


def _made(boat: Boat, berth: Berth) -> Arrays:
    pool = pool_of(boat, berth, ALONG, GIRTH)
    lumped, spread = reduced(pool, frozenset(a.id for a in boat.anodes))
    sources = pool.field.strength @ pool.of_panels(spread)
    shape = {name: getattr(pool.field.shape, name) for name in SHAPES}
    return {"metals": np.array(pool.metals), "transfer": lumped, "sources": sources, **shape}


def _key(boat: Boat, berth: Berth) -> str:
    return repr((_shape(boat), berth.depth_m, berth.bed_reflection))


def _heard(boat: Boat, berth: Berth) -> Heard:
    """The reduced field of a boat at a berth: at hand for the last few, in the user's cache for those asked to be kept."""
    key = _key(boat, berth)
    if key not in _HEARD:
        while len(_HEARD) >= AT_HAND:
            _HEARD.pop(next(iter(_HEARD)))
        found = read(place("fresh", key), lambda arrays: arrays.keys() == NAMES) or _made(boat, berth)
        for_pairs = {"outer": np.empty((0, 0, 3)), "weight": np.empty((0, 0)), "rings": np.empty(0)}
        shape = Shape(**{name: found[name] for name in SHAPES}, **for_pairs)
        names = tuple(str(name) for name in found["metals"])
        _HEARD[key] = Heard(names, found["transfer"], found["sources"], shape)
    return _HEARD[key]


def keep_field(boat: Boat, berth: Berth) -> None:
    """Keep the field of a boat that will be met again, as one that was drawn for a learner, in the user's cache."""
    if berth.salinity < FRESH_BELOW:
        heard = _heard(boat, berth)
        shape = {name: getattr(heard.shape, name) for name in SHAPES}
        arrays = {"metals": np.array(heard.metals), "transfer": heard.transfer, "sources": heard.sources}
        keep(place("fresh", _key(boat, berth)), arrays | shape)


def fresh_field(boat: Boat, bodies: tuple[Body, ...], berth: Berth) -> FreshField:
    """The field of `bodies`, which are the boat's metals and what lies beside her, at 1 S/m.

    Costs about half a second for a boat not met before on this machine. Raises EngineError for a boat that cannot be drawn.
    """
    heard, basin = _heard(boat, berth), Basin(True, berth.depth_m, berth.bed_reflection)
    others = [body for body in bodies if body.id not in heard.metals]
    names = (*heard.metals, *(body.id for body in others))
    places = np.array([body.place for body in others]).reshape(-1, 3)
    radii = np.array([body.radius for body in others])
    bed = (berth.depth_m, berth.bed_reflection)
    painted = {a.id: a for a in boat.anodes if a.painted_fraction}
    plain = {k: a.model_copy(update={"painted_fraction": 0.0}) for k, a in painted.items()}
    extra = [
        paint_ohm(painted[m], anode_body(plain[m]).self_resistance) if m in painted else 0.0
        for m in heard.metals
    ]
    transfer = heard.transfer + np.diag(extra)
    if others:
        alone = np.array([body.self_resistance for body in others])
        across = heard.to_points(places, basin)
        apart = transfer_matrix(places, alone, radii, *bed)
        transfer = np.block([[transfer, across.T], [across, apart]])
    order = tuple(names.index(body.id) for body in bodies)
    chosen = transfer[np.ix_(order, order)]
    return FreshField(heard, basin, chosen, order, (places, radii, *bed))
