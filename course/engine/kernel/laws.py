"""The compiled kernel's electrode laws and diodes; twins of `electrode.Law.evaluate` and `companion`.

A law's table (n, 17) holds, for each patch, five centres [V SHE], five inverse slopes [1/V], five amplitudes
[A/m2], the floor [A/m2/V] and its potential [V SHE], in the order of `electrode.Law`.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import helper
from course.engine.terms import STRAIGHT_FROM

STEEPEST = math.exp(STRAIGHT_FROM)
START_CURRENT = 1e-4  # A/m2: below it the scale on which a start is sought is linear, above logarithmic
START_WITHIN = 1e-2  # V
START_ROUNDS = 14


@helper
def evaluate(table: Array, potential: Array, density: Array, steep: Array) -> None:
    """Write current density [A/m2] and slope [A/m2/V] of each patch at `potential` [V SHE] (n,)."""
    for k in range(potential.shape[0]):
        row, at = table[k], potential[k]
        value = row[15] * (at - row[16])
        slope = row[15]
        for r in range(3):
            height, inverse = row[10 + r], row[5 + r]
            if height != 0.0:
                share = 1.0 / (1.0 + math.exp(-(at - row[r]) * inverse))
                value += height * share
                slope += height * inverse * (share * (1.0 - share))
        for r in range(3, 5):
            height, inverse = row[10 + r], row[5 + r]
            x = (at - row[r]) * inverse
            if x > STRAIGHT_FROM:
                value += height * STEEPEST * (1.0 + x - STRAIGHT_FROM)
                slope += height * inverse * STEEPEST
            else:
                rise = math.exp(x)
                value += height * rise
                slope += height * inverse * rise
        density[k], steep[k] = value, slope


@helper
def density_at(row: Array, at: float) -> float:
    """Current density [A/m2] of one patch, by its row of the table."""
    value: float = row[15] * (at - row[16])
    for r in range(3):
        if row[10 + r] != 0.0:
            value += row[10 + r] / (1.0 + math.exp(-(at - row[r]) * row[5 + r]))
    for r in range(3, 5):
        x = (at - row[r]) * row[5 + r]
        if x > STRAIGHT_FROM:
            value += row[10 + r] * STEEPEST * (1.0 + x - STRAIGHT_FROM)
        else:
            value += row[10 + r] * math.exp(x)
    return value


@helper
def diode_current(at: float, saturation: float, volts: float) -> float:
    """Current [A] of a diode string at `at` [V]; its slope is `diode_slope`."""
    x = at / volts
    if x > STRAIGHT_FROM:
        return saturation * (STEEPEST * (1.0 + x - STRAIGHT_FROM) - 1.0)
    return saturation * (math.exp(x) - 1.0)


@helper
def diode_slope(at: float, saturation: float, volts: float) -> float:
    """Conductance [S] of a diode string at `at` [V]."""
    return saturation / volts * math.exp(min(at / volts, STRAIGHT_FROM))


@helper
def balance(table: Array, area: Array, member: NDArray[np.int64], group: int, at: float) -> float:
    """Sum of A j(at) over a group, on a scale that is logarithmic in both directions."""
    total = 0.0
    size = 0.0
    for k in range(area.shape[0]):
        if member[k] == group:
            total += area[k] * density_at(table[k], at)
            size += area[k]
    return math.copysign(math.log1p(abs(total) / (START_CURRENT * size)), total)


@helper
def group_start(table: Array, area: Array, member: NDArray[np.int64], group: int, margin: float) -> float:
    """Potential [V SHE], to some ten millivolts, at which a group of patches balances with no drop in the water.

    False position on the logarithmic scale, the end that stays halved (Illinois), within rest potentials and
    `margin` [V].
    """
    low, high = math.inf, -math.inf
    for k in range(area.shape[0]):
        if member[k] == group:
            low, high = min(low, table[k, 16]), max(high, table[k, 16])
    low, high = low - margin, high + margin
    under = balance(table, area, member, group, low)
    over = balance(table, area, member, group, high)
    if under >= 0.0:
        return low
    if over <= 0.0:
        return high
    at, stayed = low, 0
    for _ in range(START_ROUNDS):
        before, at = at, low - under * (high - low) / (over - under)
        if abs(at - before) < START_WITHIN or high - low < START_WITHIN:
            break
        value = balance(table, area, member, group, at)
        if value < 0.0:
            low, under = at, value
            over, stayed = (0.5 * over if stayed == -1 else over), -1
        else:
            high, over = at, value
            under, stayed = (0.5 * under if stayed == 1 else under), 1
    return at


@helper
def no_drop_start(table: Array, area: Array, member: NDArray[np.int64], patch: Array, margin: float) -> None:
    """Write the first guess of every patch; twin of `start.no_drop_start`. Groups are numbered from 0."""
    groups = 0
    for k in range(member.shape[0]):
        groups = max(groups, member[k] + 1)
    for group in range(groups):
        at = group_start(table, area, member, group, margin)
        for k in range(member.shape[0]):
            if member[k] == group:
                patch[k] = at
