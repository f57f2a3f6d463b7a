"""Surfaces as flat panels: what of them insulates, what is metal, what is closed.

x forward, y to port, z up, the surface of the water at z = 0; lengths in m. A panel is a flat quadrilateral; a
triangle repeats its last corner. A **closed** body (a hull, a sphere) is a surface whose corners run
anticlockwise seen from the water; a body cut by the surface of the water needs no lid, its mirror image closes
it. A **sheet** (a rudder blade, a thin anode, a disk in the plane of the surface) is a surface wet on both
sides; its current leaves by both.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.errors import Array, EngineError, require_array

Numbers = NDArray[np.int64]
INSULATING = -1
SHEET = -1


@dataclass(frozen=True, eq=False)
class Panels:
    """m flat panels.

    Parameters
    ----------
    corners : (m, 4, 3) m
    patch : (m,) number of the patch of metal a panel belongs to, or -1 where it insulates
    body : (m,) number of the closed body a panel belongs to, or -1 for a sheet

    Raises EngineError for shapes that do not fit, a panel without area, or a sheet that insulates.
    """

    corners: Array
    patch: Numbers
    body: Numbers

    def __post_init__(self) -> None:
        corners = require_array("corner of panel", self.corners, "m", -1e5, 1e5)
        if corners.ndim != 3 or corners.shape[1:] != (4, 3) or corners.shape[0] == 0:
            raise EngineError(
                f"the panels have shape {corners.shape}; expected is four corners x, y, z each."
            )
        m = corners.shape[0]
        for name in ("patch", "body"):
            numbers = np.asarray(getattr(self, name))
            if numbers.shape != (m,) or not np.issubdtype(numbers.dtype, np.integer) or numbers.min() < -1:
                raise EngineError(f"each of the {m} panels needs one {name} number, -1 or more.")
            object.__setattr__(self, name, numbers.astype(np.int64))
        object.__setattr__(self, "corners", np.ascontiguousarray(corners))
        if float(self.area.min()) < 1e-10:
            raise EngineError(
                f"panel {int(self.area.argmin())} has no area; merge its corners into a neighbour."
            )

    @property
    def size(self) -> int:
        """Number of panels."""
        return int(self.corners.shape[0])

    @property
    def patches(self) -> int:
        """Number of patches of metal."""
        return int(self.patch.max()) + 1

    @cached_property
    def _cross(self) -> Array:
        across = self.corners[:, 2] - self.corners[:, 0], self.corners[:, 3] - self.corners[:, 1]
        return np.asarray(0.5 * np.cross(*across))

    @cached_property
    def area(self) -> Array:
        """(m,) m2, of one side."""
        return np.asarray(np.linalg.norm(self._cross, axis=1))

    @cached_property
    def normal(self) -> Array:
        """(m, 3) unit normals; of a closed body, pointing into the water."""
        return np.asarray(self._cross / self.area[:, None])

    @cached_property
    def _triangles(self) -> tuple[Array, Array]:
        """Area (m, 2) and corners (m, 2, 3, 3) of the two triangles of each panel."""
        c = self.corners
        corners = np.stack([c[:, [0, 1, 2]], c[:, [0, 2, 3]]], axis=1)
        cross = np.cross(corners[:, :, 1] - corners[:, :, 0], corners[:, :, 2] - corners[:, :, 0])
        return 0.5 * np.einsum("mtk,mk->mt", cross, self.normal), corners

    @cached_property
    def centre(self) -> Array:
        """(m, 3) centroids."""
        area, corners = self._triangles
        return np.asarray(np.einsum("mt,mtk->mk", area, corners.mean(axis=2)) / self.area[:, None])

    @cached_property
    def spread(self) -> Array:
        """(m, 3, 3) m2: mean of (x - centre)(x - centre)' over each panel, the second moment per area."""
        area, corners = self._triangles
        away = corners - self.centre[:, None, None, :]
        total = away.sum(axis=2)
        second = np.einsum("mtck,mtcl->mtkl", away, away) + np.einsum("mtk,mtl->mtkl", total, total)
        return np.asarray(np.einsum("mt,mtkl->mkl", area, second) / 12.0 / self.area[:, None, None])

    @cached_property
    def reach(self) -> Array:
        """(m,) m, distance of the farthest corner from the centroid."""
        return np.asarray(np.linalg.norm(self.corners - self.centre[:, None, :], axis=2).max(axis=1))

    def numbered(self, patch: int | ArrayLike) -> Panels:
        """These panels as patch number `patch`: one for all, or one each."""
        numbers = np.broadcast_to(np.asarray(patch, dtype=np.int64), (self.size,)).copy()
        return Panels(self.corners, numbers, self.body)

    def moved(self, by: ArrayLike) -> Panels:
        """These panels shifted by (3,) m."""
        shift = require_array("shift", by, "m", -1e5, 1e5, (3,))
        return Panels(self.corners + shift, self.patch, self.body)

    def take(self, which: ArrayLike) -> Panels:
        """Some of these panels, by number or by a mask."""
        chosen = np.asarray(which)
        return Panels(self.corners[chosen], self.patch[chosen], self.body[chosen])

    def patch_area(self) -> Array:
        """(n,) m2 of each patch as its panels have it, one side."""
        metal = self.patch >= 0
        weights = self.area[metal]
        return np.bincount(self.patch[metal], weights=weights, minlength=self.patches).astype(np.float64)


def panels(corners: ArrayLike, closed: bool) -> Panels:
    """Insulating panels of one closed body, or of a sheet, from (m, 4, 3) corners [m]."""
    array = np.asarray(corners, dtype=np.float64)
    blank = np.full(array.shape[0] if array.ndim else 0, INSULATING, dtype=np.int64)
    return Panels(array, blank, np.zeros_like(blank) if closed else np.full_like(blank, SHEET))


def join(*parts: Panels) -> Panels:
    """All panels together; bodies of different parts stay different bodies, patch numbers stay as they are."""
    bodies, used = [], 0
    for part in parts:
        bodies.append(np.where(part.body >= 0, part.body + used, SHEET))
        used += int(part.body.max()) + 1
    return Panels(
        np.concatenate([part.corners for part in parts]),
        np.concatenate([part.patch for part in parts]),
        np.concatenate(bodies),
    )


def flattened(corners: Array) -> Array:
    """Quadrilaterals (m, 4, 3) brought into their own mean planes (Hess and Smith, 1967; from memory)."""
    cross = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
    normal = cross / np.maximum(np.linalg.norm(cross, axis=1, keepdims=True), 1e-300)
    height = np.einsum("mck,mk->mc", corners - corners.mean(axis=1, keepdims=True), normal)
    return np.asarray(corners - height[:, :, None] * normal[:, None, :])
