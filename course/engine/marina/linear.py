"""Compiled loops of the marina's Newton step: each craft replaced by her tangents, seen from water and shore.

With tangents at hand, a craft answers a change r of the potentials that drive her patches and voltages x at her
ports by

    I = M r + i0 - U w,    w = Z^-1 (v0 - U'r - x),    u = u0 - V'r - Q w

w the currents that leave by the ports, u her few unknowns, i0, v0, u0 what she does alone. All lie flat, craft
after craft, in tuples of arrays: what is given in `Parts`, what a step finds in `Tangents`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import entry, helper
from course.engine.kernel.laws import evaluate, no_drop_start
from course.engine.marina.kernel import MATRIX, VECTOR, WHOLE, WHOLES

Numbers = NDArray[np.int64]
Parts = tuple[Array, Array, Array, Array, Array]  # lag (water included), rise, alone, matrix, inflow
Tangents = tuple[Array, Array, Array, Array, Array, Array, Array, Array]  # M, U, Z^-1, V, Q, u0, i0, v0

# Columns of `offset`, (crafts + 1, 8): patches, ports and unknowns before each craft, patches squared (M), ports
# squared (Z), then patches and ports squared (lag), their product with unknowns (rise), unknowns squared.
PATCH, PORT, KNOWN, MM, ZZ, LAG, RISE, SQUARE = range(8)
GIVEN = f"UniTuple({VECTOR}, 5)"
FOUND = f"UniTuple({VECTOR}, 8)"


@helper
def sweep(rows: Array, pivots: int) -> bool:
    """Gauss-Jordan on the first `pivots` rows in place: [A, B; B', D] becomes [H, HB; -B'H, D - B'HB], H = A^-1.

    False where A is not positive definite.
    """
    size = rows.shape[0]
    for k in range(pivots):
        pivot = rows[k, k]
        if not 0.0 < pivot < np.inf:
            return False
        scale = 1.0 / pivot
        for j in range(size):
            rows[k, j] *= scale
        rows[k, k] = scale
        for i in range(size):
            factor = rows[i, k]
            if i != k and factor != 0.0:
                rows[i, k] = 0.0
                for j in range(size):
                    rows[i, j] -= factor * rows[k, j]
    return True


@helper
def laid_out(at: Numbers, n: int, p: int, f: int, parts: Parts, slope: Array) -> Array:
    """[A, B, C; B', 0, 0; C', 0, 0] of patches, unknowns and ports: A = lag + 1/slope, B = rise, C = lag."""
    lag, rise = parts[0], parts[1]
    e = n + p
    rows = np.zeros((e + f, e + f))
    for i in range(n):
        for j in range(n):
            rows[i, j] = lag[at[LAG] + i * e + j]
        rows[i, i] += 1.0 / slope[at[PATCH] + i]
        for j in range(f):
            rows[i, n + j] = rise[at[RISE] + i * f + j]
            rows[n + j, i] = rows[i, n + j]
        for j in range(p):
            rows[i, n + f + j] = lag[at[LAG] + i * e + n + j]
            rows[n + f + j, i] = rows[i, n + f + j]
    return rows


@helper
def inner(at: Numbers, n: int, p: int, f: int, parts: Parts, rows: Array, port: Array, cross: Array) -> Array:
    """S = Y + B'HB; writes X = Bp' - B'HC into `cross` (f, p) and lag - C'HC into `port` (p, p)."""
    lag, rise, matrix = parts[0], parts[1], parts[3]
    e = n + p
    s = np.empty((f, f))
    for i in range(f):
        for j in range(f):
            s[i, j] = matrix[at[SQUARE] + i * f + j] - rows[n + i, n + j]
        for j in range(p):
            cross[i, j] = rise[at[RISE] + (n + j) * f + i] + rows[n + i, n + f + j]
    for i in range(p):
        for j in range(p):
            port[i, j] = lag[at[LAG] + (n + i) * e + n + j] + rows[n + f + i, n + f + j]
    return s


@helper
def keep(
    at: Numbers, rows: Array, s: Array, by_cross: Array, z: Array, parts: Parts, tangents: Tangents
) -> None:
    """Write M, U, Z^-1, V, Q, u0 and i0; `s` is S^-1, by_cross S^-1X, z Z^-1."""
    m, by_port, zi, v, q, u0, i0, _ = tangents
    f, p = by_cross.shape
    n = rows.shape[0] - f - p
    for i in range(f):
        value = 0.0
        for j in range(f):
            value += s[i, j] * parts[4][at[KNOWN] + j]
        u0[at[KNOWN] + i] = value
        for j in range(p):
            q[at[RISE] + (n + j) * f + i] = by_cross[i, j]
    for i in range(n):
        alone = 0.0
        for j in range(n):
            m[at[MM] + i * n + j] = rows[i, j]
        for k in range(f):
            alone += rows[i, n + k] * u0[at[KNOWN] + k]
            value = 0.0
            for j in range(f):
                value += rows[i, n + j] * s[j, k]
            v[at[RISE] + i * f + k] = value
            for j in range(n):
                m[at[MM] + i * n + j] -= value * rows[j, n + k]
        i0[at[PATCH] + i] = alone
        for j in range(p):
            value = rows[i, n + f + j]
            for k in range(f):
                value += rows[i, n + k] * by_cross[k, j]
            by_port[at[LAG] + i * (n + p) + n + j] = value
    for i in range(p):
        for j in range(p):
            zi[at[ZZ] + i * p + j] = z[i, j]


@helper
def craft_tangent(b: int, offset: Numbers, parts: Parts, slope: Array, tangents: Tangents) -> bool:
    """Write all that `Tangents` holds of one craft."""
    at, end = offset[b], offset[b + 1]
    n, p, f = end[PATCH] - at[PATCH], end[PORT] - at[PORT], end[KNOWN] - at[KNOWN]
    rows = laid_out(at, n, p, f, parts, slope)
    if not sweep(rows, n):
        return False
    z, cross = np.empty((p, p)), np.empty((f, p))
    s = inner(at, n, p, f, parts, rows, z, cross)
    if not sweep(s, f):
        return False
    by_cross = np.zeros((f, p))
    for i in range(f):
        for j in range(p):
            for k in range(f):
                by_cross[i, j] += s[i, k] * cross[k, j]
    for i in range(p):
        for j in range(p):
            for k in range(f):
                z[i, j] += cross[k, i] * by_cross[k, j]
    if not sweep(z, p):
        return False
    keep(at, rows, s, by_cross, z, parts, tangents)
    for j in range(p):
        value = parts[2][at[PATCH] + at[PORT] + n + j]
        for k in range(f):
            value += cross[k, j] * tangents[5][at[KNOWN] + k]
        tangents[7][at[PORT] + j] = value
    return True


@entry(f"int64(boolean[::1], {WHOLES}, {GIVEN}, {VECTOR}, {FOUND})")
def linearise(
    wanted: NDArray[np.bool_], offset: Numbers, parts: Parts, slope: Array, tangents: Tangents
) -> int:
    """Write the tangents of the crafts `wanted`; slope [S] of each patch. Returns a craft that failed, or -1."""
    for b in range(wanted.shape[0]):
        if wanted[b] and not craft_tangent(b, offset, parts, slope, tangents):
            return b
    return -1


@entry(f"UniTuple({VECTOR}, 2)({WHOLES}, {FOUND}, {VECTOR}, boolean)")
def forward(offset: Numbers, tangents: Tangents, drive: Array, whole: bool) -> tuple[Array, Array]:
    """M r (+ i0) and Z^-1 ((v0) - U'r) for r `drive`; what stands in brackets only if `whole`."""
    m, by_port, zi, _, _, _, i0, v0 = tangents
    current, push = np.empty(drive.shape[0]), np.zeros(v0.shape[0])
    for b in range(offset.shape[0] - 1):
        at, end = offset[b], offset[b + 1]
        n, p = end[PATCH] - at[PATCH], end[PORT] - at[PORT]
        for i in range(n):
            value = i0[at[PATCH] + i] if whole else 0.0
            for j in range(n):
                value += m[at[MM] + i * n + j] * drive[at[PATCH] + j]
            current[at[PATCH] + i] = value
        for j in range(p):
            volts = v0[at[PORT] + j] if whole else 0.0
            for i in range(n):
                volts -= by_port[at[LAG] + i * (n + p) + n + j] * drive[at[PATCH] + i]
            for i in range(p):
                push[at[PORT] + i] += zi[at[ZZ] + i * p + j] * volts
    return current, push


@entry(f"void({WHOLES}, {FOUND}, {VECTOR}, {VECTOR}, {VECTOR})")
def backward(offset: Numbers, tangents: Tangents, volts: Array, push: Array, current: Array) -> None:
    """Take port voltages x into account: `push` becomes w = push - Z^-1 x, `current` loses U w."""
    by_port, zi = tangents[1], tangents[2]
    for b in range(offset.shape[0] - 1):
        at, end = offset[b], offset[b + 1]
        n, p = end[PATCH] - at[PATCH], end[PORT] - at[PORT]
        for i in range(p):
            for j in range(p):
                push[at[PORT] + i] -= zi[at[ZZ] + i * p + j] * volts[at[PORT] + j]
        for j in range(p):
            for i in range(n):
                current[at[PATCH] + i] -= by_port[at[LAG] + i * (n + p) + n + j] * push[at[PORT] + j]


@entry(f"UniTuple({VECTOR}, 2)({WHOLES}, {GIVEN}, {FOUND}, {VECTOR}, {VECTOR}, {VECTOR}, {VECTOR})")
def polarise(
    offset: Numbers, parts: Parts, tangents: Tangents, drive: Array, current: Array, push: Array, field: Array
) -> tuple[Array, Array]:
    """Polarisation [V SHE] of the patches, and the crafts' unknowns u [V]."""
    lag, rise, alone = parts[0], parts[1], parts[2]
    v, q, u0 = tangents[3], tangents[4], tangents[5]
    at_patch, u = np.empty(drive.shape[0]), u0.copy()
    for b in range(offset.shape[0] - 1):
        at, end = offset[b], offset[b + 1]
        n, p, f = end[PATCH] - at[PATCH], end[PORT] - at[PORT], end[KNOWN] - at[KNOWN]
        for k in range(f):
            for i in range(n):
                u[at[KNOWN] + k] -= v[at[RISE] + i * f + k] * drive[at[PATCH] + i]
            for j in range(p):
                u[at[KNOWN] + k] -= q[at[RISE] + (n + j) * f + k] * push[at[PORT] + j]
        for i in range(n):
            value = alone[at[PATCH] + at[PORT] + i] - field[at[PATCH] + i]
            for k in range(f):
                value += rise[at[RISE] + i * f + k] * u[at[KNOWN] + k]
            row = at[LAG] + i * (n + p)
            for j in range(n):
                value -= lag[row + j] * current[at[PATCH] + j]
            for j in range(p):
                value -= lag[row + n + j] * push[at[PORT] + j]
            at_patch[at[PATCH] + i] = value
    return at_patch, u


@entry(f"UniTuple({VECTOR}, 2)({MATRIX}, {VECTOR})")
def laws(table: Array, potential: Array) -> tuple[Array, Array]:
    """Current density [A/m2] and slope [A/m2/V] of all patches; table as `kernel.laws` has it."""
    density, steep = np.empty(potential.shape[0]), np.empty(potential.shape[0])
    evaluate(table, potential, density, steep)
    return density, steep


@entry(f"{VECTOR}({WHOLES}, {MATRIX}, {VECTOR}, {WHOLE}, float64)")
def starts(offset: Numbers, table: Array, area: Array, group: Numbers, margin: float) -> Array:
    """Potentials [V SHE] at which each craft's bonded groups balance alone; groups numbered craft by craft."""
    patch = np.empty(area.shape[0])
    for b in range(offset.shape[0] - 1):
        i, j = offset[b, PATCH], offset[b + 1, PATCH]
        no_drop_start(table[i:j], area[i:j], group[i:j], patch[i:j], margin)
    return patch


@entry(f"{VECTOR}({WHOLES}, {WHOLE}, {VECTOR}, {VECTOR}, {VECTOR}, {VECTOR}, {VECTOR}, {VECTOR})")
def volts(
    offset: Numbers,
    rows: Numbers,
    by_u: Array,
    by_lag: Array,
    alone: Array,
    current: Array,
    push: Array,
    u: Array,
) -> Array:
    """Voltage [V] of the crafts' wet nodes, by `rows` before each craft (see `marina_craft.Reduced`)."""
    found = alone.copy()
    at_u = at_lag = 0
    for b in range(offset.shape[0] - 1):
        at, end = offset[b], offset[b + 1]
        n, p, f = end[PATCH] - at[PATCH], end[PORT] - at[PORT], end[KNOWN] - at[KNOWN]
        for row in range(rows[b], rows[b + 1]):
            value = found[row]
            for k in range(f):
                value += by_u[at_u + k] * u[at[KNOWN] + k]
            for j in range(n):
                value -= by_lag[at_lag + j] * current[at[PATCH] + j]
            for j in range(p):
                value -= by_lag[at_lag + n + j] * push[at[PORT] + j]
            found[row] = value
            at_u += f
            at_lag += n + p
    return found
