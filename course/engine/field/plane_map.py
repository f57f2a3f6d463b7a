"""The potential of the water on a plane, as two thin matrices: cheap enough to follow a slider.

The operator from patch currents to thousands of points is smooth but for the patches on the plane itself, so a few
dozen numbers carry it: potential = left @ (right @ current) / conductivity.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.errors import Array, EngineError, require, require_array
from course.engine.field import plain
from course.engine.field.panels import Panels
from course.engine.field.water_field import Field, extent, kernels

TOLERANCE = 1e-5  # of the largest singular value
NODES = 16  # Chebyshev nodes a side for the far images of the bed, which are smooth over the plane


@dataclass(frozen=True, eq=False)
class PlaneMap:
    """Potential on a rectangle of rows x columns points.

    points (rows, columns, 3) m; wet (rows, columns) whether a point is in the water and not inside a body;
    left (rows x columns, r), right (r, n) ohm at 1 S/m; error: of the pair, relative to its largest entry.
    """

    points: Array
    wet: NDArray[np.bool_]
    left: Array
    right: Array
    error: float

    @property
    def rank(self) -> int:
        """Numbers carried from the patches to the plane."""
        return int(self.right.shape[0])

    def potential(self, current: ArrayLike, conductivity: float) -> Array:
        """Potential [V] against remote water, (rows, columns), for patch currents (n,) A.

        Points inside a closed body are given too (the layer's own potential there); `wet` says which to show.
        """
        require("conductivity", conductivity, "S/m", 1e-6, 1e3)
        given = require_array("patch current", current, "A", -1e9, 1e9, (self.right.shape[1],))
        values = self.left @ (self.right @ given / conductivity)
        return np.asarray(values.reshape(self.wet.shape))


def plane_map(
    field: Field,
    corner: ArrayLike,
    across: ArrayLike,
    down: ArrayLike,
    columns: int = 200,
    rows: int = 100,
    tolerance: float = TOLERANCE,
) -> PlaneMap:
    """Make the map of `field` on the rectangle from `corner` (3,) m along the vectors `across` and `down`.

    Raises EngineError for a rectangle that leaves the water.
    """
    start, u, v = (
        require_array("corner or side of plane", w, "m", -1e5, 1e5, (3,)) for w in (corner, across, down)
    )
    nx, nz = (int(require("number of points", n, "", 2, 10_000)) for n in (columns, rows))
    a, b = np.linspace(0.0, 1.0, nx), np.linspace(0.0, 1.0, nz)
    points = start + b[:, None, None] * v + a[None, :, None] * u
    flat = points.reshape(-1, 3)
    field.basin.check(flat[:, 2], "point of the map")
    operator = _operator(field, flat, (start, u, v), a, b)
    left, right, error = _thin(operator, tolerance)
    wet = ~inside(field.panels, flat).reshape(nz, nx)
    return PlaneMap(points, wet, left, right, error)


def _operator(field: Field, flat: Array, frame: tuple[Array, Array, Array], a: Array, b: Array) -> Array:
    """(points, n) ohm at 1 S/m, the smooth part by interpolation over the rectangle."""
    shape = plain.shape_of(field.panels, field.basin, extent(field.panels, flat), 1)
    layer = kernels()[1](flat, shape, False) @ field.strength
    if not field.basin.has_bed:
        return np.asarray(layer)
    start, u, v = frame
    nodes, across = _interpolation(a)
    _, down = _interpolation(b)
    few = (start + nodes[:, None, None] * v + nodes[None, :, None] * u).reshape(-1, 3)
    smooth = plain.rest_at_points(few, shape) @ field.strength / plain.FOUR_PI
    square = smooth.reshape(NODES, NODES, -1)
    spread = np.einsum("bi,ijn->bjn", down, square)
    everywhere = np.einsum("aj,bjn->ban", across, spread, optimize=True)
    return np.asarray(layer + everywhere.reshape(flat.shape[0], -1))


def _interpolation(at: Array) -> tuple[Array, Array]:
    """Chebyshev nodes in [0, 1] and the matrix (at, nodes) that interpolates from them, barycentric."""
    k = np.arange(NODES)
    nodes = 0.5 - 0.5 * np.cos((2 * k + 1) * np.pi / (2 * NODES))
    weight = (-1.0) ** k * np.sin((2 * k + 1) * np.pi / (2 * NODES))
    away = at[:, None] - nodes[None, :]
    hit = np.abs(away) < 1e-14
    ratio = weight / np.where(hit, 1.0, away)
    matrix = ratio / ratio.sum(axis=1, keepdims=True)
    rows = hit.any(axis=1)
    matrix[rows] = hit[rows].astype(float)
    return nodes, matrix


def _thin(operator: Array, tolerance: float) -> tuple[Array, Array, float]:
    """The operator as left @ right, by the eigenvectors of its small square."""
    require("tolerance of the map", tolerance, "", 1e-7, 0.1)
    values, vectors = np.linalg.eigh(operator.T @ operator)
    kept = values > (tolerance**2) * values[-1]
    if not kept.any():
        raise EngineError("the field has no current to map.")
    basis = np.ascontiguousarray(vectors[:, kept])
    left = operator @ basis
    error = float(np.abs(left @ basis.T - operator).max() / np.abs(operator).max())
    return left, np.ascontiguousarray(basis.T), error


def inside(panels: Panels, points: Array) -> NDArray[np.bool_]:
    """Whether each of (p, 3) points lies inside a closed body: an odd number of panels straight below it."""
    closed = panels.corners[panels.body >= 0]
    found = np.zeros(points.shape[0], dtype=bool)
    if not closed.shape[0]:
        return found
    spots, which = np.unique(points[:, :2].round(9), axis=0, return_inverse=True)
    for number, spot in enumerate(spots):
        heights = _heights(closed, spot + 1.7e-7)
        if heights.size:
            mine = np.nonzero(which.ravel() == number)[0]
            below = (heights[None, :] < points[mine, 2][:, None]).sum(axis=1)
            found[mine] = below % 2 == 1
    return found


def _heights(corners: Array, spot: Array) -> Array:
    """z at which the vertical through `spot` (x, y) meets each triangle of the panels that it meets."""
    triangles = np.concatenate([corners[:, [0, 1, 2]], corners[:, [0, 2, 3]]])
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    e, f, g = b[:, :2] - a[:, :2], c[:, :2] - a[:, :2], spot - a[:, :2]
    turn = e[:, 0] * f[:, 1] - e[:, 1] * f[:, 0]
    upright = np.abs(turn) < 1e-15
    safe = np.where(upright, 1.0, turn)
    s = (g[:, 0] * f[:, 1] - g[:, 1] * f[:, 0]) / safe
    t = (e[:, 0] * g[:, 1] - e[:, 1] * g[:, 0]) / safe
    hit = ~upright & (s >= 0.0) & (t >= 0.0) & (s + t <= 1.0)
    return np.asarray((a[:, 2] + s * (b[:, 2] - a[:, 2]) + t * (c[:, 2] - a[:, 2]))[hit])
