"""Lines of equal potential in the water beside the boat and ways of the current: a layer for teaching, never for measuring."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat
from course.instruments.look_paths import Map, Metal, current_paths
from course.instruments.look_words import look_words
from course.instruments.state import State, cell_limits, side_m

Array = NDArray[np.float64]
STEP_X_M, STEP_DEPTH_M = 0.25, 0.1  # the grid of the dragged cell's map: what was made for it serves here
MOST_LEVELS = 12
LEAN_X, LEAN_DOWN, LEAN_MOST = 0.25, 0.14, 1.6  # how far the drawing shifts a place for each metre to port
_CORNERS = ((0, 0), (0, 1), (1, 1), (1, 0))  # of a cell of the grid, going round


def _step_mV(spread: float) -> float:
    """Return a round step that makes at most a dozen levels of a spread [mV]."""
    rough = max(spread / MOST_LEVELS, 1e-3)
    power = 10.0 ** math.floor(math.log10(rough))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0, 20.0) if m * power >= rough)


def _segments(x: Array, depth: Array, values: Array, level: float) -> Iterator[list[float]]:
    """Yield pieces ``[x1, depth1, x2, depth2]`` of the line on which the grid's values reach a level."""
    above = values > level
    corners = above[:-1, :-1] + 0 + above[:-1, 1:] + above[1:, :-1] + above[1:, 1:]
    for r, c in np.argwhere((corners > 0) & (corners < 4)):
        crossed: list[float] = []
        for (r1, c1), (r2, c2) in zip(_CORNERS, (*_CORNERS[1:], _CORNERS[0]), strict=True):
            first, second = values[r + r1, c + c1], values[r + r2, c + c2]
            if (first > level) != (second > level):
                share = (level - first) / (second - first)
                crossed.append(round(float(x[c + c1] + share * (x[c + c2] - x[c + c1])), 3))
                crossed.append(round(float(depth[r + r1] + share * (depth[r + r2] - depth[r + r1])), 3))
        yield crossed[:4]
        if len(crossed) == 8:
            yield crossed[4:]


def water_map(afloat: Afloat, state: State) -> Map:
    """Return the potential of the water [V] against water far away, at this moment, in the plane the cell hangs in."""
    limits = cell_limits(afloat)
    (x0, x1), (d0, d1) = limits["x_m"], limits["depth_m"]
    x = np.linspace(x0, x1, math.ceil((x1 - x0) / STEP_X_M) + 1)
    depth = np.linspace(d0, d1, math.ceil((d1 - d0) / STEP_DEPTH_M) + 1)
    grid_x, grid_depth = np.meshgrid(x, depth)
    places = np.column_stack([grid_x.ravel(), np.full(grid_x.size, side_m(afloat)), -grid_depth.ravel()])
    return Map(x, depth, afloat.water_potential(state.moment, places).reshape(grid_x.shape))


def _metals(afloat: Afloat, state: State) -> list[Metal]:
    """Return the metals in the water with what each gives it; a place inboard of the plane is drawn as the boat is, oblique."""
    found = []
    for body, current in zip(afloat.bodies(state.setting), state.moment.solution.current, strict=True):
        x, y, z = body.place
        lean = min(max(y, -LEAN_MOST), LEAN_MOST)
        found.append(Metal((x, -z), (x + LEAN_X * lean, -z + LEAN_DOWN * lean), float(current)))
    return found


def look_layer(afloat: Afloat, state: State) -> dict[str, Any]:
    """Return the water beside the boat made visible, in the plane the cell hangs in, at this moment.

    ``{"step_mV", "lines": [{"mV", "segments": [[x1_m, depth1_m, x2_m, depth2_m], ...]}], "paths": [{"points": [[x_m, depth_m],
    ...]}], "words": [sentence, ...]}``: lines of equal potential [mV against water far away]; ways of the current, each from
    where it leaves metal; and the same said.
    """
    found = water_map(afloat, state)
    water = 1000 * found.potential
    step = _step_mV(float(water.max() - water.min()))
    levels = range(math.ceil(water.min() / step), math.floor(water.max() / step) + 1)
    lines = [
        {"mV": round(k * step, 6), "segments": list(_segments(found.x, found.depth, water, k * step))}
        for k in levels
    ]
    paths = [{"points": points} for points in current_paths(found, _metals(afloat, state))]
    return {"step_mV": step, "lines": lines, "paths": paths, "words": look_words(afloat, state, found)}
