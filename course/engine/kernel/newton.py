"""The compiled kernel: the companion Newton of `solve` in machine code, and steps of relaxation.

Each entry does what plain numpy does elsewhere in the package: `reduce` prepares a circuit once, `run` is
`solve.iterate` (cold: from `start.no_drop_start`), and with storage `relaxation.relax`, repeated. Tests hold it
to those twins. Import through `course.engine.compiled` only.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import entry, helper
from course.engine.kernel.laws import diode_current, diode_slope, evaluate, no_drop_start
from course.engine.kernel.linear import eliminate, lessened, split, strong_rows, substitute, through
from course.engine.solve import (
    DAMP,
    DAMP_AFTER,
    FEW_VOLTS,
    FREE_EVERY,
    LONGEST,
    LOOSEN,
    NEAR,
    RESIDUAL,
    ROUNDS,
    SHORTEST,
    STEP,
    TIGHTEN,
)
from course.engine.start import MARGIN

VECTOR, MATRIX, WHOLE = "float64[::1]", "float64[:,::1]", "int64[::1]"
# what `reduce` returns: W, B, V0, Y, inflow, strings, and node voltages by kept unknowns, by currents, alone
REDUCED = f"{MATRIX}, {MATRIX}, {VECTOR}, {MATRIX}, {VECTOR}, {MATRIX}, {MATRIX}, {MATRIX}, {VECTOR}"
CIRCUIT = f"{MATRIX}, Tuple(({REDUCED})), UniTuple({VECTOR}, 2), Tuple(({MATRIX}, {VECTOR}, {WHOLE}))"
ANSWER = f"Tuple(({VECTOR}, {VECTOR}, {VECTOR}, {VECTOR}, int64, float64))"

Reduced = tuple[Array, Array, Array, Array, Array, Array, Array, Array, Array]
Diodes = tuple[Array, Array]  # saturation currents [A] and volts an e-fold
Metal = tuple[Array, Array, NDArray[np.int64]]  # table of the laws, areas [m2], bonded group of each patch
Settled = tuple[int, float, Array, Array, Array]
Answer = tuple[Array, Array, Array, Array, int, float]


@helper
def reduced(
    transfer: Array, reach: Array, basis: Array, matrix: Array, inflow: Array, strings: Array
) -> Reduced:
    """The circuit without its strong conductors: E = B u + V0 - W I and Y u + B'I + diodes = inflow.

    Node voltages are a u + b I + c with the last three arrays. W holds a nan where the network is not positive.
    """
    gone, kept = split(matrix, reach, strings)
    s, f, n = gone.shape[0], kept.shape[0], reach.shape[0]
    rows, sound = strong_rows(matrix, inflow, reach, gone, kept)
    by_kept, by_current, alone = rows[:, s : s + f], rows[:, s + f : s + f + n], rows[:, s + f + n :]
    w = transfer + through(reach, gone, by_current)
    if not sound:
        w[:] = math.nan
    v0 = through(reach, gone, alone)[:, 0].copy()
    y = lessened(matrix, matrix, gone, kept, by_kept)[kept]
    rest = (inflow - through(matrix, gone, alone)[:, 0])[kept]
    b = lessened(reach, reach, gone, kept, by_kept)
    at_node = lessened(basis, basis, gone, kept, by_kept)
    node_by_current = -through(basis, gone, by_current)
    node_alone = through(basis, gone, alone)[:, 0].copy()
    few = np.empty((strings.shape[0], f))
    for j in range(f):
        few[:, j] = strings[:, kept[j]]
    return w, b, v0, y, rest, few, at_node, node_by_current, node_alone


@helper
def fill(circuit: Reduced, area: Array, density: Array, steep: Array, patch: Array, rows: Array) -> None:
    """Write the circuit of tangents, diodes left out, in the unknowns I and -u.

    W + 1/(A slope) and B stand over -Y, with the right sides in the last column.
    """
    w, b, v0, y, inflow = circuit[0], circuit[1], circuit[2], circuit[3], circuit[4]
    n, f = b.shape
    for i in range(n):
        for j in range(i, n):
            rows[i, j] = w[i, j]
        rows[i, i] += 1.0 / (area[i] * steep[i])
        for j in range(f):
            rows[i, n + j] = b[i, j]
        rows[i, n + f] = v0[i] + density[i] / steep[i] - patch[i]
    for i in range(f):
        for j in range(i, f):
            rows[n + i, n + j] = -y[i, j]
        rows[n + i, n + f] = inflow[i]


@helper
def fill_strings(strings: Array, diodes: Diodes, string: Array, n: int, rows: Array) -> None:
    """Add the tangents of the diode strings at `string` [V]."""
    saturation, volts = diodes
    f = strings.shape[1]
    for d in range(string.shape[0]):
        slope = diode_slope(string[d], saturation[d], volts[d])
        push = diode_current(string[d], saturation[d], volts[d]) - slope * string[d]
        for i in range(f):
            if strings[d, i] != 0.0:
                for j in range(i, f):
                    rows[n + i, n + j] -= slope * strings[d, i] * strings[d, j]
                rows[n + i, n + f] -= push * strings[d, i]


@helper
def limited(step: float, scale: float) -> float:
    """Twin of `solve.limited` for one step."""
    size = abs(step) / scale
    if size <= 2.0:
        return step
    return math.copysign(scale * (2.0 + math.log1p(size - 2.0)), step)


@helper
def leashed(step: float, scale: float, leash: Array, count: int) -> float:
    """Twin of `solve.Leash.shorten` for one patch, whose hold and last step are `leash` (2,)."""
    short = limited(step, scale)
    far = abs(short) > NEAR
    leash[0] = TIGHTEN * leash[0] if far and short * leash[1] < 0.0 else min(1.0, LOOSEN * leash[0])
    if far:
        short *= leash[0]
        if count > DAMP_AFTER and count % FREE_EVERY != 0:
            short *= DAMP
    leash[1] = short
    return short


@helper
def polarised(circuit: Reduced, rows: Array, patch: Array, found: Array) -> float:
    """Write the polarisation of the tangent solution into `found`; return the largest step from `patch` [V]."""
    w, b, v0 = circuit[0], circuit[1], circuit[2]
    n, f = b.shape
    largest = 0.0
    for i in range(n):
        value = v0[i]
        for j in range(f):
            value -= b[i, j] * rows[n + j, n + f]
        for j in range(n):
            value -= w[i, j] * rows[j, n + f]
        found[i] = value
        size = abs(value - patch[i])
        if not size <= largest:  # a nan is kept
            largest = size
    return largest


@helper
def move_strings(strings: Array, volts: Array, n: int, rows: Array, string: Array) -> float:
    """Move the points of the diode strings; return the largest step asked for [V]."""
    largest = 0.0
    f = strings.shape[1]
    for d in range(string.shape[0]):
        step = -string[d]
        for j in range(f):
            step -= strings[d, j] * rows[n + j, n + f]
        if not abs(step) <= largest:
            largest = abs(step)
        string[d] += limited(step, volts[d])
    return largest


@helper
def worst(area: Array, density: Array, steep: Array, rows: Array) -> float:
    """The largest relative residual of the laws."""
    last, residual = rows.shape[1] - 1, 0.0
    for k in range(area.shape[0]):
        current = rows[k, last]
        size = abs(current) + area[k] * steep[k] * FEW_VOLTS
        residual = max(residual, abs(current - area[k] * density[k]) / size)
    return residual


@helper
def newton(
    circuit: Reduced, diodes: Diodes, table: Array, area: Array, patch: Array, string: Array
) -> Settled:
    """Twin of `solve.iterate`; moves `patch` and `string`. A count of 0 says that it did not settle.

    Returns count, residual, currents [A], kept unknowns [V] and polarisation [V].
    """
    n, f = circuit[1].shape
    rows = np.empty((n + f, n + f + 1))
    density, steep, found = np.empty(n), np.empty(n), np.empty(n)
    leash = np.zeros((n, 2))
    leash[:, 0] = 1.0
    evaluate(table, patch, density, steep)
    settled, residual = 0, math.inf
    for count in range(1, ROUNDS + 1):
        fill(circuit, area, density, steep, patch, rows)
        fill_strings(circuit[5], diodes, string, n, rows)
        if not eliminate(rows, n, f):
            break
        substitute(rows, n + f)
        largest = polarised(circuit, rows, patch, found)
        largest = max(largest, move_strings(circuit[5], diodes[1], n, rows, string))
        if not largest < 1e30:
            break
        for k in range(n):
            step = found[k] - patch[k]
            if largest > NEAR:
                scale = min(max(abs(density[k]) / steep[k], SHORTEST), LONGEST)
                step = leashed(step, scale, leash[k], count)
            patch[k] += step
        evaluate(table, patch, density, steep)
        if largest <= STEP:
            residual = worst(area, density, steep, rows)
            if residual <= RESIDUAL:
                settled = count
                break
    return settled, residual, rows[:n, n + f].copy(), -rows[n:, n + f], found


@helper
def told(transfer: Array, circuit: Reduced, settled: Settled) -> Answer:
    """What a Solution holds, from what Newton left."""
    count, residual, current, u, polarisation = settled
    water, node = np.empty(current.shape[0]), np.empty(circuit[8].shape[0])
    for i in range(water.shape[0]):
        value = 0.0
        for j in range(current.shape[0]):
            value += transfer[i, j] * current[j]
        water[i] = value
    for i in range(node.shape[0]):
        value = circuit[8][i]
        for j in range(u.shape[0]):
            value += circuit[6][i, j] * u[j]
        for j in range(current.shape[0]):
            value += circuit[7][i, j] * current[j]
        node[i] = value
    return water, node, polarisation, current, count, residual


@entry(f"Tuple(({REDUCED}))({MATRIX}, {MATRIX}, {MATRIX}, {MATRIX}, {VECTOR}, {MATRIX})")
def reduce(
    transfer: Array, reach: Array, basis: Array, matrix: Array, inflow: Array, strings: Array
) -> Reduced:
    """See `reduced`; the arguments are those of a System and its Tree."""
    return reduced(transfer, reach, basis, matrix, inflow, strings)


@entry(f"Tuple(({ANSWER}, int64, boolean))({CIRCUIT}, {VECTOR}, {VECTOR}, boolean, {VECTOR}, int64, float64)")
def run(
    transfer: Array,
    circuit: Reduced,
    diodes: Diodes,
    metal: Metal,
    patch: Array,
    string: Array,
    cold: bool,
    store: Array,
    steps: int,
    still: float,
) -> tuple[Answer, int, bool]:
    """Take `steps` backward-Euler steps from `patch`, each storing `store` [A/m2/V]; none stored is a plain solve.

    Ends after a step shorter than `still` [V]. A cold run makes its own start of patches; `patch` and `string`
    are moved. Returns the last step's answer (a count of 0: it did not settle), how many were taken, and whether
    the last was shorter than `still`.
    """
    table, area, member = metal
    if cold:
        no_drop_start(table, area, member, patch, MARGIN)
    charged, before, taken, stands = table.copy(), patch.copy(), 0, False
    while True:
        for k in range(area.shape[0]):
            if store[k] > 0.0:
                charged[k, 15] = table[k, 15] + store[k]
                charged[k, 16] = (table[k, 15] * table[k, 16] + store[k] * before[k]) / charged[k, 15]
        settled = newton(circuit, diodes, charged, area, patch, string)
        taken += 1
        largest = 0.0
        for k in range(area.shape[0]):
            largest = max(largest, abs(settled[4][k] - before[k]))
            before[k] = settled[4][k]
        stands = largest < still
        if settled[0] == 0 or stands or taken >= steps:
            return told(transfer, circuit, settled), taken, stands
