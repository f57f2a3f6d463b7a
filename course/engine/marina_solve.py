"""The solve of a marina: Newton on tangents craft by craft, conjugate gradients on what joins them in the water.

With the laws replaced by tangents, the crafts and the network between them answer potentials r by currents
A r + a (`marina_linear`, `marina_shore`); the water answers currents I of other crafts by potentials K I. So
I = A (g - K I) + a. A is positive and symmetric, and so is the sum of its inverse and K, the whole water:
conjugate gradients preconditioned by A converge in a few rounds, and every iterate balances its charge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from course.engine.errors import Array, EngineError, NotConverged
from course.engine.marina import Marina
from course.engine.marina_field import Field
from course.engine.marina_shore import Factors
from course.engine.marina_wiring import Wiring
from course.engine.solve import FEW_VOLTS, NEAR, RESIDUAL, STEP, Leash, limited
from course.engine.start import MARGIN
from course.engine.system import Solution

ROUNDS = 120
INNER = 60  # rounds of conjugate gradients
COUPLE_BELOW = 0.05  # V: the other crafts' field waits until steps are this short
FINE = 1e-12  # V: to which the field is found in the end
STALE = 2e-4  # V: a craft whose patches moved less keeps her tangents' slopes
STRING_CURRENT = 1e-12  # A: a diode string has settled when a step changes it by less
Tangents = tuple[Array, ...]


@dataclass
class State:
    """Where a solve stands: points of the tangents, field of other crafts [V], what is linearised there."""

    patch: Array
    string: Array
    field: Array
    slope: Array
    tangents: Tangents
    stale: Array
    coupled: bool
    factors: Factors | None = None
    strings_moved: bool = True


@dataclass(frozen=True, eq=False)
class Answered:
    """Currents [A], port currents [A], shore voltages [V], and the field [V] they were found in."""

    current: Array
    push: Array
    shore: Array
    field: Array


class Newton:
    """One marina being solved."""

    def __init__(self, marina: Marina) -> None:
        self.marina = marina
        self.water: Field = marina.field
        self.wiring: Wiring = marina.wiring
        self.room = self.water.room()
        self.table = marina.table
        n, p, f, mm, zz, lag, rise, _ = (int(k) for k in self.wiring.hulls.offset[-1])
        self.shapes = (mm, lag, zz, rise, rise, f, n, p)

    def respond(
        self, state: State, factors: Factors, drive: Array, whole: bool
    ) -> tuple[Array, Array, Array]:
        """Currents, port currents and shore voltages that `drive` [V] on the patches makes (see the module)."""
        from course.engine import marina_linear as loops

        offset, shore = self.wiring.hulls.offset, self.wiring.shore
        current, push = loops.forward(offset, state.tangents, drive, whole)  # type: ignore[arg-type]
        right = shore.pushed(factors.slope, state.string) if whole else np.zeros(shore.size)
        right[shore.port] += push
        volts = factors.factor.solve(right)
        loops.backward(offset, state.tangents, volts[shore.port], push, current)  # type: ignore[arg-type]
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
            current, field, lack = current + length * step, field + length * reached, lack - length * image
            if np.abs(lack).max() <= enough:
                break
            turned, _, _ = self.respond(state, factors, lack, False)
            before, product = product, float(lack @ turned)
            step, back = turned + product / before * step, lack + product / before * back
        used = field + lack
        return Answered(*self.respond(state, factors, drive - used, True), used)

    def linearise(self, state: State) -> tuple[Array, Array, Factors]:
        """Densities [A/m2] at the points, what drives the patches [V], and the factorised shore."""
        from course.engine import marina_linear as loops

        wiring = self.wiring
        density, steep = loops.laws(self.table, state.patch)
        fresh = np.repeat(state.stale, np.diff(wiring.hulls.offset[:, 0]))
        state.slope = np.where(fresh, self.marina.area * steep, state.slope)
        failed = loops.linearise(
            state.stale, wiring.hulls.offset, wiring.hulls.parts, state.slope, state.tangents
        )  # type: ignore[arg-type]
        if failed >= 0:
            raise EngineError(f"the patches of craft {failed} stand too close together to be told apart.")
        ahead = self.marina.area * density / state.slope - state.patch
        if state.factors is None or state.stale.any() or state.strings_moved:
            state.factors = wiring.shore.factorise(state.tangents[2], state.string)
        return density, ahead + wiring.hulls.parts[2][wiring.hulls.on_patch], state.factors

    def begin(self, start: Solution | None) -> State:
        """Points to start from: an earlier solution, or every craft's groups at rest by themselves."""
        from course.engine import marina_linear as loops

        wiring, n = self.wiring, self.marina.area.size
        tangents = tuple(np.zeros(size) for size in self.shapes)
        stale = np.ones(len(self.marina.crafts), dtype=bool)
        if start is None:
            patch = loops.starts(
                wiring.hulls.offset, self.table, self.marina.area, wiring.hulls.group, MARGIN
            )
            string = np.zeros(wiring.shore.saturation.size)
            return State(patch, string, np.zeros(n), np.ones(n), tangents, stale, False)
        if start.polarisation.shape != (n,) or start.node_voltage.shape != (self.marina.shore.size,):
            raise EngineError("the start belongs to a marina with other patches or nodes; solve without it.")
        string = wiring.shore.string_voltage(start.node_voltage[wiring.shore_node])
        field = self.water.apply(start.current, self.room)
        return State(start.polarisation.copy(), string, field, np.ones(n), tangents, stale, True)

    def run(self, state: State) -> Solution | None:
        """Newton to the tolerances of `solve`; None if it does not settle."""
        from course.engine import marina_linear as loops

        wiring, last, leash = self.wiring, 1.0, Leash(state.patch.size)
        for count in range(1, ROUNDS + 1):
            density, drive, factors = self.linearise(state)
            if state.coupled:
                answered = self.couple(state, factors, drive, max(FINE, min(0.1 * last, last**2)))
            else:
                answered = Answered(*self.respond(state, factors, drive - state.field, True), state.field)
            polarisation, u = loops.polarise(
                wiring.hulls.offset,
                wiring.hulls.parts,
                state.tangents,
                drive - answered.field,
                answered.current,
                answered.push,
                answered.field,
            )  # type: ignore[arg-type]
            if not np.isfinite(polarisation).all():
                return None
            last, settled = self.move(state, polarisation, density, answered.shore, leash, count)
            if state.coupled and settled:
                residual = self.residual(state, answered.current)
                if residual <= RESIDUAL:
                    return self.told(answered, polarisation, u, count, residual)
            state.coupled = state.coupled or last < COUPLE_BELOW
            state.field = answered.field
        return None

    def move(
        self, state: State, polarisation: Array, density: Array, shore: Array, leash: Leash, count: int
    ) -> tuple[float, bool]:
        """Move the points by limited steps; the largest step asked for [V], and whether all have settled."""
        step = polarisation - state.patch
        last = float(np.abs(step).max())
        network = self.wiring.shore
        string_step = network.string_voltage(shore) - state.string
        if string_step.size:
            _, slope = network.diode_terms(state.string)
            flow = float(np.abs(slope * string_step).max())
            state.string = state.string + limited(string_step, network.volts)
            state.strings_moved = bool((np.abs(string_step) > STALE * network.volts).any())
        else:
            flow, state.strings_moved = 0.0, False
        largest = max(last, float(np.abs(string_step).max(initial=0.0)) if flow > STRING_CURRENT else 0.0)
        if last > NEAR:
            step = leash.shorten(step, density, state.slope / self.marina.area, count)
        state.patch = state.patch + step
        by_craft = np.maximum.reduceat(np.abs(step), self.wiring.hulls.offset[:-1, 0])
        state.stale = by_craft > STALE
        return largest, last <= STEP and flow <= STRING_CURRENT

    def residual(self, state: State, current: Array) -> float:
        """The largest relative residual of the laws, as `solve` measures it."""
        from course.engine import marina_linear as loops

        area = self.marina.area
        density, steep = loops.laws(self.table, state.patch)
        return float((np.abs(current - area * density) / (np.abs(current) + area * steep * FEW_VOLTS)).max())

    def told(
        self, answered: Answered, polarisation: Array, u: Array, count: int, residual: float
    ) -> Solution:
        """The answer for every patch and node."""
        size = self.marina.shore.size
        volts = self.wiring.node_voltages(size, answered.current, answered.push, u, answered.shore)
        metal = volts[self.marina.patch_node]
        return Solution(metal - polarisation, volts, polarisation, answered.current, count, residual)


def solve_marina(marina: Marina, start: Solution | None = None) -> Solution:
    """Solve `marina`; `start` is an earlier solution of a like one (same patches and nodes).

    Patches and nodes are those of `Marina.system()`, whose dense `solve` finds the same answer but for what the
    grid errs by in the far field, some 1e-6 of it. Raises NotConverged, EngineError. Never returns a nan.
    """
    newton = Newton(marina)
    found = newton.run(newton.begin(start))
    if found is None and start is not None:
        found = newton.run(newton.begin(None))
    if found is None:
        raise NotConverged(
            f"the marina of {len(marina.crafts)} crafts and {marina.area.size} patches did not settle; tried "
            f"{'the given start and ' if start is not None else ''}{ROUNDS} limited Newton steps from rest potentials."
        )
    return found
