"""A field: panels in a basin reduced once to what the solve needs, the transfer matrix of the patches.

Every panel carries a layer of sources q [A]. A sheet's are its current. On a closed body they follow from the
current that leaves each panel, nothing where it insulates:

    q_i/2 - sum_j F_ij q_j = (current through panel i) + sum over sheets

F is the adjoint double layer times the area, its diagonal from the flux identity: a source on a closed body sends half its
current through that body's other panels inward. So charge is conserved exactly on curved bodies as well. The
potential is the single layer of q. Conductivity only scales it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.errors import Array, EngineError, require_array
from course.engine.field import plain
from course.engine.field.basin import Basin
from course.engine.field.panels import Panels
from course.engine.field.plain import Shape
from course.engine.lapack import linalg

FLUX_MISS = 1.0  # of the flux identity's one half; corners that run the wrong way round miss it by twice that
INSIDE = 0.5  # flux through a closed body from a source inside it is -1, from one outside 0


def kernels() -> tuple[Callable[..., tuple[Array, Array]], Callable[..., Array]]:
    """`pairs` and `at_points`: compiled, or the plain ones where no compiler is installed."""
    try:
        from course.engine.field import compiled
    except (ImportError, RuntimeError, OSError):  # no numba, or nowhere to keep what it compiles
        return plain.pairs, plain.at_points
    return compiled.pairs, compiled.at_points


@dataclass(frozen=True, eq=False)
class Works:
    """What was factorised and solved on the way, kept so that a moved sheet need not ask for it again.

    share : (m, n) the part of each patch's current that leaves by each panel
    factors : of the closed bodies' flux matrix (LU and pivots); None without closed bodies
    listen : (n, s) potential at each patch per ampere sent into the water at each of the s closed panels
    """

    share: Array
    factors: tuple[Array, NDArray[np.int32]] | None
    listen: Array


@dataclass(frozen=True, eq=False)
class Field:
    """The reduced field of n patches, made by `water_field`.

    panels : what it was made from
    basin : the water it stands in
    transfer : (n, n) ohm at 1 S/m, symmetric, positive definite; divide by the conductivity [S/m]
    strength : (m, n) A of source on each panel per ampere of each patch
    asymmetry : of the matrix before it was made symmetric, |R_ij - R_ji| over sqrt(R_ii R_jj), the largest
    flux_miss : how far the flux identity was off before its diagonal was set, of 1/2, the largest
    smallest_eigenvalue : of the transfer matrix scaled to a diagonal of ones; positive
    """

    panels: Panels
    basin: Basin
    transfer: Array
    strength: Array
    asymmetry: float
    flux_miss: float
    smallest_eigenvalue: float
    shape: Shape
    works: Works

    @property
    def patches(self) -> int:
        """Number of patches n."""
        return int(self.transfer.shape[0])

    @cached_property
    def patch_area(self) -> Array:
        """(n,) m2 of each patch as its panels have it, one side."""
        return self.panels.patch_area()

    def to_points(self, points: ArrayLike) -> Array:
        """Potential at points (p, 3) of the water per ampere of each patch [ohm at 1 S/m], (p, n).

        At a point inside a closed body it is the layer's own potential there, of no use (`inside` tells). Raises
        EngineError for points above the surface or below the bed.
        """
        return layer_at(points, self.shape, self.basin, self.strength)


def layer_at(points: ArrayLike, shape: Shape, basin: Basin, sources: Array) -> Array:
    """Potential at points (p, 3) of the water of the sources (m, n) [A] on the panels of `shape` [ohm at 1 S/m], (p, n).

    Raises EngineError for points above the surface or below the bed.
    """
    at = require_array("coordinate of point", points, "m", -1e5, 1e5)
    if at.ndim != 2 or at.shape[1] != 3:
        raise EngineError(f"points have shape {at.shape}; expected is one row of x, y, z each.")
    basin.check(at[:, 2], "point")
    if basin.has_bed:
        shape = replace(shape, rings=basin.rings(extent(shape, at)))
    return np.asarray(kernels()[1](at, shape) @ sources)


def extent(panels: Panels | Shape, points: Array | None = None) -> float:
    """Widest distance [m] between panels and points, once mirrored in the surface."""
    spots = panels.corners.reshape(-1, 3)
    if points is not None:
        spots = np.concatenate([spots, points])
    span = np.ptp(spots, axis=0)
    return float(np.hypot(np.hypot(span[0], span[1]), 2.0 * np.abs(spots[:, 2]).max()))


def water_field(panels: Panels, basin: Basin | None = None, gauss: int = plain.GAUSS) -> Field:
    """Reduce `panels` in `basin` (water without end below a surface, if not given) to a `Field`.

    `gauss` is the number of points each way for means over panels near to others. Raises EngineError where
    patch numbers leave gaps, a body's corners run the wrong way round, a sheet stands inside a body, panels
    stand out of the water, or patches cannot be told apart.
    """
    basin = basin or Basin()
    _check(panels, basin)
    shape = plain.shape_of(panels, basin, extent(panels), gauss)
    potential, flux = kernels()[0](shape, shape)
    potential = 0.5 * (potential + potential.T)
    share = shares(panels)
    flux_miss = conserve(panels, flux)
    heard = share.T @ potential
    strength, works = _strength(panels, flux, share, heard)
    transfer, asymmetry, smallest = finished(heard @ strength)
    return Field(panels, basin, transfer, strength, asymmetry, flux_miss, smallest, shape, works)


def _check(panels: Panels, basin: Basin) -> None:
    basin.check(panels.corners[:, :, 2], "corner of a panel")
    if ((panels.patch < 0) & (panels.body < 0)).any():
        raise EngineError("a sheet must be metal: give it a patch number, or make it part of a closed body.")
    counts = np.bincount(panels.patch[panels.patch >= 0], minlength=1)
    if (counts == 0).any():
        raise EngineError(f"patch {int(counts.argmin())} has no panels; number patches from 0 without gaps.")


def shares(panels: Panels) -> Array:
    """(m, n): the part of each patch's current that leaves by each panel, by area."""
    share = np.zeros((panels.size, panels.patches))
    metal = np.nonzero(panels.patch >= 0)[0]
    share[metal, panels.patch[metal]] = panels.area[metal]
    return np.asarray(share / share.sum(axis=0))


