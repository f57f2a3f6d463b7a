"""Electrode laws: current density of each metal against its potential, as strictly increasing sums.

    j(E) =   La s((E - Ea)/ba)        anodic Tafel branch in series with a plateau
           + Lb s((E - Eb)/bb)        breakdown of a passive film, in series with the salt-film plateau
           - Lc s(-(E - Ec)/bc)       oxygen reduction, Koutecky-Levich: 1/jc = 1/jkin + 1/Lc
           - Hx e(-(E - Eh)/bh)       hydrogen evolution
           + Gx e((E - Eg)/bg)        oxygen and chlorine evolution
           + g0 (E - E*)              floor, keeps j strictly increasing in floating point

s(x) = 1/(1 + exp(-x)); e(x) = exp(x) up to x = 25, its tangent above. Volts against SHE, A/m2, K; current is
positive from metal into water. No active-passive nose is in the law: films that remember are states outside
it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from course.engine.errors import Array, EngineError
from course.engine.kinetics import Kinetics
from course.engine.terms import REFERENCE_WATER, STRAIGHT_FROM, terms
from course.engine.water import Water

__all__ = ["REFERENCE_WATER", "STRAIGHT_FROM", "Law", "free_corrosion_potential", "law"]

FLOOR = 1e-5  # A/m2/V
LOGISTIC = 3  # the first rows of a law are logistic (two of them metal loss), the rest exponential
LOSS = 2


def _logistic(x: Array, out: Array | None = None) -> Array:
    """Return 1/(1 + exp(-x)); scipy.special, which has it too, takes longer to load than all the rest of the engine."""
    with np.errstate(over="ignore"):  # exp(-x) may be infinite, and the answer is 0
        share = np.exp(np.negative(x, out=out), out=out)
    share += 1.0
    return np.asarray(np.reciprocal(share, out=share))


@dataclass(frozen=True, eq=False)
class Law:
    """The electrode laws of n patches. Row r of each (5, n) array is one term of the module's formula.

    centre [V SHE], inverse_slope [1/V, signed], amplitude [A/m2, signed], floor [A/m2/V] (n,),
    floor_potential [V SHE] (n,). Methods take potentials of shape (..., n) and return the same shape.
    """

    centre: Array
    inverse_slope: Array
    amplitude: Array
    floor: Array
    floor_potential: Array

    @property
    def size(self) -> int:
        """Number of patches."""
        return int(self.floor.shape[0])

    @cached_property
    def table(self) -> Array:
        """All of the law in one array (n, 17), a row a patch, as the compiled kernel reads it."""
        rows = (self.centre, self.inverse_slope, self.amplitude, self.floor[None], self.floor_potential[None])
        return np.ascontiguousarray(np.concatenate(rows).T)

    def _arguments(self, potential: Array) -> tuple[Array, Array]:
        x = (potential[..., None, :] - self.centre) * self.inverse_slope
        return x[..., :LOGISTIC, :], x[..., LOGISTIC:, :]

    @cached_property
    def _stiffness(self) -> Array:
        return self.amplitude * self.inverse_slope

    def evaluate(self, potential: Array) -> tuple[Array, Array]:
        """Current density [A/m2] and its slope [A/m2/V] in one pass."""
        soft, hard = self._arguments(potential)
        value = np.empty_like(soft, shape=(*soft.shape[:-2], 5, soft.shape[-1]))
        slope = np.empty_like(value)
        share = _logistic(soft, out=value[..., :LOGISTIC, :])
        np.multiply(share, 1.0 - share, out=slope[..., :LOGISTIC, :])
        capped = np.minimum(hard, STRAIGHT_FROM)
        rise = np.exp(capped, out=slope[..., LOGISTIC:, :])
        np.multiply(rise, 1.0 + (hard - capped), out=value[..., LOGISTIC:, :])
        current = np.einsum("...tn,tn->...n", value, self.amplitude)
        steep = np.einsum("...tn,tn->...n", slope, self._stiffness)
        return current + self.floor * (potential - self.floor_potential), steep + self.floor

    def current_density(self, potential: ArrayLike) -> Array:
        """Net current density [A/m2], positive from metal into water."""
        return self.evaluate(self._checked(potential))[0]

    def slope(self, potential: ArrayLike) -> Array:
        """dj/dE [A/m2/V], always positive."""
        return self.evaluate(self._checked(potential))[1]

    def cocontent(self, potential: ArrayLike) -> Array:
        """A closed-form antiderivative of current_density [W/m2]; convex in the potential."""
        at = self._checked(potential)
        soft, hard = self._arguments(at)
        value = np.empty_like(soft, shape=(*soft.shape[:-2], 5, soft.shape[-1]))
        np.logaddexp(0.0, soft, out=value[..., :LOGISTIC, :])
        capped = np.minimum(hard, STRAIGHT_FROM)
        over = hard - capped
        value[..., LOGISTIC:, :] = np.exp(capped) * (1.0 + over * (1.0 + 0.5 * over))
        away = at - self.floor_potential
        total = np.einsum("...tn,tn->...n", value, self.amplitude / self.inverse_slope)
        return np.asarray(total + 0.5 * self.floor * away**2)

    def dissolution(self, potential: ArrayLike) -> Array:
        """The metal-loss part of the current density [A/m2, never negative]: no gas, no floor, no storage."""
        soft, _ = self._arguments(self._checked(potential))
        return np.asarray((_logistic(soft[..., :LOSS, :]) * self.amplitude[:LOSS]).sum(axis=-2))

    def with_storage(self, conductance_per_area: ArrayLike, at_potential: ArrayLike) -> Law:
        """This law with g (E - E0) added: g `conductance_per_area` [A/m2/V], E0 `at_potential` [V SHE]."""
        g, at = np.asarray(conductance_per_area, float), np.asarray(at_potential, float)
        floor = self.floor + g
        potential = (self.floor * self.floor_potential + g * at) / floor
        return Law(self.centre, self.inverse_slope, self.amplitude, floor, potential)

    def _checked(self, potential: ArrayLike) -> Array:
        at = np.asarray(potential, dtype=np.float64)
        if at.ndim == 0:
            at = np.full(self.size, float(at))
        if at.shape[-1] != self.size:
            raise EngineError(
                f"the potentials have shape {at.shape}; the last number must be {self.size} patches."
            )
        return at


def law(kinetics: Sequence[Kinetics], water: Water) -> Law:
    """The electrode laws of patches whose metals are `kinetics` (n of them, repeats welcome) in `water`.

    Raises EngineError for an empty sequence.
    """
    if not kinetics:
        raise EngineError("an electrode law needs at least one metal; none was given.")
    columns = [terms(metal, water) for metal in kinetics]
    table = np.array(columns, dtype=np.float64).transpose(1, 2, 0)
    rest = np.array([metal.corrosion_potential for metal in kinetics])
    return Law(table[0].copy(), table[1].copy(), table[2].copy(), np.full(len(kinetics), FLOOR), rest)


def free_corrosion_potential(kinetics: Kinetics, water: Water) -> float:
    """Potential [V SHE] at which a lone piece of the metal passes no net current in `water`."""
    alone = law([kinetics], water)
    low, high = -4.0, 4.0
    while high - low > 1e-13:
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        positive = float(alone.evaluate(np.array([middle]))[0][0]) > 0.0
        low, high = (low, middle) if positive else (middle, high)
    return 0.5 * (low + high)
