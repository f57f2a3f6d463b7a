"""One adaptive integrator for slow states: Bogacki and Shampine's third-order pair with events.

The last stage of a step is the first of the next, so what the right-hand side computed at the end of each step
(potentials, currents) comes along for nothing. Bogacki and Shampine, Appl. Math. Lett. 2 (1989) 321.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from course.engine.errors import Array, NotConverged

Extra = TypeVar("Extra")
Slope = Callable[[float, Array], tuple[Array, Extra]]
SAFETY, SHRINK, GROW = 0.9, 0.2, 4.0
SMALLEST = (
    1e-9  # of the span: a step shorter than this means that the right-hand side is not to be integrated
)


@dataclass(frozen=True, eq=False)
class Step(Generic[Extra]):
    """Where a step ended: time [s], state (k,), and what the right-hand side had to say there."""

    time: float
    state: Array
    extra: Extra


def _interpolated(t: float, h: float, ends: tuple[Array, Array], slopes: tuple[Array, Array]) -> Array:
    """Cubic Hermite value at the fraction `t` of a step of length `h`."""
    y0, y1 = ends
    f0, f1 = slopes
    bend = (1.0 - 2.0 * t) * (y1 - y0) + h * ((t - 1.0) * f0 + t * f1)
    return np.asarray(y0 + t * (y1 - y0) + t * (t - 1.0) * bend)


def _crossing(
    margin: Callable[[Array], float], h: float, ends: tuple[Array, Array], slopes: tuple[Array, Array]
) -> float:
    """Fraction of the step at which `margin` falls to zero, by bisection on the cubic."""
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        if margin(_interpolated(middle, h, ends, slopes)) > 0.0:
            low = middle
        else:
            high = middle
    return high


def _shorter(h: float, error: float, least: float, time: float) -> float:
    """The length to try after a step of `h` [s] missed its tolerance `error` times."""
    h *= max(SHRINK, SAFETY * error ** (-1.0 / 3.0))
    if not h > least:
        raise NotConverged(
            f"the slow states could not be followed past {time:.6g} s; tried steps down to {h:.3g} s."
        )
    return h


def integrate(
    slope: Slope[Extra],
    span: tuple[float, float],
    state: Array,
    tolerance: Array,
    longest: float,
    margin: Callable[[Array], float],
    enough: Callable[[float], bool] = lambda _time: False,
) -> list[Step[Extra]]:
    """Steps from span[0] to span[1] [s], or to where `margin(state)` falls to zero; the start is not among them.

    tolerance (k,) is the error allowed in each state a step; longest [s] bounds a step. No step is taken once
    `enough` says of a time that it is; those before are what they would have been. Raises NotConverged where steps
    would shrink to nothing.
    """
    time, end = span
    least = SMALLEST * (end - time)
    f0, _ = slope(time, state)
    h = min(longest, 0.1 * (end - time))
    steps: list[Step[Extra]] = []
    while time < end and not enough(time):
        h = min(h, end - time) if end - time - h > least else end - time
        f1, _ = slope(time + 0.5 * h, state + 0.5 * h * f0)
        f2, _ = slope(time + 0.75 * h, state + 0.75 * h * f1)
        after = state + h * (2.0 * f0 + 3.0 * f1 + 4.0 * f2) / 9.0
        f3, extra = slope(time + h, after)
        off = h * (-5.0 * f0 / 72.0 + f1 / 12.0 + f2 / 9.0 - f3 / 8.0)
        error = float(np.max(np.abs(off) / tolerance, initial=1e-8))
        if not error <= 1.0:
            h = _shorter(h, error, least, time)
            continue
        ends, slopes = (state, after), (f0, f3)
        if margin(after) <= 0.0:
            part = _crossing(margin, h, ends, slopes)
            state = _interpolated(part, h, ends, slopes)
            _, extra = slope(time + part * h, state)
            steps.append(Step(time + part * h, state, extra))
            return steps
        time = time + h if end - time > h + least else end
        state, f0 = after, f3
        steps.append(Step(time, state, extra))
        h = min(longest, h * min(GROW, SAFETY * error ** (-1.0 / 3.0)))
    return steps
