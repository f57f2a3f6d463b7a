"""The convex function behind the solve, and a line search on it: the fallback of `solve`.

    F(q, u) = 1/2 q'R q + 1/2 u'Y u - inflow'u + sum A Psi(B u - R q) + diode co-content

Psi is the co-content of the electrode laws (Psi' = j). F is strictly convex, and its only stationary point
has q = A j(B u - R q): the solution.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from course.engine.companion import Point, diode_terms, tangent_step
from course.engine.electrode import STRAIGHT_FROM
from course.engine.errors import Array
from course.engine.system import System

ROUNDS = 400
ARMIJO = 1e-4
HALVINGS = 60
CLOSE = 1e-6  # V: near enough for the limited iteration to finish


@dataclass
class State:
    """Currents q (n,) A and tree voltages u (m,) V, with what follows from them."""

    system: System
    current: Array
    tree_voltage: Array

    @property
    def point(self) -> Point:
        """The polarisations and string voltages of this state."""
        patch = self.system.reach @ self.tree_voltage - self.system.transfer @ self.current
        return Point(patch, self.system.tree.diode_rows @ self.tree_voltage)

    def energy(self) -> float:
        """F [W]."""
        system, u, q, at = self.system, self.tree_voltage, self.current, self.point
        wires = 0.5 * u @ (system.tree.matrix @ u) - system.tree.inflow @ u
        water = 0.5 * q @ (system.transfer @ q)
        patches = system.area @ system.law.cocontent(at.patch)
        return float(wires + water + patches) + _strings(system, at.string)

    def slope(self, move: Array, turn: Array) -> float:
        """Derivative of F along a change `move` of q and `turn` of u [W]."""
        system, u, at = self.system, self.tree_voltage, self.point
        drawn = system.area * system.law.evaluate(at.patch)[0]
        along_u = system.tree.matrix @ u - system.tree.inflow + system.reach.T @ drawn
        if at.string.size:
            along_u = along_u + system.tree.diode_rows.T @ diode_terms(system, at.string)[0]
        return float(move @ (system.transfer @ (self.current - drawn)) + turn @ along_u)


def _strings(system: System, at: Array) -> float:
    if at.size == 0:
        return 0.0
    tree = system.tree
    x = at / tree.diode_volts
    capped = np.minimum(x, STRAIGHT_FROM)
    over = x - capped
    rise = np.exp(capped) * (1.0 + over * (1.0 + 0.5 * over))
    return float((tree.diode_current * tree.diode_volts * (rise - x)).sum())


def descend(system: System, start: Point) -> Point | None:
    """Damped Newton on F from the linear solution at `start`.

    Returns linearisation points near the answer, or None where the linear algebra fails.
    """
    first = tangent_step(system, start, *system.law.evaluate(start.patch))
    if first is None:
        return None
    state = State(system, *first)
    for _ in range(ROUNDS):
        at = state.point
        found = tangent_step(system, at, *system.law.evaluate(at.patch))
        if found is None:
            return None
        move, turn = found[0] - state.current, found[1] - state.tree_voltage
        shift = float(np.abs(system.reach @ turn - system.transfer @ move).max())
        lower = _search(state, move, turn) if shift >= CLOSE else None
        if lower is None:
            return at
        state = lower
    return state.point


def _search(state: State, move: Array, turn: Array) -> State | None:
    """The first halving of the step that lowers F enough; None when none does."""
    here, slope, factor = state.energy(), state.slope(move, turn), 1.0
    for _ in range(HALVINGS):
        trial = State(state.system, state.current + factor * move, state.tree_voltage + factor * turn)
        if trial.energy() <= here + ARMIJO * factor * slope:
            return trial
        factor *= 0.5
    return None
