"""A system handed to the compiled kernel, and its answer handed back as a Solution."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.engine.compiled import kernel
from course.engine.errors import Array
from course.engine.system import Solution, System
from course.engine.water import Water

_KEPT = "kernel"
Balance = tuple[Array, Array, Array]


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
    transfer = _own(system.transfer)
    kept = (transfer, *_circuit(machine, system, transfer), _own(system.area), np.array(system.groups[0]))
    system.prepared[_KEPT] = kept
    return kept


def _circuit(machine: ModuleType, system: System, transfer: Array) -> tuple[Any, Any]:
    """The circuit as the kernel knows it, reduced, and its diodes."""
    tree, reach, rows = system.tree, _own(system.reach), _own(system.tree.diode_rows)
    circuit = machine.reduce(transfer, reach, _own(tree.basis), _own(tree.matrix), _own(tree.inflow), rows)
    return circuit, (_own(tree.diode_current), _own(tree.diode_volts))


class Balancer:
    """Patches on one circuit, balanced again and again by the kernel of the seasons as water, areas and transfer change.

    `template` is a system of theirs, `metals` (k, 15) are rows of `batch.kinetics_table`, and `kind` (n,) says which each is.
    """

    def __init__(self, machine: ModuleType, template: System, metals: Array, kind: NDArray[np.int64]) -> None:
        self.machine, self.metals, self.kind = machine, metals, kind
        self.member = np.array(template.groups[0])
        self.circuit, self.diodes = _circuit(machine, template, np.zeros_like(template.transfer))
        self.begun: dict[int, tuple[Array, Array]] = {}

    def balance(self, number: int, water: Water, area: Array, transfer: Array) -> Balance | None:
        """Polarisation [V SHE], current [A] and dissolution [A] of each patch (n,), or None where they do not settle.

        Newton begins where it ended at the last balance of that `number`.
        """
        cold = number not in self.begun
        if cold:
            self.begun[number] = np.zeros(area.size), np.zeros(self.diodes[0].size)
        row = np.array([water.temperature, water.salinity, water.flow, water.ph, water.density, water.oxygen])
        patches = (self.metals, self.kind, area, self.member)
        settled, *found = self.machine.balance(
            row, patches, transfer, self.circuit, self.diodes, *self.begun[number], cold
        )
        if not settled:
            del self.begun[number]
            return None
        return found[0], found[1], found[2]


def _own(values: Array) -> Array:
    """A copy of the one layout that the kernel is compiled for: rows in a row, and writable."""
    return np.array(values, dtype=np.float64, order="C")
