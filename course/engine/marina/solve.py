"""The solve of a marina: Newton on tangents craft by craft, conjugate gradients on what joins them in the water.

With the laws replaced by tangents, the crafts and the network between them answer potentials r by currents
A r + a (`marina.linear`, `marina.shore`); the water answers currents I of other crafts by potentials K I. So
I = A (g - K I) + a. A is positive and symmetric, and so is the sum of its inverse and K, the whole water:
conjugate gradients preconditioned by A converge in a few rounds, and every iterate balances its charge.
This module is compiled on import: `marina.solve_marina` is the way in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array, EngineError
from course.engine.marina import linear as loops
from course.engine.marina.marina import Marina
from course.engine.marina.shore import Factors
from course.engine.solve import FEW_VOLTS, NEAR, RESIDUAL, Leash, limited
from course.engine.start import MARGIN
from course.engine.system import Solution

ROUNDS = 120
INNER = 60  # rounds of conjugate gradients
COUPLE_BELOW = 0.05  # V: the other crafts' field waits until steps are this short
COUPLE_AGAIN = 0.02  # V: the same from a given start, where one craft has much to do and the others little
FINE, FINE_ON_GRID = (
    2e-11,
    1e-9,
)  # V: to which the field is found in the end; the grid itself errs by some 1e-8
SHORT = 1e-6  # V: after a step this short, laws obeyed and a field known finely are an answer
STALE, LATE = 2e-7, 1e-5  # V: a craft whose patches moved less keeps her slopes, once steps are under LATE
BEND = (
    2e-3  # V: before that, she keeps them while movement squared over this is under the next step looked for
)
STRING_CURRENT = 1e-12  # A: a diode string has settled when a step changes it by less


@dataclass
class State:
    """Where a solve stands: points of the tangents, field of other crafts [V], what is linearised there."""

    patch: Array
    string: Array
    field: Array
    slope: Array
    tangents: loops.Tangents
    stale: NDArray[np.bool_]
    moved: Array
    strings_moved: bool = True
    coupled: bool = False
    factors: Factors | None = None


@dataclass(frozen=True, eq=False)
class Answered:
    """Currents [A], port currents [A], shore voltages [V], and the field [V] they were found in."""

    current: Array
    push: Array
    shore: Array
    field: Array


def sought(last: float) -> float:
    """The step [V] that may follow one of `last` [V]: finer would be lost in the bend of the laws."""
    return min(0.1 * last, 10.0 * last**2)


class Newton:
    """One marina being solved."""

    def __init__(self, marina: Marina) -> None:
        self.marina = marina
        self.water, self.hulls, self.shore = marina.field, marina.wiring.hulls, marina.wiring.shore
        self.room = self.water.room()
        self.fine = FINE if self.water.grid is None else FINE_ON_GRID
        self.table = marina.table

    def begin(self, start: Solution | None) -> State:
        """Points to start from: an earlier solution, or every craft's groups at rest by themselves."""
        offset = self.hulls.offset
        n, p, f, squares, port_squares, lag, rise, _ = (int(k) for k in offset[-1])
        sizes = (squares, lag, port_squares, rise, rise, f, n, p)
        tangents = cast(loops.Tangents, tuple(np.zeros(size) for size in sizes))
        stale = np.ones(len(self.marina.crafts), dtype=np.bool_)
        if start is None:
            patch = loops.starts(offset, self.table, self.marina.area, self.hulls.group, MARGIN)
            string, field = np.zeros(self.shore.saturation.size), np.zeros(n)
        else:
            if start.polarisation.shape != (n,) or start.node_voltage.shape != (self.marina.shore.size,):
                raise EngineError(
                    "the start belongs to a marina with other patches or nodes; solve without it."
                )
            patch = start.polarisation.copy()
            string = self.shore.string_voltage(start.node_voltage[self.marina.wiring.shore_node])
            field = start.water_potential - self.water.own_potential(start.current)
        return State(patch, string, field, np.ones(n), tangents, stale, np.zeros(stale.size))

    def linearise(self, state: State) -> tuple[Array, Array, Factors]:
        """Densities [A/m2] at the points, what drives the patches [V], and the factorised shore."""
        density, steep = loops.laws(self.table, state.patch)
        fresh = np.repeat(state.stale, np.diff(self.hulls.offset[:, 0]))
        state.slope = np.where(fresh, self.marina.area * steep, state.slope)
        failed = loops.linearise(
            state.stale, self.hulls.offset, self.hulls.parts, state.slope, state.tangents
        )
        if failed >= 0:
            raise EngineError(f"the patches of craft {failed} stand too close together to be told apart.")
        if state.factors is None or state.strings_moved or bool(state.stale.any()):
            state.factors = self.shore.factorise(state.tangents[2], state.string)
        state.moved[state.stale] = 0.0
        ahead = self.marina.area * density / state.slope - state.patch
        return density, ahead + self.hulls.parts[2][self.hulls.on_patch], state.factors

    def respond(
        self, state: State, factors: Factors, drive: Array, whole: bool
    ) -> tuple[Array, Array, Array]:
        """Currents, port currents and shore voltages that `drive` [V] makes; without `whole`, of a change of it."""
        current, push = loops.forward(self.hulls.offset, state.tangents, drive, whole)
        right = self.shore.pushed(factors.slope, state.string) if whole else np.zeros(self.shore.size)
        right[self.shore.port] += push
        volts = factors.factor.solve(right)
        loops.backward(self.hulls.offset, state.tangents, volts[self.shore.port], push, current)
        return current, push, volts

    def couple(self, state: State, factors: Factors, drive: Array, enough: float) -> Answered:
        """Solve the tangents' equations until the field is consistent to `enough` [V]."""
        current, push, shore = self.respond(state, factors, drive - state.field, True)
        field = self.water.apply(current, self.room)
        lack = state.field - field
        if np.abs(lack).max() <= enough:
            return Answered(current, push, shore, state.field)
        step, _, _ = self.respond(state, factors, lack, False)
        back, product = lack.copy(), float(lack @ step)
        for _ in range(INNER):
            reached = self.water.apply(step, self.room)
            image = back + reached
            length = product / float(step @ image)
            field, lack = field + length * reached, lack - length * image
            if np.abs(lack).max() <= enough:
                break
            turned, _, _ = self.respond(state, factors, lack, False)
            before, product = product, float(lack @ turned)
            step, back = turned + product / before * step, lack + product / before * back
        used = field + lack
        return Answered(*self.respond(state, factors, drive - used, True), used)

    def run(self, state: State, threshold: float) -> Solution | None:
        """Newton to the tolerances of `solve`; None if it does not settle. The field waits for `threshold` [V]."""
        offset, parts = self.hulls.offset, self.hulls.parts
        last, leash = 1.0, Leash(state.patch.size)
        for count in range(1, ROUNDS + 1):
            density, drive, factors = self.linearise(state)
            enough = max(self.fine, sought(last))
            if state.coupled:
                found = self.couple(state, factors, drive, enough)
            else:
                found = Answered(*self.respond(state, factors, drive - state.field, True), state.field)
            at, u = loops.polarise(
                offset, parts, state.tangents, drive - found.field, found.current, found.push, found.field
            )
            if not np.isfinite(at).all():
                return None
            last, still = self.move(state, at, density, found.shore, leash, count)
            if state.coupled and still and enough == self.fine:
                residual = self.residual(state, found.current)
                if residual <= RESIDUAL:
                    return self.told(found, at, u, count, residual)
            state.coupled = state.coupled or last < threshold
            state.field = found.field
        return None

    def move(
        self, state: State, at: Array, density: Array, shore: Array, leash: Leash, count: int
    ) -> tuple[float, bool]:
        """Move the points by limited steps; the largest step asked for [V], and whether all stand nearly still."""
        step = at - state.patch
        last, flow = float(np.abs(step).max()), 0.0
        largest, state.strings_moved = last, False
        string_step = self.shore.string_voltage(shore) - state.string
        if string_step.size:
            flow = float(np.abs(self.shore.diode_terms(state.string)[1] * string_step).max())
            state.string = state.string + limited(string_step, self.shore.volts)
            state.strings_moved = bool((np.abs(string_step) > SHORT * self.shore.volts).any())
            if flow > STRING_CURRENT:
                largest = max(last, float(np.abs(string_step).max()))
        if last > NEAR:
            step = leash.shorten(step, density, state.slope / self.marina.area, count)
        state.patch = state.patch + step
        state.moved = state.moved + np.maximum.reduceat(np.abs(step), self.hulls.offset[:-1, 0])
        state.stale = state.moved > (STALE if last < LATE else math.sqrt(BEND * sought(last)))
        return largest, last <= SHORT and flow <= STRING_CURRENT

    def residual(self, state: State, current: Array) -> float:
        """The largest relative residual of the laws, as `solve` measures it."""
        area = self.marina.area
        density, steep = loops.laws(self.table, state.patch)
        return float((np.abs(current - area * density) / (np.abs(current) + area * steep * FEW_VOLTS)).max())

    def told(self, found: Answered, at: Array, u: Array, count: int, residual: float) -> Solution:
        """The answer for every patch and node."""
        size = self.marina.shore.size
        volts = self.marina.wiring.node_voltages(size, found.current, found.push, u, found.shore)
        return Solution(volts[self.marina.patch_node] - at, volts, at, found.current, count, residual)


def settle(marina: Marina, start: Solution | None) -> Solution | None:
    """Solve from `start`, then from rest; None where neither settles."""
    newton = Newton(marina)
    found = newton.run(newton.begin(start), COUPLE_AGAIN) if start is not None else None
    return found or newton.run(newton.begin(None), COUPLE_BELOW)
