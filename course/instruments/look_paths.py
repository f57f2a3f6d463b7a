"""Ways of the current through the water beside the boat: lines down the slope of the potential, from anode to cathode.

They are followed in the plane the cell hangs in, over the map the look layer has anyway; that plane is beside the boat, so a line
is joined to the metal it comes from, and to the metal it ends near. Between two lines there is no fixed current.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
STEP_M, MOST_STEPS = 0.06, 500
KEPT_EVERY = 3  # of the steps, in what is handed on
LINES, RING_M = 28, 0.3  # how many are begun, shared out by current; how far from the middle of their metal
APART_M, SHARED = 0.16, 0.6  # a line is left out that runs so close to another for so much of its length
JOINED_M = 0.9  # a line ends on metal this near
LEAST_SHARE = 0.02  # of all current: metal that gives or takes less has no line of its own


@dataclass(frozen=True)
class Map:
    """Potential [V] of the water over a grid of places [m] along the boat and depths [m], rows by depth."""

    x: Array
    depth: Array
    potential: Array

    def slope(self) -> tuple[Array, Array]:
        """Return how the potential rises along the boat and with depth [V/m]."""
        by_x = np.asarray(np.gradient(self.potential, self.x, axis=1))
        return by_x, np.asarray(np.gradient(self.potential, self.depth, axis=0))

    def at(self, values: Array, places: Array) -> Array:
        """Return values of the grid at places (n, 2), bilinear; outside, those of the edge."""
        fx = np.clip((places[:, 0] - self.x[0]) / (self.x[1] - self.x[0]), 0, self.x.size - 1.001)
        fd = np.clip(
            (places[:, 1] - self.depth[0]) / (self.depth[1] - self.depth[0]), 0, self.depth.size - 1.001
        )
        i, j = fx.astype(int), fd.astype(int)
        a, b = fx - i, fd - j
        upper = values[j, i] * (1 - a) + values[j, i + 1] * a
        lower = values[j + 1, i] * (1 - a) + values[j + 1, i + 1] * a
        found: Array = upper * (1 - b) + lower * b
        return found


@dataclass(frozen=True)
class Metal:
    """Metal in the water: where it is beside the boat (x, depth) [m], where it is drawn, and what it gives the water [A]."""

    place: tuple[float, float]
    drawn: tuple[float, float]
    current: float


def follow(water: Map, starts: Array, down: bool) -> list[Array]:
    """Return the lines (m, 2) that run down, or up, the slope from each start until it rises again or the map ends."""
    slope = water.slope()
    sign = -1.0 if down else 1.0

    def way(at: Array) -> Array:
        rise = np.column_stack([water.at(part, at) for part in slope])
        return np.asarray(sign * rise / np.maximum(np.hypot(*rise.T), 1e-12)[:, None])

    at, alive = starts.copy(), np.ones(len(starts), dtype=bool)
    lines, before = [[start] for start in starts], water.at(water.potential, starts)
    for _ in range(MOST_STEPS):
        half = at + 0.5 * STEP_M * way(at)
        new = at + STEP_M * way(half)
        now = water.at(water.potential, new)
        inside = (new[:, 0] >= water.x[0]) & (new[:, 0] <= water.x[-1])
        inside &= (new[:, 1] >= water.depth[0]) & (new[:, 1] <= water.depth[-1])
        alive &= inside & (sign * (now - before) > 0)
        if not alive.any():
            break
        at, before = np.where(alive[:, None], new, at), np.where(alive, now, before)
        for k in np.flatnonzero(alive):
            lines[k].append(at[k])
    return [np.array(line) for line in lines]


def _ring(metal: Metal, count: int, water: Map) -> Array:
    turns = 2 * np.pi * (np.arange(count) + 0.5) / count
    ring = np.array(metal.place) + RING_M * np.column_stack([np.cos(turns), np.sin(turns)])
    low, high = (water.x[0], water.depth[0]), (water.x[-1], water.depth[-1])
    return np.asarray(np.clip(ring, low, high))


def _nearest(metals: Sequence[Metal], end: Array) -> Metal | None:
    gaps = [(float(np.hypot(*(np.array(metal.place) - end))), metal) for metal in metals]
    gap, metal = min(gaps, key=lambda pair: pair[0], default=(JOINED_M, None))
    return metal if gap < JOINED_M else None


def _begun(water: Map, metals: Sequence[Metal], others: Sequence[Metal], down: bool) -> list[Array]:
    """Return the lines begun round some metals, largest current first, each joined to its own metal and the one it ends near."""
    total = sum(abs(metal.current) for metal in metals) or 1.0
    found = []
    for metal in sorted(metals, key=lambda one: -abs(one.current)):
        share = abs(metal.current) / total
        if share < LEAST_SHARE:
            continue
        for line in follow(water, _ring(metal, max(2, round(LINES * share)), water), down):
            end = _nearest(others, line[-1])
            joined = [np.array([metal.drawn]), line, *([np.array([end.drawn])] if end else [])]
            path = np.concatenate(joined)
            found.append(path if down else path[::-1])
    return found


def _thinned(lines: Iterable[Array]) -> list[Array]:
    """Return the lines without those that run beside another for most of their length."""
    kept: list[Array] = []
    for line in lines:
        if len(line) < 4:
            continue
        if kept:
            others = np.concatenate(kept)
            gaps = np.hypot(*(line[:, None, :] - others[None, :, :]).transpose(2, 0, 1)).min(axis=1)
            if float((gaps < APART_M).mean()) > SHARED:
                continue
        kept.append(line)
    return kept


def current_paths(water: Map, metals: Sequence[Metal]) -> list[list[list[float]]]:
    """Return paths of current as ``[[x_m, depth_m], ...]``, each from where it leaves metal to where it enters metal, or the map's end."""
    inside = [
        m for m in metals if water.x[0] <= m.place[0] <= water.x[-1] and 0 <= m.place[1] <= water.depth[-1]
    ]
    giving, taking = [m for m in inside if m.current > 0], [m for m in inside if m.current < 0]
    lines = [*_begun(water, giving, taking, True), *_begun(water, taking, giving, False)]
    sparse = [np.concatenate([line[:-1:KEPT_EVERY], line[-1:]]) for line in lines]
    return [[[round(float(x), 2), round(float(d), 2)] for x, d in line] for line in _thinned(sparse)]
