"""The water of a marina: what every patch does to every other, in a time that grows nearly as their number.

Near crafts see each other exactly. Far ones see each other through the smooth part of the field, which a grid
carries (`marina.grid`); near blocks hold what the grid leaves out, so that the sum is the whole field.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from course.engine.errors import Array
from course.engine.marina import kernel as loops
from course.engine.marina.green import Tables, tabulate
from course.engine.marina.grid import Grid, Room, lay_out, padded

FOUR_PI = 4.0 * math.pi
FEW = 700  # patches: up to here every craft is near
WIDTH = 3.0  # width of the smooth part in grid steps: the spline then errs by some 2e-6 of it
REACH = 3.7  # widths at which what the grid leaves out has faded: erfc(3.7) = 2e-7
CROWD = 1.0  # grid step in mean distances between patches: near sums and transforms then cost alike


@dataclass(frozen=True, eq=False)
class Field:
    """own: each craft's transfer matrix [ohm], flat; the other blocks as `marina.kernel` has them, times `scale`.

    Blocks of near crafts are of double precision without a grid, of single precision beside one.
    """

    first: NDArray[np.int64]
    own_offset: NDArray[np.int64]
    own: Array
    gentle: Array
    near: NDArray[np.int64]
    begins: NDArray[np.int64]
    near_offset: NDArray[np.int64]
    blocks: Array
    single: NDArray[np.float32]
    grid: Grid | None
    scale: float

    def room(self) -> Room | None:
        """Arrays for `apply` to work in; one for each solve that runs at a time."""
        return self.grid.room() if self.grid is not None else None

    def apply(self, current: Array, room: Room | None = None) -> Array:
        """Potential [V] at each patch from the currents [A] of all other crafts."""
        near = self.near, self.begins, self.near_offset
        own = self.own_offset, self.gentle, current
        if self.grid is None:
            field = loops.near_field(self.first, *near, self.blocks, *own)
        else:
            field = loops.near_field_single(self.first, *near, self.single, *own)
            self.grid.add(current, field, room or self.grid.room())
        field *= self.scale
        return np.asarray(field)

    def own_potential(self, current: Array) -> Array:
        """Potential [V] at each patch from the currents [A] of its own craft."""
        return np.asarray(loops.own_field(self.first, self.own_offset, self.own, current))

    def own_block(self, craft: int) -> Array:
        """The transfer matrix [ohm] of one craft."""
        n = int(self.first[craft + 1] - self.first[craft])
        return self.own[self.own_offset[craft] : self.own_offset[craft + 1]].reshape(n, n)

    @property
    def bytes_held(self) -> int:
        """Memory of the blocks and the grid's kernel."""
        grid = self.grid.kernel.nbytes if self.grid is not None else 0
        return self.own.nbytes + self.gentle.nbytes + self.blocks.nbytes + self.single.nbytes + grid


@dataclass(frozen=True)
class Bed:
    """Water depth [m] and bed reflection, as `transfer_matrix` takes them."""

    depth: float
    reflection: float


def _offsets(sizes: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64)


def _near_pairs(at: Array, first: NDArray[np.int64], reach: float) -> NDArray[np.int64]:
    """Crafts of which some patches stand within `reach` [m] of each other."""
    count = first.size - 1
    if not math.isfinite(reach):
        return np.array([(a, b) for a in range(count) for b in range(a + 1, count)], dtype=np.int64).reshape(
            -1, 2
        )
    craft = np.repeat(np.arange(count), np.diff(first))
    owners = craft[cKDTree(at[:, :2]).query_pairs(reach, output_type="ndarray")]
    owners = np.sort(owners, axis=1)[owners[:, 0] != owners[:, 1]]
    keys = np.unique(owners[:, 0] * count + owners[:, 1])
    return np.stack([keys // count, keys % count], axis=1).astype(np.int64)


def _near_lists(
    pairs: NDArray[np.int64], first: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Patches near each craft, of later crafts only, and where each craft's begin."""
    sizes = np.diff(first)
    counts = sizes[pairs[:, 1]]
    within = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    near = np.repeat(first[pairs[:, 1]], counts) + within
    return near, _offsets(np.bincount(pairs[:, 0], counts, sizes.size).astype(np.int64))


def _grid_step(at: Array, few: int) -> float | None:
    """Step of the grid [m], or None where all crafts may as well be near."""
    spans = np.ptp(at[:, :2], axis=0) + 1.0
    step = CROWD * math.sqrt(float(spans.prod()) / at.shape[0])
    reach = WIDTH * REACH * step
    return step if at.shape[0] > few and math.hypot(*spans) > 1.5 * reach else None


def _levels(deepest: float, width: float) -> int:
    for levels, share in ((2, 0.13), (3, 0.3), (4, 0.6)):
        if deepest < share * width:
            return levels
    return 6


def _grid(at: Array, bed: Bed, step: float) -> tuple[Grid, Tables]:
    spans = np.ptp(at[:, :2], axis=0)
    size = padded(float(spans[0]), step), padded(float(spans[1]), step)
    deepest = float(-at[:, 2].min())
    farthest = step * (math.hypot(*size) / 2.0 + 2.0)
    tables = tabulate(bed.depth, bed.reflection, deepest, farthest, WIDTH * step)
    return lay_out(at, step, _levels(deepest, WIDTH * step), tables, size), tables


def survey(
    at: Array,
    alone: Array,
    radii: Array,
    first: NDArray[np.int64],
    bed: Bed,
    conductivity: float,
    few: int = FEW,
) -> Field:
    """The field among patches `at` (n, 3) [m] of crafts that begin at `first`.

    alone, radii: as `transfer_matrix` takes them; with up to `few` patches there is no grid.
    """
    spread = np.maximum(radii, 1.0 / (FOUR_PI * alone))
    step = _grid_step(at, few)
    if step is None:
        reach = float(np.hypot(*np.ptp(at[:, :2], axis=0))) + 1.0
        grid, within = None, math.inf
        tables = tabulate(bed.depth, bed.reflection, float(-at[:, 2].min()), reach, math.inf)
    else:
        within = WIDTH * REACH * step
        grid, tables = _grid(at, bed, step)
    sizes = np.diff(first)
    own_offset = _offsets(sizes**2)
    near, begins = _near_lists(_near_pairs(at, first, within), first)
    near_offset = _offsets(sizes * np.diff(begins))
    parts = tables.rest, tables.smooth, tables.shape
    own, gentle = loops.own_blocks(at, spread, FOUR_PI * alone - 1.0 / spread, first, own_offset, *parts)
    difference = tables.rest - tables.smooth
    blocks = loops.near_blocks(at, spread, first, near, begins, near_offset, difference, tables.shape)
    few_digits = blocks.astype(np.float32)  # for use beside a grid, which errs by more
    double, single = (blocks, few_digits[:0].copy()) if grid is None else (blocks[:0].copy(), few_digits)
    scale = 1.0 / (FOUR_PI * conductivity)
    return Field(
        first, own_offset, own * scale, gentle, near, begins, near_offset, double, single, grid, scale
    )
