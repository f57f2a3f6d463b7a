"""Compiled loops of the marina's field: blocks between patches, near sums, and the grid's spread and gather.

Crafts follow one another: craft b has patches first[b] to first[b + 1]; blocks lie flat, row by row, from
offset[...]. Potentials are 4 pi times those at 1 S/m.
"""

from __future__ import annotations

import math

import numba
import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import entry, helper

Numbers = NDArray[np.int64]

VECTOR, MATRIX, CUBE = "float64[::1]", "float64[:, ::1]", "float64[:, :, ::1]"
WHOLE, WHOLES = "int64[::1]", "int64[:, ::1]"
TABLES = f"{CUBE}, {CUBE}, {VECTOR}"
# Compiled in, so they stand in this file: its time is what the cache goes by.
SPLINE = 6  # order: degree 5
CELL = 0.15  # of asinh(r/scale), a cell of the tables of `marina.green`
ALONG, UPRIGHT = 6, 10  # their coefficients in asinh(r/scale) and in s^2


@helper
def looked_up(table: Array, shape: Array, t: float, s: float) -> float:
    """The tabulated function at asinh(r/scale) = t and s [m]."""
    cell = min(int(t / CELL), table.shape[0] - 1)
    x = 2.0 * (t / CELL - cell) - 1.0
    y = 2.0 * s * s / shape[1] - 1.0
    value = 0.0
    for i in range(ALONG - 1, -1, -1):
        row = table[cell, i]
        part = row[UPRIGHT - 1]
        for j in range(UPRIGHT - 2, -1, -1):
            part = part * y + row[j]
        value = value * x + part
    return value


@helper
def shells(apart: float, a: float, b: float) -> float:
    """Twin of `transfer._shells`."""
    wide, slim = max(a, b), min(a, b)
    if wide - slim < apart < wide + slim:
        inside = (wide * wide - (apart - slim) ** 2) / (2.0 * wide)
        return (inside + apart + slim - wide) / (2.0 * apart * slim)
    return 1.0 / max(apart, wide)


@helper
def exactly(level: float, s: float, a: float, b: float, shape: Array) -> float:
    """The three nearest images of F."""
    k, lift = shape[2], 2.0 * shape[3]
    value = shells(math.sqrt(level + s * s), a, b)
    if k != 0.0:
        value += k * shells(math.sqrt(level + (s + lift) ** 2), a, b)
        value += k * shells(math.sqrt(level + (s - lift) ** 2), a, b)
    return value


@helper
def soft(smooth: Array, shape: Array, p: Array, q: Array) -> float:
    """The smooth part between two points."""
    t = math.asinh(math.hypot(p[0] - q[0], p[1] - q[1]) / shape[0])
    return looked_up(smooth, shape, t, p[2] - q[2]) + looked_up(smooth, shape, t, p[2] + q[2])


