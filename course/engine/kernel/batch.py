"""The compiled kernel over many boats: laws, tree, reduction and Newton for each, in one pass.

Import through `course.engine.compiled` only.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import entry
from course.engine.kernel.laws import no_drop_start
from course.engine.kernel.linear import eliminate
from course.engine.kernel.newton import newton, reduced, told
from course.engine.kernel.terms import water_row, write_law
from course.engine.kernel.tree import bonded, plant
from course.engine.start import MARGIN

Numbers = NDArray[np.int64]
ROWS, CUBE, PAIRS = "float64[:,:]", "float64[:,:,:]", "int64[:,::1]"
PHYSICS = f"Tuple(({CUBE}, float64[:], {ROWS}, {CUBE}, {ROWS}, int64[::1]))"
WIRING = f"Tuple((int64, int64, {PAIRS}, {ROWS}, {ROWS}, {PAIRS}, {ROWS}, {ROWS}))"
ANSWERS = "Tuple((float64[:,::1], float64[:,::1], float64[:,::1], float64[:,::1], int64[::1], float64[::1]))"


@entry(f"void(int64, int64, {PHYSICS}, {WIRING}, {ANSWERS})")
def solve_boats(
    begin: int,
    end: int,
    physics: tuple[Array, Array, Array, Array, Array, Numbers],
    wiring: tuple[int, int, Numbers, Array, Array, Numbers, Array, Array],
    answers: tuple[Array, Array, Array, Array, Numbers, Array],
) -> None:
    """Solve boats `begin` to `end` of a batch into `answers`; see `batch.Batch` for what the arrays hold.

    A count of 0 says that a boat did not settle, or cannot be.
    """
    transfers, conductivity, areas, metals, waters, node = physics
    size, wires, ends, conductance, emf, strings, saturation, volts = wiring
    n = node.shape[0]
    for b in range(begin, end):
        table, patch, string = np.empty((n, 17)), np.empty(n), np.zeros(strings.shape[0])
        answers[4][b] = 0
        area, transfer = areas[b].copy(), transfers[b] / conductivity[b]
        if not (write_law(metals[b], water_row(waters[b]), table) and eliminate(transfer.copy(), n, 0)):
            continue
        basis, matrix, inflow, rows = plant(size, ends, conductance[b], emf[b], strings, node)
        reach = basis[node]
        circuit = reduced(transfer, reach, basis, matrix, inflow, rows)
        no_drop_start(table, area, bonded(size, ends, conductance[b], wires, node), patch, MARGIN)
        diodes = (saturation[b].copy(), volts[b].copy())
        found = told(transfer, circuit, newton(circuit, diodes, table, area, patch, string))
        answers[0][b], answers[1][b], answers[2][b], answers[3][b] = found[0], found[1], found[2], found[3]
        answers[4][b], answers[5][b] = found[4], found[5]
