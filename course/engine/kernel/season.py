"""The compiled kernel through the seasons: laws of the water, circuit and balance of one moment in one pass.

Import through `course.engine.compiled` only.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import entry
from course.engine.kernel.laws import no_drop_start
from course.engine.kernel.newton import MATRIX, REDUCED, VECTOR, WHOLE, Diodes, Reduced, newton, reduce
from course.engine.kernel.terms import water_row, write_law
from course.engine.start import MARGIN

__all__ = ["balance", "reduce"]

PATCHES = f"Tuple(({MATRIX}, {WHOLE}, {VECTOR}, {WHOLE}))"
FOUND = f"Tuple((boolean, {VECTOR}, {VECTOR}, {VECTOR}))"
CIRCUIT = f"Tuple(({REDUCED})), UniTuple({VECTOR}, 2)"


@entry(f"{FOUND}({VECTOR}, {PATCHES}, {MATRIX}, {CIRCUIT}, {VECTOR}, {VECTOR}, boolean)")
def balance(
    water: Array,
    patches: tuple[Array, NDArray[np.int64], Array, NDArray[np.int64]],
    transfer: Array,
    circuit: Reduced,
    diodes: Diodes,
    patch: Array,
    string: Array,
    cold: bool,
) -> tuple[bool, Array, Array, Array]:
    """Balance patches, twin of `seasons._Crew._by_numpy`; whether it settled, polarisation, current, and dissolution [A].

    `water` (6,) as in `terms.water_row`; `patches` are the metals (k, 15), which of them each patch is, areas [m2] and
    bonded groups; `transfer` [ohm] in this water, and `circuit` as `reduced` without any. `patch` and `string` are where
    Newton begins, and are moved; a cold start is the kernel's own.
    """
    metals, kind, area, member = patches
    n = area.shape[0]
    laws = np.empty((metals.shape[0], 17))
    write_law(metals, water_row(water), laws)
    table = laws[kind]
    if cold:
        no_drop_start(table, area, member, patch, MARGIN)
    _, b, v0, y, inflow, strings, at_node, by_current, alone = circuit
    wet = (transfer + circuit[0], b, v0, y, inflow, strings, at_node, by_current, alone)
    count, _, current, _, polarisation = newton(wet, diodes, table, area, patch, string)
    loss = np.zeros(n)
    for k in range(n):
        for r in range(2):
            below = (table[k, r] - polarisation[k]) * table[k, 5 + r]
            loss[k] += area[k] * table[k, 10 + r] / (1.0 + math.exp(below))
    return count > 0, polarisation, current, loss
