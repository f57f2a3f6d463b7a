"""Minutes after a switch: potentials that lag behind, by one backward-Euler step at a time.

A declared first-order model: each patch carries a pseudo-capacitance C [F/m2] that must be charged through
its own circuit, so that j(E) becomes j(E) + C dE/dt. Backward Euler turns that into a storage term C/dt (E -
E_before): the same convex solve, stable at any step.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import require, require_array
from course.engine.solve import solve
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
    n = (system.law.size,)
    before = require_array("polarisation of patch", polarisation, "V SHE", -100.0, 100.0, n)
    store = require_array("capacitance of patch", capacitance, "F/m2", 0.0, 1e7, n)
    require("time step", seconds, "s", 1e-3, 1e9)
    charged = system.with_law(system.law.with_storage(store / seconds, before))
    return solve(charged, start)


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
