"""The smooth part of the far field on a level grid: spread, convolve by fast Fourier transform, gather.

Splines of degree 5 across the water, polynomials in z^2 upright. The kernel on the grid is divided by the
splines' own values twice, so that what is gathered interpolates it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from course.engine.errors import Array
from course.engine.marina import kernel as loops
from course.engine.marina.green import Tables

MARGIN = 14  # grid cells past the patches: splines reach 3, their inverse fades by 0.43 a cell
AT_KNOTS = (66.0 / 120.0, 26.0 / 120.0, 1.0 / 120.0)  # spline of degree 5 at its centre and 1, 2 knots away


@dataclass(frozen=True, eq=False)
class Room:
    """Where a grid works: fresh arrays of this size cost more than what is done in them."""

    grid: Array
    half: NDArray[np.complex128]
    waves: NDArray[np.complex128]
    answer: Array


@dataclass(frozen=True, eq=False)
class Grid:
    """cell (n, 2) and weights of the n patches; kernel (pairs of levels, nx, ny//2 + 1), transformed."""

    cell: NDArray[np.int64]
    by_x: Array
    by_y: Array
    by_z: Array
    kernel: Array
    size: tuple[int, int]
    extent: tuple[int, int]

    def room(self) -> Room:
        """Arrays to work in; one for each solve that runs at a time."""
        levels, (nx, ny), (mx, my) = self.by_z.shape[1], self.extent, self.size
        half = np.empty((levels, nx, my // 2 + 1), dtype=complex)
        waves = np.empty((levels, mx, my // 2 + 1), dtype=complex)
        return Room(np.empty((levels, nx, ny)), half, waves, np.empty((levels, nx, my)))

    def add(self, current: Array, field: Array, room: Room) -> None:
        """Add to `field` (n,) the smooth potential of `current` (n,). Only what is in use is transformed."""
        nx = self.extent[0]
        loops.spread(current, self.cell, self.by_x, self.by_y, self.by_z, room.grid)
        np.fft.rfft(room.grid, self.size[1], axis=2, out=room.half)
        np.fft.fft(room.half, self.size[0], axis=1, out=room.waves)
        loops.convolve(self.kernel, room.waves)
        np.fft.ifft(room.waves, axis=1, out=room.waves)
        np.fft.irfft(room.waves[:, :nx], self.size[1], axis=2, out=room.answer)
        loops.gather(field, self.cell, self.by_x, self.by_y, self.by_z, room.answer)


def _spline(offset: Array) -> Array:
    """Spline of degree 5 at distances `offset` [knots] from its centre."""
    x = np.abs(offset)
    powers = [np.maximum(reach - x, 0.0) ** 5 for reach in (3.0, 2.0, 1.0)]
    return np.asarray((powers[0] - 6.0 * powers[1] + 15.0 * powers[2]) / 120.0)


def _splines(at: Array, step: float) -> tuple[NDArray[np.int64], Array, int]:
    """First cell and six weights of each coordinate, and the number of cells in use."""
    knots = (at - at.min()) / step + 2.0
    first = np.floor(knots).astype(np.int64) - 2
    weights = _spline(knots[:, None] - (first[:, None] + np.arange(loops.SPLINE)))
    return first, np.ascontiguousarray(weights), int(first.max()) + loops.SPLINE


def _upright(z: Array, levels: int) -> tuple[Array, Array]:
    """Depths of the levels [m], and weights by which a polynomial in z^2 runs through them."""
    top = max(float((z**2).max()), 1e-6)
    nodes = 0.5 * top * (1.0 + np.cos(np.pi * (np.arange(levels) + 0.5) / levels))
    weights = np.ones((z.size, levels))
    for a in range(levels):
        for b in range(levels):
            if a != b:
                weights[:, a] *= (z**2 - nodes[b]) / (nodes[a] - nodes[b])
    return np.sqrt(nodes), weights


def _damping(size: int) -> Array:
    """Fourier transform of the spline at its knots, squared, on `size` points."""
    centre, one, two = AT_KNOTS
    turn = 2.0 * math.pi * fft.fftfreq(size)
    return np.asarray((centre + 2.0 * one * np.cos(turn) + 2.0 * two * np.cos(2.0 * turn)) ** 2)


def padded(extent: float, step: float) -> int:
    """Number of grid points along an extent [m], room for the convolution to wrap included."""
    return int(fft.next_fast_len(2 * (math.ceil(extent / step) + loops.SPLINE + 1) + MARGIN, real=True))


def lay_out(at: Array, step: float, levels: int, tables: Tables, size: tuple[int, int]) -> Grid:
    """The grid of knots `step` [m] apart under patches `at` (n, 3), `size` points as `padded` gives them."""
    cx, by_x, nx = _splines(at[:, 0], step)
    cy, by_y, ny = _splines(at[:, 1], step)
    depths, by_z = _upright(at[:, 2], levels)
    half = [step * np.arange(n // 2 + 1, dtype=float) for n in size]
    quarter = loops.grid_kernel(half[0], half[1], depths, tables.smooth, tables.shape)
    fold = [np.minimum(np.arange(n), n - np.arange(n)) for n in size]
    whole = quarter[:, fold[0][:, None], fold[1][None, :]]
    kernel = fft.rfft2(whole).real
    kernel /= _damping(size[0])[:, None] * _damping(size[1])[None, : size[1] // 2 + 1]
    cell = np.ascontiguousarray(np.stack([cx, cy], axis=1))
    return Grid(cell, by_x, by_y, by_z, np.ascontiguousarray(kernel), size, (nx, ny))