@helper
def between(rest: Array, shape: Array, p: Array, q: Array, a: float, b: float) -> float:
    """The whole of it between two patches of radii a and b; `rest` may be a difference of tables."""
    level = (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2
    t = math.asinh(math.sqrt(level) / shape[0])
    value = exactly(level, p[2] - q[2], a, b, shape) + exactly(level, p[2] + q[2], a, b, shape)
    return value + looked_up(rest, shape, t, p[2] - q[2]) + looked_up(rest, shape, t, p[2] + q[2])


@entry(f"UniTuple({VECTOR}, 2)({MATRIX}, {VECTOR}, {VECTOR}, {WHOLE}, {WHOLE}, {TABLES})")
def own_blocks(
    at: Array,
    spread: Array,
    extra: Array,
    first: Numbers,
    offset: Numbers,
    rest: Array,
    smooth: Array,
    shape: Array,
) -> tuple[Array, Array]:
    """Each craft's own block, `extra` on its diagonal, and the smooth part of it."""
    whole, part = np.empty(offset[-1]), np.empty(offset[-1])
    for b in range(first.shape[0] - 1):
        n, start = first[b + 1] - first[b], first[b]
        for i in range(n):
            for j in range(i + 1):
                p, q = start + i, start + j
                value = between(rest, shape, at[p], at[q], spread[p], spread[q])
                if i == j:
                    value += extra[p]
                gentle = soft(smooth, shape, at[p], at[q])
                for place in (offset[b] + i * n + j, offset[b] + j * n + i):
                    whole[place], part[place] = value, gentle
    return whole, part


@entry(f"{VECTOR}({MATRIX}, {VECTOR}, {WHOLE}, {WHOLE}, {WHOLE}, {WHOLE}, {CUBE}, {VECTOR})")
def near_blocks(
    at: Array,
    spread: Array,
    first: Numbers,
    near: Numbers,
    begins: Numbers,
    offset: Numbers,
    rest: Array,
    shape: Array,
) -> Array:
    """Rows of each craft's patches against those `near` her, less what the grid carries.

    Patches near craft b are near[begins[b] : begins[b + 1]], of later crafts only; `rest` is the difference of
    the tables.
    """
    blocks = np.empty(offset[-1])
    for b in range(first.shape[0] - 1):
        place = offset[b]
        for p in range(first[b], first[b + 1]):
            for k in range(begins[b], begins[b + 1]):
                q = near[k]
                blocks[place] = between(rest, shape, at[p], at[q], spread[p], spread[q])
                place += 1
    return blocks


@numba.njit(error_model="numpy", fastmath={"reassoc", "contract"})  # sums in any order: side by side
def both_ways(row: NDArray[np.float64] | NDArray[np.float32], x: Array, back: Array, here: float) -> float:
    """The product of a row with `x`; adds the row times `here` to `back`."""
    value = 0.0
    for j in range(x.shape[0]):
        value += row[j] * x[j]
        back[j] += row[j] * here
    return value


@helper
def own_potential(first: Numbers, own: Numbers, blocks: Array, current: Array, field: Array) -> None:
    """Write what each craft's own blocks make of her own currents."""
    for b in range(first.shape[0] - 1):
        n, start = first[b + 1] - first[b], first[b]
        for i in range(n):
            value = 0.0
            for j in range(n):
                value += blocks[own[b] + i * n + j] * current[start + j]
            field[start + i] = value


@entry(f"{VECTOR}({WHOLE}, {WHOLE}, {VECTOR}, {VECTOR})")
def own_field(first: Numbers, own: Numbers, blocks: Array, current: Array) -> Array:
    """Potential from each craft's own currents by her own blocks."""
    field = np.empty(current.shape[0])
    own_potential(first, own, blocks, current, field)
    return field


@helper
def near_sum(
    first: Numbers,
    near: Numbers,
    begins: Numbers,
    offset: Numbers,
    blocks: NDArray[np.float64] | NDArray[np.float32],
    own: Numbers,
    gentle: Array,
    current: Array,
) -> Array:
    """What the entries below do, for blocks of either precision."""
    field = np.empty(current.shape[0])
    own_potential(first, own, gentle, current, field)
    field[:] = -field
    for b in range(first.shape[0] - 1):
        start, n, width = first[b], first[b + 1] - first[b], begins[b + 1] - begins[b]
        x, back = np.empty(width), np.zeros(width)
        for j in range(width):
            x[j] = current[near[begins[b] + j]]
        for i in range(n):
            place = offset[b] + i * width
            field[start + i] += both_ways(blocks[place : place + width], x, back, current[start + i])
        for j in range(width):
            field[near[begins[b] + j]] += back[j]
    return field


@entry(f"{VECTOR}({WHOLE}, {WHOLE}, {WHOLE}, {WHOLE}, {VECTOR}, {WHOLE}, {VECTOR}, {VECTOR})")
def near_field(
    first: Numbers,
    near: Numbers,
    begins: Numbers,
    offset: Numbers,
    blocks: Array,
    own: Numbers,
    gentle: Array,
    current: Array,
) -> Array:
    """Potential from near crafts by their blocks, both ways at once, less each craft's own smooth part."""
    return near_sum(first, near, begins, offset, blocks, own, gentle, current)


@entry(f"{VECTOR}({WHOLE}, {WHOLE}, {WHOLE}, {WHOLE}, float32[::1], {WHOLE}, {VECTOR}, {VECTOR})")
def near_field_single(
    first: Numbers,
    near: Numbers,
    begins: Numbers,
    offset: Numbers,
    blocks: NDArray[np.float32],
    own: Numbers,
    gentle: Array,
    current: Array,
) -> Array:
    """The same with blocks of single precision, which half fill the cache: 6e-8 of what they hold."""
    return near_sum(first, near, begins, offset, blocks, own, gentle, current)


@entry(f"{CUBE}({VECTOR}, {VECTOR}, {VECTOR}, {CUBE}, {VECTOR})")
def grid_kernel(across: Array, along: Array, depths: Array, smooth: Array, shape: Array) -> Array:
    """Smooth part between grid points `across` and `along` apart [m], for each pair of levels: (pairs, nx, ny)."""
    levels = depths.shape[0]
    out = np.empty((levels * (levels + 1) // 2, across.shape[0], along.shape[0]))
    for i in range(across.shape[0]):
        for j in range(along.shape[0]):
            t = math.asinh(math.hypot(across[i], along[j]) / shape[0])
            pair = 0
            for a in range(levels):
                for b in range(a + 1):
                    value = looked_up(smooth, shape, t, depths[a] - depths[b])
                    out[pair, i, j] = value + looked_up(smooth, shape, t, depths[a] + depths[b])
                    pair += 1
    return out


@entry(f"void({VECTOR}, {WHOLES}, {MATRIX}, {MATRIX}, {MATRIX}, {CUBE})")
def spread(current: Array, cell: Numbers, by_x: Array, by_y: Array, by_z: Array, grid: Array) -> None:
    """Lay the patches' currents onto the grid (levels, nx, ny), which is cleared first."""
    grid[:] = 0.0
    for p in range(current.shape[0]):
        for level in range(grid.shape[0]):
            part = current[p] * by_z[p, level]
            for i in range(SPLINE):
                here = part * by_x[p, i]
                row = grid[level, cell[p, 0] + i, cell[p, 1] : cell[p, 1] + SPLINE]
                for j in range(SPLINE):
                    row[j] += here * by_y[p, j]


@entry(f"void({VECTOR}, {WHOLES}, {MATRIX}, {MATRIX}, {MATRIX}, {CUBE})")
def gather(field: Array, cell: Numbers, by_x: Array, by_y: Array, by_z: Array, grid: Array) -> None:
    """Add to each patch what the grid says there: the transpose of `spread`."""
    for p in range(field.shape[0]):
        value = 0.0
        for level in range(grid.shape[0]):
            part = 0.0
            for i in range(SPLINE):
                row = grid[level, cell[p, 0] + i, cell[p, 1] : cell[p, 1] + SPLINE]
                here = 0.0
                for j in range(SPLINE):
                    here += row[j] * by_y[p, j]
                part += here * by_x[p, i]
            value += part * by_z[p, level]
        field[p] += value


@entry(f"void({CUBE}, complex128[:, :, ::1])")
def convolve(kernel: Array, waves: NDArray[np.complex128]) -> None:
    """Replace the waves by what the kernel makes of them, level from level; kernel (pairs of levels, nx, ny)."""
    levels = waves.shape[0]
    column = np.empty(levels, dtype=np.complex128)
    for i in range(waves.shape[1]):
        for j in range(waves.shape[2]):
            for a in range(levels):
                column[a] = waves[a, i, j]
                waves[a, i, j] = 0.0
            pair = 0
            for a in range(levels):
                for b in range(a):
                    waves[a, i, j] += kernel[pair, i, j] * column[b]
                    waves[b, i, j] += kernel[pair, i, j] * column[a]
                    pair += 1
                waves[a, i, j] += kernel[pair, i, j] * column[a]
                pair += 1
