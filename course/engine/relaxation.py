"""Minutes after a switch: potentials that lag behind, by one backward-Euler step at a time.

A declared first-order model: each patch carries a pseudo-capacitance C [F/m2] that must be charged through
its own circuit, so that j(E) becomes j(E) + C dE/dt. Backward Euler turns that into a storage term C/dt (E -
E_before): the same convex solve, stable at any step.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import require, require_array
from course.engine.machine import kernel_for, run
from course.engine.solve import point_of, solve
from course.engine.system import Solution, System


def relax(
    system: System,
    polarisation: ArrayLike,
    capacitance: ArrayLike,
    seconds: float,
    start: Solution | None = None,
) -> Solution:
    """One step of `seconds` [s, 1e-3 to 1e9] from `polarisation` [V SHE] (n,) with `capacitance` [F/m2] (n,).

    The solution's current includes what charges the patches; its polarisation is the next step's. Pass the
    last step's solution as `start`. A long step tends to the steady solution. Raises OutOfRange or
    EngineError.
    """
    return relax_steps(system, polarisation, capacitance, seconds, 1, start=start)[0]


def relax_steps(
    system: System,
    polarisation: ArrayLike,
    capacitance: ArrayLike,
    seconds: float,
    steps: int,
    still: float = 0.0,
    start: Solution | None = None,
) -> tuple[Solution, bool]:
    """Up to `steps` (1 to 1e6) equal steps of `relax`, ended after one in which no patch moved by `still` [V].

    Returns the last step's solution, and whether it was as short as that. Raises as `relax` does.
    """
    n = (system.law.size,)
    before = require_array("polarisation of patch", polarisation, "V SHE", -100.0, 100.0, n)
    store = require_array("capacitance of patch", capacitance, "F/m2", 0.0, 1e7, n) / require(
        "time step", seconds, "s", 1e-3, 1e9
    )
    left = int(require("number of steps", steps, "", 1, 1_000_000))
    begin = None if start is None else point_of(system, start)
    machine = kernel_for(system, left)
    if machine is not None:
        string = np.zeros(len(system.network.diodes)) if begin is None else begin.string
        found, _, stands = run(machine, system, before, string, store, left, still)
        if found is not None:
            return found, stands
    last = start
    for _ in range(left):
        charged = system.with_law(system.law.with_storage(store, before))
        last = solve(charged, last)
        moved = float(np.abs(last.polarisation - before).max())
        before = last.polarisation
        if moved < still:
            return last, True
    assert last is not None
    return last, False


def settle(
    system: System, polarisation: ArrayLike, capacitance: ArrayLike, times: ArrayLike
) -> tuple[Solution, ...]:
    """Solutions at each of the increasing `times` [s], a backward-Euler step from each to the next."""
    marks = require_array("time", times, "s", 0.0, 1e12)
    before = np.asarray(polarisation, dtype=np.float64)
    found: list[Solution] = []
    last: Solution | None = None
    for seconds in np.diff(marks, prepend=0.0):
        last = relax(system, before, capacitance, float(seconds), last)
        before = last.polarisation
        found.append(last)
    return tuple(found)
