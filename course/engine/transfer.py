"""Potential in the water from each patch: Green's functions with images of surface and bed.

x forward, y to port, z up, the surface at z = 0. The surface insulates (image of equal sign); the bed at
-water_depth reflects k = (kw - kb)/(kw + kb), so images stand at z + 2nh and -z + 2nh with weight k^|n|.
A patch spreads its current over a sphere of its radius; the mean potential of one such shell over another is
the Coulomb energy of two charge shells, so the matrix is positive definite even where patches are close.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import Array, EngineError, OutOfRange, require, require_array

FOUR_PI = 4.0 * math.pi
REFLECTION = 0.95  # nearer to 1 the images add up like a harmonic series and remote water is lost
SMALL = 1e-10  # weight at which images are left to the tail
CHUNK = 200_000  # elements of one vectorised piece of the image sum


def transfer_matrix(
    positions: ArrayLike,
    self_resistance: ArrayLike,
    radii: ArrayLike,
    water_depth: float = math.inf,
    bed_reflection: float = 0.0,
) -> Array:
    """Potential at patch i per ampere from patch j [ohm at 1 S/m], (n, n); divide by the conductivity [S/m].

    Parameters
    ----------
    positions : (n, 3) m, z <= 0 and above the bed
    self_resistance : (n,) ohm at 1 S/m, of each patch alone in unbounded water (or flush in its hull)
    radii : (n,) m; taken as at least the radius of the sphere with the same self resistance
    water_depth : m, or infinity for no bed
    bed_reflection : -1 (conducting bed) to 0.95; 1 would be an insulating bed

    Returns a symmetric matrix whose smallest eigenvalue was checked. Raises OutOfRange or EngineError.
    """
    at, n = _positions(positions, water_depth)
    alone = require_array("self resistance of patch", self_resistance, "ohm at 1 S/m", 1e-9, 1e9, (n,))
    given = require_array("radius of patch", radii, "m", 0.0, 1e4, (n,))
    spread = np.maximum(given, 1.0 / (FOUR_PI * alone))
    total = _green(at, at, spread, spread, water_depth, bed_reflection)
    direct = 1.0 / (FOUR_PI * spread)  # a shell over itself
    matrix = total + np.diag(alone - direct)
    matrix = 0.5 * (matrix + matrix.T)
    scale = np.sqrt(np.diagonal(matrix))
    if (
        not (np.diagonal(matrix) > 0.0).all()
        or np.linalg.eigvalsh(matrix / np.outer(scale, scale))[0] <= 1e-12
    ):
        raise EngineError(
            "the patches stand too close together to be told apart; give them room or merge them."
        )
    return np.asarray(matrix)


def transfer_to_points(
    points: ArrayLike,
    positions: ArrayLike,
    radii: ArrayLike,
    water_depth: float = math.inf,
    bed_reflection: float = 0.0,
) -> Array:
    """Potential at each of p points of the water per ampere from each patch [ohm at 1 S/m], (p, n).

    The same Green's function as `transfer_matrix`; constant inside a patch's radius. points (p, 3) m.
    """
    probes, p = _positions(points, water_depth, "point")
    at, n = _positions(positions, water_depth)
    spread = require_array("radius of patch", radii, "m", 0.0, 1e4, (n,))
    return _green(probes, at, np.zeros(p), np.maximum(spread, 1e-6), water_depth, bed_reflection)


def _positions(values: ArrayLike, water_depth: float, what: str = "patch") -> tuple[Array, int]:
    at = require_array(f"coordinate of {what}", values, "m", -1e6, 1e6)
    if at.ndim != 2 or at.shape[1] != 3:
        raise EngineError(f"positions have shape {at.shape}; expected is one row of x, y, z for each {what}.")
    require("water depth", water_depth, "m", 1e-3, math.inf)
    for z in (float(at[:, 2].max(initial=-1e-3)), float(at[:, 2].min(initial=-1e-3))):
        if not -water_depth <= z <= 0.0:
            raise OutOfRange(f"a {what} is at z = {z:g} m; allowed is {-water_depth:g} m (the bed) to 0 m.")
    return at, at.shape[0]


def _shells(distance: Array, wide: Array, slim: Array) -> Array:
    """Mean of 1/r [1/m] from a shell over another, `distance` apart; `slim` is the smaller radius, maybe 0.

    The radii have the shape of `distance`'s last axes.
    """
    apart = 1.0 / np.maximum(distance, wide)
    crossing = (distance > wide - slim) & (distance < wide + slim)
    if crossing.any():
        d = distance[crossing]
        w, s = (np.broadcast_to(v, distance.shape)[crossing] for v in (wide, slim))
        apart[crossing] = ((w**2 - (d - s) ** 2) / (2.0 * w) + d + s - w) / (2.0 * d * s)
    return np.asarray(apart)


def _green(to: Array, source: Array, a: Array, b: Array, depth: float, reflection: float) -> Array:
    """Green's function [1/m] between shells `to` (radius a) and `source` (radius b), with images."""
    k = require("bed reflection", reflection, "", -1.0, REFLECTION)
    wide, slim = np.maximum(a[:, None], b[None, :]), np.minimum(a[:, None], b[None, :])
    level = ((to[:, None, :2] - source[None, :, :2]) ** 2).sum(axis=-1)
    below = np.stack([to[:, None, 2] - source[None, :, 2], to[:, None, 2] + source[None, :, 2]])
    total = _shells(np.sqrt(level + below**2), wide, slim).sum(axis=0)  # itself, and its image in the surface
    if k == 0.0 or math.isinf(depth):
        return np.asarray(total / FOUR_PI)
    last = _last_image(k, math.sqrt(float(level.max(initial=0.0))) / depth)
    chunk = max(1, CHUNK // max(1, 4 * level.size))
    for first in range(1, last + 1, chunk):
        n = np.arange(first, min(first + chunk, last + 1), dtype=np.float64)
        lift = np.concatenate([2.0 * depth * n, -2.0 * depth * n])[:, None, None, None]
        ring = _shells(np.sqrt(level + (below + lift) ** 2), wide, slim).sum(axis=1)
        total += np.tensordot(np.tile(k**n, 2), ring, axes=1)
    return np.asarray((total + _tail(k, last, depth)) / FOUR_PI)


def _last_image(k: float, reach: float) -> int:
    """Number of explicit image rings; `reach` is the widest level distance in water depths."""
    by_weight = math.log(SMALL) / math.log(abs(k)) if abs(k) < 1.0 else math.inf
    return math.ceil(min(by_weight, 400.0 + 20.0 * reach))


def _tail(k: float, last: int, depth: float) -> float:
    """Sum over n > last of 4 k^n/(2 n depth) [1/m]: what the images left out add."""
    n = np.arange(1, last + 1)
    return 2.0 / depth * (-math.log1p(-k) - float((k**n / n).sum()))
