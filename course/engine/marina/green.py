"""The water's Green's function in tables: images of surface and bed summed once, then a few products a pair.

Between points at level distance r and depths z, z' the potential is (F(r, z - z') + F(r, z + z'))/(4 pi kappa),

    F(r, s) = sum over n of k^|n| / R_n,    R_n^2 = r^2 + (s + 2 n h)^2

as in `transfer`. `rest` is F without its three nearest images, which are summed exactly where they matter.
`smooth` is F with erf(R_n/width)/R_n for 1/R_n: all of F beyond some four widths, and soft enough within to be
carried on a grid. Both are polynomials in s^2 and, cell by cell, in asinh(r/scale).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import erf

from course.engine.errors import Array
from course.engine.marina.kernel import ALONG, CELL, UPRIGHT

FAINT = 1e-12  # weight at which images are left out
CHUNK = 4_000_000  # elements of one vectorised piece


@dataclass(frozen=True, eq=False)
class Tables:
    """rest, smooth: (cells, 6, 10) [1/m]; shape: scale [m], highest s^2 [m2], reflection, depth [m]."""

    rest: Array
    smooth: Array
    shape: Array


def _images(reflection: float, reach: float) -> int:
    """Number of image rings; a perfect negative reflection needs some beyond the reach [depths]."""
    if reflection == 0.0:
        return 0
    by_weight = math.log(FAINT) / math.log(abs(reflection)) if abs(reflection) < 1.0 else math.inf
    return math.ceil(min(by_weight, 400.0 + 20.0 * reach))


def _summed(
    level: Array, square: Array, depth: float, k: float, rings: int, width: float
) -> tuple[Array, Array]:
    """rest and smooth at points (level distance r, s^2)."""
    s = np.sqrt(square)
    rest, smooth = np.zeros_like(level), np.zeros_like(level)
    numbers = np.arange(-rings, rings + 1)
    for piece in np.array_split(numbers, max(1, numbers.size * level.size // CHUNK)):
        n = piece[:, None].astype(float)
        lift = 2.0 * n * depth if rings else 0.0 * n
        apart = np.sqrt(level**2 + (s + lift) ** 2)
        weight = np.where(np.abs(n) == rings, 0.5 if k < 0.0 else 1.0, 1.0) * k ** np.abs(n)
        far = np.abs(n) >= 2.0
        rest += np.where(far, weight / np.where(far, apart, 1.0), 0.0).sum(axis=0)
        if math.isfinite(width):
            safe = np.maximum(apart, 1e-9 * width)
            smooth += (weight * erf(safe / width) / safe).sum(axis=0)
    return rest, smooth


def tabulate(depth: float, reflection: float, deepest: float, reach: float, width: float) -> Tables:
    """Tables for patches down to `deepest` [m] and level distances up to `reach` [m].

    depth [m] may be infinite (no bed); an infinite `width` [m] makes no smooth part.
    """
    bed = math.isfinite(depth) and reflection != 0.0
    k = reflection if bed else 0.0
    rings = _images(k, reach / depth if bed else 0.0)
    scale = min(2.0 * depth, width)
    if not math.isfinite(scale):
        scale = max(reach, 1.0)
    top = (2.0 * max(deepest, 1e-3)) ** 2
    cells = math.ceil(math.asinh(reach / scale) / CELL) + 1
    along = np.cos(np.pi * (np.arange(ALONG) + 0.5) / ALONG)
    upright = np.cos(np.pi * (np.arange(UPRIGHT) + 0.5) / UPRIGHT)
    t = CELL * (np.arange(cells)[:, None] + 0.5 + 0.5 * along)
    level, square = np.broadcast_arrays(scale * np.sinh(t)[..., None], 0.5 * top * (1.0 + upright))
    sums = _summed(level.ravel(), square.ravel(), depth, k, rings, width)
    by_along = np.linalg.inv(np.vander(along, increasing=True))
    by_upright = np.linalg.inv(np.vander(upright, increasing=True))
    rest, smooth = (
        np.einsum("ai,cij,bj->cab", by_along, values.reshape(level.shape), by_upright) for values in sums
    )
    return Tables(
        np.ascontiguousarray(rest),
        np.ascontiguousarray(smooth),
        np.array([scale, top, k, depth if bed else 1.0]),
    )
