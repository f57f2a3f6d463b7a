"""One sheet moved, turned, shrunk or grown, without asking the hull again.

The hull's factors stay, and so does what every patch hears of a current sent into the water at the hull: a new
column of the transfer matrix is one product, its diagonal one back-substitution.
"""

from __future__ import annotations

import numpy as np

from course.engine.errors import Array, EngineError
from course.engine.field import plain
from course.engine.field.panels import Numbers, Panels
from course.engine.field.water_field import INSIDE, Field, Works, extent, finished, kernels, shares
from course.engine.lapack import linalg


def with_moved(field: Field, patch: int, sheet: Panels) -> Field:
    """The field with patch number `patch`, a sheet, replaced by the panels of `sheet` (all of them that patch).

    The same answer as `water_field` on the new panels, to rounding. The asymmetry is that of the new row and
    column. Raises EngineError if the patch is not a sheet, or the new one stands in a body or out of the water.
    """
    old = field.panels
    if not 0 <= patch < field.patches or (old.body[old.patch == patch] >= 0).any():
        raise EngineError(f"patch {patch} is not a sheet of this field; only a sheet can be moved.")
    if (sheet.body >= 0).any():
        raise EngineError("what takes the place of a sheet must be a sheet, not a closed body.")
    field.basin.check(sheet.corners[:, :, 2], "corner of a panel")
    kept = np.nonzero(old.patch != patch)[0].astype(np.int64)
    fresh = sheet.numbered(patch)
    panels = Panels(
        np.concatenate([old.corners[kept], fresh.corners]),
        np.concatenate([old.patch[kept], fresh.patch]),
        np.concatenate([old.body[kept], fresh.body]),
    )
    new = plain.shape_of(fresh, field.basin, extent(panels))
    rest = field.shape.part(kept, new.rings)
    shape = rest.joined(new)
    weight = fresh.area / fresh.area.sum()
    heard, flux = _of_the_new(rest, new, weight)
    return _assemble(field, patch, panels, shape, kept, weight, heard, _conserved(old, kept, flux), new)


def _of_the_new(rest: plain.Shape, new: plain.Shape, weight: Array) -> tuple[Array, Array]:
    """Potential at, and flux through, each panel of the rest per ampere of the new sheet, both ways averaged."""
    pairs = kernels()[0]
    there, flux = pairs(rest, new)
    back, _ = pairs(new, rest)
    return 0.5 * (there + back.T) @ weight, flux @ weight


def _conserved(old: Panels, kept: Numbers, flux: Array) -> Array:
    """The flux through the closed panels (s,), nothing of it left over on any body."""
    body, area = old.body[kept], old.area[kept]
    for number in range(int(old.body.max()) + 1):
        own = body == number
        total = float(flux[own].sum())
        if abs(total) > INSIDE:
            raise EngineError(f"the moved sheet stands inside closed body {number}; move it into the water.")
        flux[own] -= area[own] / area[own].sum() * total
    return np.asarray(flux[body >= 0])


def _assemble(
    field: Field,
    patch: int,
    panels: Panels,
    shape: plain.Shape,
    kept: Numbers,
    weight: Array,
    heard: Array,
    flux: Array,
    new: plain.Shape,
) -> Field:
    works, solid = field.works, field.panels.body[kept] >= 0
    induced = (
        np.zeros(0) if works.factors is None else linalg().lu_solve(works.factors, flux, check_finite=False)
    )
    column = works.share[kept].T @ heard + works.listen @ flux
    row = heard @ field.strength[kept]
    own = kernels()[0](new, new)[0]
    column[patch] = row[patch] = float(weight @ own @ weight) + float(heard[solid] @ induced)
    raw = field.transfer.copy()
    raw[:, patch], raw[patch, :] = column, row
    transfer, asymmetry, smallest = finished(raw)
    strength = np.zeros((panels.size, field.patches))
    strength[: kept.size] = field.strength[kept]
    strength[: kept.size, patch] = 0.0
    strength[: kept.size][solid, patch] = induced
    strength[kept.size :, patch] = weight
    share = shares(panels)
    listen = works.listen.copy()
    if works.factors is not None:
        listen[patch] = linalg().lu_solve(works.factors, heard[solid], trans=1, check_finite=False)
    kept_works = Works(share, works.factors, listen)
    return Field(
        panels, field.basin, transfer, strength, asymmetry, field.flux_miss, smallest, shape, kept_works
    )


__all__ = ["with_moved"]
