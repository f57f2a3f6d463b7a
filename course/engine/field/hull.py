"""A hull afloat from the outlines of its stations, with metal let into it flush.

An outline runs from the waterline on the port side under the keel to the waterline on the starboard side. The
surface of the water closes the hull by its mirror image, so there is no lid. Lengths in m.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import Array, EngineError, require, require_array
from course.engine.field.panels import Panels, flattened, panels
from course.engine.field.shapes import even

AFLOAT = 1e-6  # m by which an outline may miss the surface


def hull(stations: ArrayLike, outlines: ArrayLike, end_levels: ArrayLike | None = None) -> Panels:
    """Panels of a hull, closed: its shell first (station by station, port to starboard), then its ends.

    Parameters
    ----------
    stations : (k,) increasing x
    outlines : (k, q, 2) of y, z; y falls from port to starboard, z is 0 at both ends; a station shrunk to one
        point on the surface ends the hull in a stem
    end_levels : fractions from the outline up to the surface at which a transom is cut; default 3 equal parts

    An end's panels run column by column, port to starboard, upward in each. Raises EngineError for an outline
    that leaves the surface or the hull's order.
    """
    x = require_array("station", stations, "m", -1e4, 1e4)
    section = require_array("point of outline", outlines, "m", -1e4, 1e4)
    if x.ndim != 1 or x.size < 2 or (np.diff(x) <= 0.0).any():
        raise EngineError("a hull needs two or more stations, from aft to forward.")
    if section.ndim != 3 or section.shape[0] != x.size or section.shape[1] < 3 or section.shape[2] != 2:
        raise EngineError(
            f"the outlines have shape {section.shape}; expected is {x.size} rows of points y, z."
        )
    if np.abs(section[:, [0, -1], 1]).max() > AFLOAT or (np.diff(section[..., 0], axis=1) > AFLOAT).any():
        raise EngineError(
            "an outline must run from port to starboard and begin and end on the surface, z = 0."
        )
    grid = np.concatenate([np.broadcast_to(x[:, None, None], (*section.shape[:2], 1)), section], axis=2)
    levels = even(3) if end_levels is None else require_array("level of transom", end_levels, "", 0.0, 1.0)
    shell = np.stack([grid[:-1, :-1], grid[1:, :-1], grid[1:, 1:], grid[:-1, 1:]], axis=2).reshape(-1, 4, 3)
    flat = flattened(_without_folds(shell))
    flat[..., 2] -= np.maximum(flat[..., 2].max(axis=1), 0.0)[
        :, None
    ]  # a warped cell may rise above the surface
    parts = [flat]
    for station, forward in ((0, False), (-1, True)):
        if np.ptp(section[station], axis=0).max() > AFLOAT:
            parts.append(_end(grid[station], levels, forward))
    corners = np.concatenate(parts)
    return panels(corners, closed=True)


def _without_folds(cells: Array) -> Array:
    """Triangles (two corners in one place) keep their repeated corner last, where panels expect it."""
    out = cells.copy()
    for k in range(3):
        same = np.linalg.norm(out[:, k] - out[:, k + 1], axis=1) < AFLOAT
        out[same] = np.concatenate([out[same, k + 1 :], out[same, : k + 1]], axis=1)
    return out


def _end(outline: Array, levels: Array, forward: bool) -> Array:
    """A flat end of the hull: columns from the outline up to the surface."""
    grid = np.repeat(outline[:, None, :], levels.size, axis=1)
    grid[..., 2] *= 1.0 - levels[None, :]
    cells = np.stack([grid[:-1, :-1], grid[1:, :-1], grid[1:, 1:], grid[:-1, 1:]], axis=2).reshape(-1, 4, 3)
    if forward:
        cells = cells[:, ::-1]
    cross = np.cross(cells[:, 2] - cells[:, 0], cells[:, 3] - cells[:, 1])
    return _without_folds(cells[np.linalg.norm(cross, axis=1) > AFLOAT**2])  # none under an upright side


def cuts(low: float, high: float, count: int, keep: Sequence[float] = ()) -> Array:
    """Cuts from `low` to `high` about (high - low)/count apart, of which every one in `keep` is one exactly.

    Even cuts nearer than half a step to a kept one give way to it. Raises OutOfRange for one outside.
    """
    step = (high - low) / int(require("number of parts", count, "", 1, 10_000))
    kept: list[float] = []
    for value in sorted(require("cut to keep", v, "m", low, high) for v in keep):
        if not kept or value - kept[-1] > 1e-3 * step:
            kept.append(value)
    inner = [v for v in np.linspace(low, high, count + 1)[1:-1] if all(abs(v - k) > 0.5 * step for k in kept)]
    ends = [v for v in (low, high) if all(abs(v - k) > 1e-3 * step for k in kept)]
    return np.array(sorted([*ends, *inner, *kept]))
