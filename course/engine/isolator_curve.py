"""A galvanic isolator by itself: current against voltage in each of its states, and what alternating leakage does."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from course.engine.conductors import isolator
from course.engine.constants import BOLTZMANN_OVER_CHARGE, ZERO_CELSIUS
from course.engine.electrode import STRAIGHT_FROM
from course.engine.errors import Array, EngineError, require, require_array
from course.engine.shore import BYPASS, FUSED, IsolatorState, biased_resistance

WARM = ZERO_CELSIUS + 25.0  # K, of the junctions


def isolator_current(volts: ArrayLike, state: IsolatorState = "healthy", leakage: float = 0.0) -> Array:
    """Direct current [A] through an isolator at `volts` [V, +-20] across it.

    healthy: two antiparallel strings of `conductors.isolator` (Shockley, continued by the tangent past argument 25), and
    with alternating `leakage` [A rms, 0 to 20] the path that `shore.isolator_under_leakage` adds. failed short and
    bypassed: a small resistance. failed open: nothing. Raises OutOfRange or EngineError.
    """
    at = require_array("voltage across the isolator", volts, "V", -20.0, 20.0)
    require("alternating leakage current", leakage, "A", 0.0, 20.0)
    if state in ("failed short", "bypassed"):
        return at / (FUSED if state == "failed short" else BYPASS)
    if state == "failed open":
        return np.zeros_like(at)
    if state != "healthy":
        raise EngineError(f"an isolator cannot be {state!r}.")
    there, back = isolator(0, 1)
    found = _string(at, *there[2:]) - _string(-at, *back[2:])
    added = 1.0 / biased_resistance(leakage) - 1.0 / biased_resistance(0.0)
    return np.asarray(found + added * at if added > 1e-12 else found)


def _string(volts: Array, saturation: float, emission: float, junctions: int) -> Array:
    x = volts / (junctions * emission * BOLTZMANN_OVER_CHARGE * WARM)
    capped = np.minimum(x, STRAIGHT_FROM)
    return np.asarray(saturation * (np.exp(capped) * (1.0 + x - capped) - 1.0))


def isolator_voltage(current: float, state: IsolatorState = "healthy", leakage: float = 0.0) -> float:
    """Voltage [V] across an isolator that carries `current` [A, +-5000]; infinity for one that failed open."""
    wanted = require("current through the isolator", current, "A", -5e3, 5e3)
    if state == "failed open":
        return 0.0 if wanted == 0.0 else float(np.copysign(np.inf, wanted))
    low, high = -20.0, 20.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        over = float(isolator_current(middle, state, leakage)) > wanted
        low, high = (low, middle) if over else (middle, high)
    return 0.5 * (low + high)


def loop_current(
    volts: float, resistance: float, state: IsolatorState = "healthy", leakage: float = 0.0
) -> float:
    """Current [A] that `volts` [V, +-20] drive round a loop of `resistance` [ohm, 1e-6 to 1e9] with the isolator in it."""
    drive = require("voltage round the loop", volts, "V", -20.0, 20.0)
    ohm = require("resistance of the loop", resistance, "ohm", 1e-6, 1e9)
    if state == "failed open":
        return 0.0
    low, high = sorted((0.0, drive))
    for _ in range(60):
        across = 0.5 * (low + high)
        over = float(isolator_current(across, state, leakage)) * ohm > drive - across
        low, high = (low, across) if over else (across, high)
    return (drive - 0.5 * (low + high)) / ohm
