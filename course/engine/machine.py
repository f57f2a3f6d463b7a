"""A system handed to the compiled kernel, and its answer handed back as a Solution."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np

from course.engine.compiled import kernel
from course.engine.errors import Array
from course.engine.system import Solution, System

_KEPT = "kernel"


def kernel_for(system: System, work: int = 1) -> ModuleType | None:
    """The compiled kernel if it is to do `work` solves of `system`, or None: numpy is."""
    return kernel(system.law.size + system.network.size, work)


def run(
    machine: ModuleType,
    system: System,
    patch: Array | None,
    string: Array,
    store: Array | None = None,
    steps: int = 1,
    still: float = -1.0,
) -> tuple[Solution | None, int, bool]:
    """Solve `system`, or relax it by `steps`; see `kernel.newton.run`. No `patch`: from a start of the kernel's own.

    Returns the last solution (None: it did not settle), the number of steps, and whether the last was short.
    """
    kept = system.prepared.get(_KEPT) or _prepare(machine, system)
    transfer, circuit, diodes, area, member = kept
    n = area.shape[0]
    cold = patch is None
    found, taken, stands = machine.run(
        transfer,
        circuit,
        diodes,
        (system.law.table, area, member),
        np.zeros(n) if patch is None else patch.copy(),
        string.copy(),
        cold,
        np.zeros(n) if store is None else store,
        steps,
        still,
    )
    return (Solution(*found) if found[4] else None), taken, stands


def _prepare(machine: ModuleType, system: System) -> tuple[Any, ...]:
    tree = system.tree
    transfer, reach = _own(system.transfer), _own(system.reach)
    rows = _own(tree.diode_rows)
    circuit = machine.reduce(transfer, reach, _own(tree.basis), _own(tree.matrix), _own(tree.inflow), rows)
    diodes = (_own(tree.diode_current), _own(tree.diode_volts))
    kept = (transfer, circuit, diodes, _own(system.area), np.array(system.groups[0]))
    system.prepared[_KEPT] = kept
    return kept


def _own(values: Array) -> Array:
    """A copy of the one layout that the kernel is compiled for: rows in a row, and writable."""
    return np.array(values, dtype=np.float64, order="C")
