"""Two metals in one water, joined: mixed potential, couple current and metal loss, with bands; the series, with bands.

Whole draws at once: each draw is a patch of its own law, and the balance is found by halving an interval, since every
law rises all the way. One lumped resistance stands for water and wire between the two.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.adjust import adjusted, repeated
from course.engine.electrode import Law, law
from course.engine.errors import Array, require_array
from course.engine.kinetics import Kinetics
from course.engine.uncertainty import Band, Spread, band, draws
from course.engine.water import Water

LOW, HIGH = -4.0, 4.0  # V SHE
HALVINGS = 42  # 8 V to 2e-12 V
FEW, AT_ONCE = 8, 7  # for so few patches so many halvings at once: a call costs more than its numbers


def balanced(rising: Callable[[Array], Array], size: int) -> Array:
    """Where `rising`, an increasing function of `size` potentials [V SHE], crosses zero, each by itself."""
    together = AT_ONCE if size <= FEW else 1
    low, width, parts = np.full(size, LOW), HIGH - LOW, 2**together
    for _ in range(HALVINGS // together):
        width /= parts
        under = rising(low + width * np.arange(1, parts)[:, None]) <= 0.0
        low = low + width * under.sum(axis=0)
    return low + 0.5 * width


def drawn_law(kinetics: Kinetics, water: Water, deviates: Array, spread: Spread | None = None) -> Law:
    """The law of one metal in each draw: `deviates` (count, 5) of `uncertainty.draws` make count patches."""
    s = spread if spread is not None else Spread()
    same = repeated(law([kinetics], water), np.zeros(deviates.shape[0], dtype=np.int64))
    return adjusted(
        same,
        shift=s.shift * deviates[:, 0],
        dissolution=np.exp(s.dissolution * deviates[:, 1]),
        oxygen=np.exp(s.oxygen * deviates[:, 2]),
        oxygen_supply=np.exp(s.oxygen_supply * deviates[:, 3]),
        hydrogen=np.exp(s.hydrogen * deviates[:, 4]),
    )


def rest_potentials(laws: Law) -> Array:
    """Potential [V SHE] (n,) at which each of n lone patches passes no net current."""
    return balanced(lambda at: laws.evaluate(at)[0], laws.size)


def rest_bands(metals: list[Kinetics], water: Water, count: int = 60) -> Band:
    """Bands of the corrosion potentials [V SHE] of lone `metals`, (metals,). Draws are shared out as `draws` does."""
    deviates = draws(1, count)[:, 0]
    drawn = [drawn_law(metal, water, deviates) for metal in metals]
    whole = Law(
        np.concatenate([one.centre for one in drawn], axis=1),
        np.concatenate([one.inverse_slope for one in drawn], axis=1),
        np.concatenate([one.amplitude for one in drawn], axis=1),
        np.concatenate([one.floor for one in drawn]),
        np.concatenate([one.floor_potential for one in drawn]),
    )
    return band(rest_potentials(whole).reshape(len(metals), count).T)


@dataclass(frozen=True, eq=False)
class Couple:
    """Metals a and b joined, in n draws: potentials against the water beside them [V SHE], current [A] from a through
    the water to b (negative: from b to a), dissolution [A/m2] of each; alone_*: what each dissolves at by itself."""

    potential_a: Array
    potential_b: Array
    current: Array
    loss_a: Array
    loss_b: Array
    rest_a: Array
    rest_b: Array
    alone_a: Array
    alone_b: Array


def joined(
    law_a: Law, law_b: Law, area_a: ArrayLike, area_b: ArrayLike, resistance: ArrayLike = 0.0
) -> Couple:
    """Join `area_a` and `area_b` [m2, 1e-9 to 1e6] of two metals through `resistance` [ohm, 0 to 1e9] of water and wire.

    law_a, law_b: n draws each; areas and resistance: one number for all, or (n,).
    With current I from a: E_b = E_a + R I; the sum of all currents is zero. Raises OutOfRange.
    """
    first = require_array("area of the first metal", area_a, "m2", 1e-9, 1e6)
    second = require_array("area of the second metal", area_b, "m2", 1e-9, 1e6)
    between = require_array("resistance between the metals", resistance, "ohm", 0.0, 1e9)

    def other(at: Array) -> Array:
        # a current that no law could give stands far outside; the ends keep exponentials finite
        return np.clip(at + between * first * law_a.evaluate(at)[0], -20.0, 20.0)

    def total(at: Array) -> Array:
        return np.asarray(first * law_a.evaluate(at)[0] + second * law_b.evaluate(other(at))[0])

    at = balanced(total, law_a.size)
    there = other(at)
    rest_a, rest_b = rest_potentials(law_a), rest_potentials(law_b)
    return Couple(
        at, there, np.asarray(first * law_a.evaluate(at)[0]),
        law_a.dissolution(at), law_b.dissolution(there),
        rest_a, rest_b, law_a.dissolution(rest_a), law_b.dissolution(rest_b),
    )  # fmt: skip


def couple(
    metal_a: Kinetics,
    metal_b: Kinetics,
    water: Water,
    area_a: float,
    area_b: float,
    resistance: float = 0.0,
    deviates: NDArray[np.float64] | None = None,
) -> Couple:
    """A couple of two metals in `water`, over `deviates` (count, 2, 5), by default 60 of `draws`. See `joined`."""
    drawn = draws(2, 60) if deviates is None else deviates
    laws = (drawn_law(metal_a, water, drawn[:, 0]), drawn_law(metal_b, water, drawn[:, 1]))
    return joined(*laws, area_a, area_b, resistance)
