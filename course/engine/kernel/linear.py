"""The compiled kernel's linear algebra: elimination of rows with their right sides, and of strong conductors.

Strong conductors are eliminated once for each circuit, before any Newton step: what is left of the network is
a handful of unknowns (the roots of its groups, weak links, and what carries diodes), and the patches see the
wires as an addition to the transfer matrix. In tree unknowns this loses no digits.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import helper

Numbers = NDArray[np.int64]

STRONG = 1e-2  # S


@helper
def eliminate(rows: Array, positive: int, negative: int) -> bool:
    """L D L' of the upper triangle of `rows` in place, right sides along, without square roots.

    The matrix is (positive + negative) square; its first pivots must be positive and its last negative, else
    False. Leaves D L' with the pivots on the diagonal, and L^-1 times the right sides.
    """
    size, width = positive + negative, rows.shape[1]
    for i in range(size):
        pivot = rows[i, i]
        if not 0.0 < (pivot if i < positive else -pivot) < math.inf:
            return False
        inverse = 1.0 / pivot
        for k in range(i + 1, size):
            factor = rows[i, k] * inverse
            if factor != 0.0:
                for j in range(k, width):
                    rows[k, j] -= factor * rows[i, j]
    return True


@helper
def substitute(rows: Array, size: int) -> None:
    """Solve in place for the one right side of the eliminated `rows`, in their last column."""
    for i in range(size - 1, -1, -1):
        value = rows[i, size]
        for j in range(i + 1, size):
            value -= rows[i, j] * rows[j, size]
        rows[i, size] = value / rows[i, i]


@helper
def substitute_all(rows: Array, n: int) -> None:
    """Solve in place for every right side of the eliminated `rows` (n, n + k)."""
    width = rows.shape[1]
    for i in range(n - 1, -1, -1):
        for j in range(i + 1, n):
            factor = rows[i, j]
            if factor != 0.0:
                for column in range(n, width):
                    rows[i, column] -= factor * rows[j, column]
        inverse = 1.0 / rows[i, i]
        for column in range(n, width):
            rows[i, column] *= inverse


@helper
def split(matrix: Array, reach: Array, strings: Array) -> tuple[Numbers, Numbers]:
    """Numbers of the tree unknowns to eliminate, and of those to keep."""
    m = matrix.shape[0]
    gone, kept = np.empty(m, np.int64), np.empty(m, np.int64)
    s = f = 0
    for k in range(m):
        free = True
        for i in range(strings.shape[0]):
            free = free and strings[i, k] == 0.0
        strong = matrix[k, k] >= STRONG
        if free and not strong:  # weak, but no patch leans on it: it may go as well
            strong = matrix[k, k] > 0.0
            for i in range(reach.shape[0]):
                strong = strong and reach[i, k] == 0.0
        if free and strong:
            gone[s] = k
            s += 1
        else:
            kept[f] = k
            f += 1
    return gone[:s], kept[:f]


@helper
def strong_rows(
    matrix: Array, inflow: Array, reach: Array, gone: Numbers, kept: Numbers
) -> tuple[Array, bool]:
    """Y_SS^-1 (Y_SF, B_S', inflow_S) as the right sides of rows (s, s + f + n + 1), and whether it could be."""
    s, f, n = gone.shape[0], kept.shape[0], reach.shape[0]
    rows = np.empty((s, s + f + n + 1))
    for i in range(s):
        for j in range(s):
            rows[i, j] = matrix[gone[i], gone[j]]
        for j in range(f):
            rows[i, s + j] = matrix[gone[i], kept[j]]
        for j in range(n):
            rows[i, s + f + j] = reach[j, gone[i]]
        rows[i, s + f + n] = inflow[gone[i]]
    if not eliminate(rows, s, 0):
        return rows, False
    substitute_all(rows, s)
    return rows, True


@helper
def lessened(start: Array, left: Array, gone: Numbers, kept: Numbers, solved: Array) -> Array:
    """start[:, kept] - left[:, gone] solved: what a matrix is in the kept unknowns."""
    made = np.empty((start.shape[0], kept.shape[0]))
    for i in range(made.shape[0]):
        for j in range(made.shape[1]):
            value = start[i, kept[j]]
            for k in range(gone.shape[0]):
                if left[i, gone[k]] != 0.0:
                    value -= left[i, gone[k]] * solved[k, j]
            made[i, j] = value
    return made


@helper
def through(left: Array, gone: Numbers, solved: Array) -> Array:
    """left[:, gone] solved."""
    made = np.zeros((left.shape[0], solved.shape[1]))
    for i in range(made.shape[0]):
        for k in range(gone.shape[0]):
            factor = left[i, gone[k]]
            if factor != 0.0:
                for j in range(made.shape[1]):
                    made[i, j] += factor * solved[k, j]
    return made
