"""The one solve: patches, water and conductors in balance.

Unknowns are the patch currents I (n,), with water potentials R I, and the tree voltages u (m,) of the
network:

    I = A j(B u - R I),    Y u + B'I + diodes(u) = inflow

the stationary point of a strictly convex function, so there is exactly one answer. Plain Newton stalls on
twenty decades of exponentials; this is Newton on companion linearisations as circuit simulators do it: the
point at which each patch and diode string is linearised moves by limited steps, apart from the linear
solution. A patch that swings to and fro is held shorter: without that, circuits with a strong stray source
fall into cycles of six.
"""

from __future__ import annotations

import math

import numpy as np

from course.engine.companion import Kept, Point, chord_step, tangent_step
from course.engine.energy import descend
from course.engine.errors import Array, EngineError, NotConverged
from course.engine.machine import kernel_for, run
from course.engine.start import no_drop_start
from course.engine.system import Solution, System

STEP = 1e-10  # V
RESIDUAL = 1e-11  # relative
ROUNDS = 200
DAMP_AFTER, DAMP, FREE_EVERY = 40, 0.4, 8
NEAR = 0.02  # V: steps this short pass as they are
TIGHTEN, LOOSEN = 0.6, 1.5  # leash of a patch that turned back, and of one that did not
SHORTEST, LONGEST = 0.015, 0.1  # V: bounds of the scale at which a patch's step is shortened
FEW_VOLTS = 0.025  # V: scale of a law's value over its slope
MANY = 60  # patches from which a factorisation is dear beside an evaluation of the laws
CHORD, GAINS = 2e-3, 0.25  # V: last step under which the factors are used again, while each gains a factor 4


def solve(system: System, start: Solution | None = None) -> Solution:
    """Solve `system`; `start` is an earlier solution of a like system (same patches and nodes).

    A small system is solved by the compiled kernel once that is ready (`compiled`), any other by plain numpy: the
    same iteration. Stops when the last step is under 1e-10 V and every patch obeys its law to 1e-11 relative. Raises
    NotConverged, saying what was tried, or EngineError for a start of another size. Never returns a nan.
    """
    found, point = None, None
    if start is not None:
        point = point_of(system, start)
    machine = kernel_for(system)
    if machine is not None:
        string = np.zeros(len(system.network.diodes)) if point is None else point.string
        found, _, _ = run(machine, system, None if point is None else point.patch, string)
    if found is None and point is not None:
        found = iterate(system, point)
    if found is None:
        point = Point(no_drop_start(system), np.zeros(len(system.network.diodes)))
        found = iterate(system, point) or _rescue(system, point)
    if found is None:
        raise NotConverged(
            f"the circuit of {system.law.size} patches and {system.network.size} nodes did not settle; tried "
            f"{'the given start, ' if start is not None else ''}{ROUNDS} limited Newton steps from rest "
            "potentials, an energy line search, and the limited steps again."
        )
    return found


def point_of(system: System, start: Solution) -> Point:
    """The linearisation point of an earlier solution. Raises EngineError if it is of another size."""
    size, nodes = system.area.shape, start.node_voltage
    if start.polarisation.shape != size or nodes.shape != (system.network.size,):
        raise EngineError("the start belongs to a system with other patches or nodes; solve without it.")
    return Point(start.polarisation, np.array([nodes[d[0]] - nodes[d[1]] for d in system.network.diodes]))


def _rescue(system: System, point: Point) -> Solution | None:
    lower = descend(system, point)
    return None if lower is None else iterate(system, lower)


def limited(step: Array, scale: Array) -> Array:
    """Let steps of up to 2 `scale` pass and shorten longer ones logarithmically."""
    size = np.abs(step) / scale
    if size.max(initial=0.0) <= 2.0:
        return step
    short = scale * (2.0 + np.log1p(np.maximum(size - 2.0, 0.0)))
    return np.where(size > 2.0, np.copysign(short, step), step)


class Leash:
    """Shortens the steps of each patch: logarithmically, and further while the patch swings to and fro."""

    def __init__(self, size: int) -> None:
        self.hold: Array = np.ones(size)
        self.last: Array = np.zeros(size)

    def shorten(self, step: Array, density: Array, steep: Array, count: int) -> Array:
        """The step [V] to take for `step`, at laws of `density` and slope `steep`, in round `count`."""
        scale = np.minimum(np.maximum(np.abs(density) / steep, SHORTEST), LONGEST)
        short = limited(step, scale)
        far = np.abs(short) > NEAR
        turned = far & (short * self.last < 0.0)
        self.hold = np.where(turned, TIGHTEN * self.hold, np.minimum(1.0, LOOSEN * self.hold))
        short = np.where(far, self.hold * short, short)
        if count > DAMP_AFTER and count % FREE_EVERY:
            short = np.where(far, DAMP * short, short)
        self.last = short
        return short


def iterate(system: System, point: Point, rounds: int = ROUNDS) -> Solution | None:
    """Companion Newton from `point`, left where it ends. None if it does not settle."""
    law, area, tree = system.law, system.area, system.tree
    leash = Leash(area.shape[0])
    keep: list[Kept] | None = [] if area.shape[0] > MANY and not point.string.size else None
    cheap, before = False, math.inf
    density, steep = law.evaluate(point.patch)
    for count in range(1, rounds + 1):
        if keep and cheap:
            found: tuple[Array, Array] | None = chord_step(system, point, density, keep[0])
        else:
            found = tangent_step(system, point, density, steep, keep)
        if found is None:
            return None
        current, u = found
        water = system.transfer @ current
        polarisation = system.reach @ u - water
        step = polarisation - point.patch
        largest = float(np.abs(step).max())
        if point.string.size:
            string_step = tree.diode_rows @ u - point.string
            largest = max(largest, float(np.abs(string_step).max()))
            point.string = point.string + limited(string_step, tree.diode_volts)
        if not largest < 1e30:  # catches nan as well
            return None
        if largest > NEAR:
            step = leash.shorten(step, density, steep, count)
        cheap, before = largest < (min(CHORD, GAINS * before) if cheap else CHORD), largest
        point.patch = point.patch + step
        density, steep = law.evaluate(point.patch)
        if largest <= STEP:
            size = np.abs(current) + area * steep * FEW_VOLTS
            residual = float((np.abs(current - area * density) / size).max())
            if residual <= RESIDUAL:
                return Solution(water, tree.basis @ u, polarisation, current, count, residual)
    return None
