"""Fields of panels in numpy alone: the twin that the compiled kernel is held to, and its stand-in.

Both follow one rule: a pair of panels nearer than NEAR times the sum of their reaches is integrated in closed
form over the source and by Gauss points over the target; farther pairs by their second moments. The images of
the bed beyond its mirror see points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.field.basin import Basin
from course.engine.field.elementary import distant, polygon, rest
from course.engine.field.panels import Panels

NEAR = 2.0
FOUR_PI = 4.0 * math.pi
GAUSS = 3  # points each way on a near source
ROWS = 100_000  # elements of one piece of a matrix


@dataclass(frozen=True, eq=False)
class Shape:
    """What the kernels need of m panels, as plain arrays: see `shape_of`."""

    centre: Array
    normal: Array
    spread: Array
    reach: Array
    area: Array
    corners: Array
    outer: Array
    weight: Array
    mirrors: Array
    rings: Array

    def part(self, which: NDArray[np.int64], rings: Array) -> Shape:
        """Some of the panels, with the `rings` of another extent."""
        arrays = {name: getattr(self, name)[which] for name in self._by_panel()}
        return replace(self, rings=rings, **arrays)

    def joined(self, other: Shape) -> Shape:
        """These panels and then the other's, in the other's water."""
        arrays = {n: np.concatenate([getattr(self, n), getattr(other, n)]) for n in self._by_panel()}
        return replace(other, **arrays)

    def _by_panel(self) -> list[str]:
        return list(self.__dataclass_fields__)[:-2]


def gauss_points(panels: Panels, count: int) -> tuple[Array, Array]:
    """Points (m, q, 3) and weights (m, q), adding up to 1, for means over each panel."""
    x, w = np.polynomial.legendre.leggauss(count)
    u, v = (g.ravel() for g in np.meshgrid(0.5 * (x + 1.0), 0.5 * (x + 1.0), indexing="ij"))
    c = panels.corners
    a, b, d = c[:, 1] - c[:, 0], c[:, 3] - c[:, 0], c[:, 0] - c[:, 1] + c[:, 2] - c[:, 3]
    at = c[:, None, 0] + u[:, None] * a[:, None] + v[:, None] * b[:, None] + (u * v)[:, None] * d[:, None]
    along_u = a[:, None] + v[:, None] * d[:, None]
    along_v = b[:, None] + u[:, None] * d[:, None]
    stretch = np.einsum("mqk,mk->mq", np.cross(along_u, along_v), panels.normal)
    weight = np.outer(w, w).ravel() * stretch
    return at, weight / weight.sum(axis=1, keepdims=True)


def shape_of(panels: Panels, basin: Basin, extent: float, gauss: int = GAUSS) -> Shape:
    """Arrays of the kernels; `extent` [m] is the widest distance that will be asked for, images included."""
    s = panels.spread
    outer, weight = gauss_points(panels, gauss)
    spread = np.stack([s[:, 0, 0], s[:, 1, 1], s[:, 2, 2], s[:, 0, 1], s[:, 0, 2], s[:, 1, 2]], axis=1)
    return Shape(
        panels.centre,
        panels.normal,
        spread,
        panels.reach,
        panels.area,
        panels.corners,
        np.ascontiguousarray(outer),
        weight,
        basin.mirrors(),
        basin.rings(extent),
    )


MIRRORED = np.array([1.0, 1.0, 1.0, 1.0, -1.0, -1.0])  # second moments under z -> -z


def pairs(to: Shape, source: Shape) -> tuple[Array, Array]:
    """Mean potential on panel i and flux through it along its normal, per ampere from panel j [1/m, 1]."""
    m, n = to.area.size, source.area.size
    potential, flux = np.zeros((m, n)), np.zeros((m, n))
    step = max(1, ROWS // n)
    for first in range(0, m, step):
        rows = slice(first, min(first + step, m))
        for plane, flip, weight in source.mirrors:
            value, gradient = _image(to, source, rows, float(plane), float(flip))
            potential[rows] += weight * value
            flux[rows] += weight * to.area[rows, None] * gradient
        _add_rest(to, source, rows, potential, flux)
    return potential / FOUR_PI, flux / FOUR_PI


def _image(to: Shape, source: Shape, rows: slice, plane: float, flip: float) -> tuple[Array, Array]:
    """Mean value and mean normal derivative on targets `rows`, mirrored in z -> plane + flip z."""
    centre, normal = to.centre[rows].copy(), to.normal[rows].copy()
    centre[:, 2] = plane + flip * centre[:, 2]
    normal[:, 2] *= flip
    spread = to.spread[rows] * (MIRRORED if flip < 0.0 else 1.0)
    away = centre[:, None, :] - source.centre[None, :, :]
    distance = np.sqrt((away**2).sum(axis=2))
    near = distance < NEAR * (to.reach[rows, None] + source.reach[None, :])
    x, y, z = (np.where(near, 1.0, away[..., k]) for k in range(3))
    moment = spread.T[:, :, None] + source.spread.T[:, None, :]
    value, gx, gy, gz = distant(x, y, z, moment)
    slope = gx * normal[:, None, 0] + gy * normal[:, None, 1] + gz * normal[:, None, 2]
    i, j = np.nonzero(near)
    if i.size:
        at = source.outer[j].copy()
        at[..., 2] = plane + flip * at[..., 2]
        target = i + rows.start
        close = _closed_form(at, to, target)
        w = source.weight[j] / to.area[target, None]
        value[i, j] = (w * close[0]).sum(axis=1)
        g = np.stack([(w * c).sum(axis=1) for c in close[1:]], axis=1)
        slope[i, j] = -(g * to.normal[target]).sum(axis=1)
    return value, slope


def _closed_form(at: Array, source: Shape, j: NDArray[np.int64]) -> tuple[Array, Array, Array, Array]:
    corners = source.corners[j].transpose(1, 2, 0)[..., None]
    value, gx, gy, gz = polygon(at[..., 0], at[..., 1], at[..., 2], corners, source.normal[j].T[..., None])
    return value, gx, gy, gz


def _add_rest(to: Shape, source: Shape, rows: slice, potential: Array, flux: Array) -> None:
    if not source.rings.size:
        return
    away = to.centre[rows, None, :] - source.centre[None, :, :]
    up = to.centre[rows, None, 2] + source.centre[None, :, 2]
    value, aside, by_down, by_up = rest(away[..., 0] ** 2 + away[..., 1] ** 2, away[..., 2], up, source.rings)
    normal = to.normal[rows, None, :]
    potential[rows] += value
    level = aside * (away[..., 0] * normal[..., 0] + away[..., 1] * normal[..., 1])
    flux[rows] += to.area[rows, None] * (level + (by_down + by_up) * normal[..., 2])


def at_points(points: Array, source: Shape, with_rest: bool = True) -> Array:
    """Potential at points (p, 3) per ampere from each panel [1/m], (p, m)."""
    p, n = points.shape[0], source.area.size
    potential = np.zeros((p, n))
    step = max(1, ROWS // n)
    for first in range(0, p, step):
        rows = slice(first, min(first + step, p))
        for plane, flip, weight in source.mirrors:
            at = points[rows].copy()
            at[:, 2] = plane + flip * at[:, 2]
            away = at[:, None, :] - source.centre[None, :, :]
            near = np.sqrt((away**2).sum(axis=2)) < NEAR * source.reach[None, :]
            x, y, z = (np.where(near, 1.0, away[..., k]) for k in range(3))
            value = distant(x, y, z, source.spread.T[:, None, :])[0]
            i, j = np.nonzero(near)
            if i.size:
                value[i, j] = _closed_form(at[i][:, None, :], source, j)[0][:, 0] / source.area[j]
            potential[rows] += weight * value
    if with_rest:
        potential += rest_at_points(points, source)
    return potential / FOUR_PI


def rest_at_points(points: Array, source: Shape) -> Array:
    """The part of `at_points` that comes from the far images of the bed, times 4 pi [1/m], (p, m)."""
    if not source.rings.size:
        return np.zeros((points.shape[0], source.area.size))
    away = points[:, None, :] - source.centre[None, :, :]
    up = points[:, None, 2] + source.centre[None, :, 2]
    value, _, _, _ = rest(away[..., 0] ** 2 + away[..., 1] ** 2, away[..., 2], up, source.rings)
    return np.asarray(value)
