"""Shapes cut into panels: plates, boxes, surfaces of revolution, spheres, disks, tubes. Lengths in m.

Closed shapes have their normals outward, into the water. `edges` are increasing fractions from 0 to 1 at which
a side is cut; `graded` makes them finer towards an end, where current crowds.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import Array, EngineError, require, require_array
from course.engine.field.panels import Panels, join, panels


def even(count: int) -> Array:
    """Fractions that cut a side into `count` equal parts."""
    return np.linspace(0.0, 1.0, int(require("number of parts", count, "", 1, 10_000)) + 1)


def graded(count: int) -> Array:
    """Fractions that cut a side finer towards both ends (a cosine), as the edge of a plate wants it."""
    return np.asarray(0.5 - 0.5 * np.cos(math.pi * even(count)))


def _cells(grid: Array) -> Array:
    """Corners (m, 4, 3) of the cells of a (p, q, 3) grid of points."""
    return np.stack([grid[:-1, :-1], grid[1:, :-1], grid[1:, 1:], grid[:-1, 1:]], axis=2).reshape(-1, 4, 3)


def _fractions(edges: ArrayLike) -> Array:
    cuts = require_array("cut", edges, "", 0.0, 1.0)
    if cuts.ndim != 1 or cuts.size < 2 or (np.diff(cuts) <= 0.0).any():
        raise EngineError("the cuts of a side must increase from 0 to 1, at least two of them.")
    return cuts


def plate(
    corner: ArrayLike,
    first: ArrayLike,
    second: ArrayLike,
    edges: tuple[ArrayLike, ArrayLike],
    closed: bool = False,
) -> Panels:
    """A parallelogram from `corner` along the vectors `first` and `second`; its normal is first x second.

    A sheet, unless `closed` says that it is one side of a closed body.
    """
    a, b = _fractions(edges[0]), _fractions(edges[1])
    start, u, v = (require_array("corner or side", w, "m", -1e5, 1e5, (3,)) for w in (corner, first, second))
    grid = start + a[:, None, None] * u + b[None, :, None] * v
    return panels(_cells(grid), closed)


def box(
    low: ArrayLike, high: ArrayLike, edges: tuple[ArrayLike, ArrayLike, ArrayLike], lid: bool = True
) -> Panels:
    """A box between two corners; without `lid` it is open upward, as a barge afloat."""
    a, b = (require_array("corner of box", w, "m", -1e5, 1e5, (3,)) for w in (low, high))
    if (b <= a).any():
        raise EngineError("the high corner of a box must lie above its low corner in x, y and z.")
    x, y, z = np.diag(b - a)
    ex, ey, ez = edges
    sides = [
        plate(a, y, x, (ey, ex), True),
        plate(a, x, z, (ex, ez), True),
        plate(a, z, y, (ez, ey), True),
        plate(a + y, z, x, (ez, ex), True),
        plate(a + x, y, z, (ey, ez), True),
        plate(a + z, x, y, (ex, ey), True),
    ]
    kept = sides if lid else sides[:5]
    return panels(np.concatenate([side.corners for side in kept]), True)


def revolved(profile: ArrayLike, around: int, closed: bool = True) -> Panels:
    """A surface of revolution about the z axis from a `profile` of (radius, z) from its top to its bottom.

    The polygon of each ring is widened to the area of its circle, which makes the error of chords smaller.
    `around` panels a ring, from angle 0 at x towards y; panel k is in ring k // around.
    """
    points = require_array("point of profile", profile, "m", -1e5, 1e5)
    if points.ndim != 2 or points.shape[1] != 2 or points.shape[0] < 2 or points[:, 0].min() < 0.0:
        raise EngineError("a profile is two or more rows of radius (0 or more) and z.")
    count = int(require("number of panels around", around, "", 3, 10_000))
    widen = math.sqrt((2.0 * math.pi / count) / math.sin(2.0 * math.pi / count))
    angle = np.linspace(0.0, 2.0 * math.pi, count + 1)
    angle[-1] = 0.0
    ring = np.stack([np.cos(angle), np.sin(angle), np.zeros_like(angle)], axis=1)
    grid = widen * points[:, None, :1] * ring[None]
    grid[..., 2] = points[:, 1][:, None]
    return panels(_cells(grid), closed)


def sphere(centre: ArrayLike, radius: float, rings: int, around: int | None = None) -> Panels:
    """A sphere cut into `rings` of latitude."""
    return spheroid(centre, radius, radius, rings, around)


def spheroid(
    centre: ArrayLike, half_length: float, radius: float, rings: int, around: int | None = None
) -> Panels:
    """A spheroid of `half_length` along z and `radius` across, cut into `rings` of equal parameter."""
    require("radius", radius, "m", 1e-6, 1e5)
    require("half length", half_length, "m", 1e-6, 1e5)
    theta = math.pi * even(rings)
    step = 0.5 * math.pi / rings
    widen = step / math.sin(step)  # the meridian's chords get the length of its arcs
    profile = widen * np.stack([radius * np.sin(theta), half_length * np.cos(theta)], axis=1)
    profile[[0, -1], 0] = 0.0
    return revolved(profile, around or 2 * rings).moved(centre)


def disk(centre: ArrayLike, radius: float, cuts: ArrayLike, around: int) -> Panels:
    """A thin disk square to z, a sheet; `cuts` are the radii of its rings as fractions, from 0 to 1."""
    radii = require("radius", radius, "m", 1e-6, 1e5) * _fractions(cuts)
    return revolved(np.stack([radii, np.zeros_like(radii)], axis=1), around, closed=False).moved(centre)


def tube(start: ArrayLike, end: ArrayLike, radius: float, edges: ArrayLike, around: int = 6) -> Panels:
    """The side of a rod from `start` to `end`, as a sheet: right for a rod slender beside its distances.

    Panels run around first: panel k belongs to length number k // around.
    """
    a, b = (require_array("end of rod", w, "m", -1e5, 1e5, (3,)) for w in (start, end))
    require("radius", radius, "m", 1e-6, 1e5)
    axis = b - a
    length = float(np.linalg.norm(axis))
    require("length of rod", length, "m", 1e-6, 1e5)
    aside = np.cross(axis, np.eye(3)[int(np.abs(axis).argmin())])
    aside /= np.linalg.norm(aside)
    other = np.cross(axis / length, aside)
    angle = np.linspace(0.0, 2.0 * math.pi, int(require("number of panels around", around, "", 3, 1000)) + 1)
    wide = radius * (math.pi / around) / math.sin(math.pi / around)
    ring = wide * (np.cos(angle)[:, None] * aside + np.sin(angle)[:, None] * other)
    grid = a + _fractions(edges)[:, None, None] * axis + ring[None]
    return panels(_cells(grid), False)


def sector(
    centre: ArrayLike, radii: tuple[float, float], angles: tuple[float, float], cuts: tuple[int, int]
) -> Panels:
    """A piece of a ring square to x (a propeller blade seen from astern), a sheet; angles [rad] from y to z."""
    r = np.linspace(require("inner radius", radii[0], "m", 1e-6, 1e5), radii[1], cuts[0] + 1)
    angle = np.linspace(angles[0], angles[1], cuts[1] + 1)
    widen = math.sqrt((angle[1] - angle[0]) / math.sin(angle[1] - angle[0]))
    grid = np.zeros((r.size, angle.size, 3))
    grid[..., 1] = widen * r[:, None] * np.cos(angle)
    grid[..., 2] = widen * r[:, None] * np.sin(angle)
    return panels(_cells(grid), False).moved(centre)


__all__ = [
    "box",
    "disk",
    "even",
    "graded",
    "join",
    "plate",
    "revolved",
    "sector",
    "sphere",
    "spheroid",
    "tube",
]
