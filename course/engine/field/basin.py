"""The body of water: free, under a surface, over a bed; and the images that stand for them.

The surface insulates: an image of equal sign. The bed at -depth reflects k = (kw - kb)/(kw + kb): images at
z + 2nH and -z + 2nH with weight k^|n|. Of these the mirror in the surface and the mirror in the bed may come as
near to a panel as the panel itself, and are treated like it; the **rest** is smooth: rings up to a number N one
by one, and all rings beyond N together as a series of solid harmonics that converges like 2^-l. Nothing is cut
off, so the sum is as exact at k = 0.95 as at 0.1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from course.engine.errors import Array, EngineError, require
from course.engine.transfer import REFLECTION

DEGREE = 18  # of the last solid harmonic: what is left is 2^-20 of the rings beyond N
RATIO = 0.5  # widest distance over the distance of the nearest ring left to the series


@dataclass(frozen=True)
class Basin:
    """Water without end, unless `surface` (an insulating plane at z = 0) and a bed say otherwise.

    water_depth [m] or infinity; bed_reflection -1 (conducting) to 0.95. Raises OutOfRange, or EngineError for a
    bed without a surface.
    """

    surface: bool = True
    water_depth: float = math.inf
    bed_reflection: float = 0.0

    def __post_init__(self) -> None:
        require("water depth", self.water_depth, "m", 1e-3, math.inf)
        require("bed reflection", self.bed_reflection, "", -1.0, REFLECTION)
        if not self.surface and self.has_bed:
            raise EngineError("water with a bed needs its surface too; leave out both or neither.")

    @property
    def has_bed(self) -> bool:
        """Whether there is a bed that differs from the water."""
        return math.isfinite(self.water_depth) and self.bed_reflection != 0.0

    def mirrors(self) -> Array:
        """Rows (a, b, weight): the point itself and the mirrors that may come near; z becomes a + b z."""
        rows = [(0.0, 1.0, 1.0)]
        if self.surface:
            rows.append((0.0, -1.0, 1.0))
        if self.has_bed:
            rows.append((-2.0 * self.water_depth, -1.0, self.bed_reflection))
        return np.array(rows)

    def rings(self, reach: float) -> Array:
        """What the `rest` needs for points up to `reach` [m] apart: depth, k, N, then the series; empty if none.

        Series term l (even) is 2 times the sum over n > N of k^n/(2 n depth)^(l + 1).
        """
        if not self.has_bed:
            return np.zeros(0)
        depth, k = self.water_depth, self.bed_reflection
        last = max(1, math.ceil(reach / (2.0 * depth * RATIO)) - 1)
        coefficients = [depth, k, float(last)]
        coefficients += [2.0 * _beyond(k, last, 2 * half + 1, 2.0 * depth) for half in range(DEGREE // 2 + 1)]
        return np.array(coefficients)

    def check(self, z: Array, what: str) -> None:
        """Refuse heights `z` [m] out of the water, in one sentence."""
        top = 0.0 if self.surface else math.inf
        for height in (float(z.max(initial=-1e-9)), float(z.min(initial=-1e-9))):
            if not -self.water_depth - 1e-9 <= height <= top + 1e-9:
                raise EngineError(
                    f"a {what} is at z = {height:g} m; allowed is {-self.water_depth:g} m (the bed) to {top:g} m."
                )


def _beyond(k: float, last: int, power: int, unit: float) -> float:
    """Sum over n > last of k^n/(n unit)^power."""
    if power == 1:  # -log(1 - k) less the terms up to `last`; slow to add up, so in closed form
        few = np.arange(1, last + 1, dtype=np.float64)
        return (-math.log1p(-k) - float((k**few / few).sum())) / unit
    n = np.arange(last + 1, last + 401, dtype=np.float64)  # 0.95^400 is 1e-9; at k = -1 the signs alternate
    return float((k**n * (n * unit) ** -power).sum())