def conserve(panels: Panels, flux: Array) -> float:
    """Set the flux matrix right, in place, by the flux identity of each closed body.

    A source on the body sends half of its current inward through it: its diagonal makes up what is missing. A
    source elsewhere sends nothing: what is left over is taken off by area. Returns the largest miss of the
    first kind, as part of one half.
    """
    worst = 0.0
    for body in range(int(panels.body.max()) + 1):
        own = panels.body == body
        total = flux[own].sum(axis=0)
        miss = -0.5 - total[own]
        worst = max(worst, float(np.abs(miss).max(initial=0.0)) / 0.5)
        inside = ~own & (np.abs(total) > INSIDE)
        if inside.any():
            raise EngineError(
                f"panel {int(inside.argmax())} stands inside closed body {body}; move it into the water."
            )
        flux[np.ix_(own, ~own)] -= panels.area[own, None] / panels.area[own].sum() * total[~own]
        flux[own, own] += miss
    if worst > FLUX_MISS:
        raise EngineError("a closed body is not closed, or its corners run clockwise seen from the water.")
    return worst


def _strength(panels: Panels, flux: Array, share: Array, heard: Array) -> tuple[Array, Works]:
    """Sources (m, n) of each panel per ampere of each patch; `heard` (n, m) is the patches' mean potential."""
    solid = panels.body >= 0
    strength = share.copy()
    if not solid.any():
        return strength, Works(share, None, np.zeros((share.shape[1], 0)))
    matrix = 0.5 * np.eye(int(solid.sum())) - flux[np.ix_(solid, solid)]
    factors = linalg().lu_factor(matrix, check_finite=False)
    right = share[solid] + flux[np.ix_(solid, ~solid)] @ share[~solid]
    strength[solid] = linalg().lu_solve(factors, right, check_finite=False)
    listen = linalg().lu_solve(factors, heard[:, solid].T, trans=1, check_finite=False).T
    return strength, Works(share, factors, listen)


def finished(raw: Array) -> tuple[Array, float, float]:
    """The symmetric transfer matrix with its asymmetry and smallest scaled eigenvalue, which is positive."""
    transfer = 0.5 * (raw + raw.T)
    diagonal = np.diagonal(transfer)
    smallest = -1.0
    asymmetry = 0.0
    if (diagonal > 0.0).all():
        scale = np.sqrt(np.outer(diagonal, diagonal))
        asymmetry = float((np.abs(raw - raw.T) / scale).max())
        smallest = float(np.linalg.eigvalsh(transfer / scale)[0])
    if smallest <= 1e-12:
        raise EngineError(
            "the transfer matrix is not positive definite; patches overlap or panels are too coarse."
        )
    return transfer, asymmetry, smallest


__all__ = ["Basin", "Field", "Works", "layer_at", "water_field"]
