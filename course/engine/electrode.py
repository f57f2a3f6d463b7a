"""Electrode laws: current density of each metal against its potential, as strictly increasing sums.

    j(E) =   La s((E - Ea)/ba)        anodic Tafel branch in series with a plateau
           + Lb s((E - Eb)/bb)        breakdown of a passive film, in series with the salt-film plateau
           - Lc s(-(E - Ec)/bc)       oxygen reduction, Koutecky-Levich: 1/jc = 1/jkin + 1/Lc
           - Hx e(-(E - Eh)/bh)       hydrogen evolution
           + Gx e((E - Eg)/bg)        oxygen and chlorine evolution
           + g0 (E - E*)              floor, keeps j strictly increasing in floating point

s(x) = 1/(1 + exp(-x)); e(x) = exp(x) up to x = 25, its tangent above. Volts against SHE, A/m2, K; current is
positive from metal into water. No active-passive nose is in the law: films that remember are states outside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import expit

from course.engine.constants import FARADAY, GAS_CONSTANT, LN10, REFERENCE_TEMPERATURE
from course.engine.errors import Array, EngineError, require, require_array
from course.engine.kinetics import Kinetics
from course.engine.water import Water

REFERENCE_WATER = Water(REFERENCE_TEMPERATURE, 35.0, flow=3.0)  # calibration water (declared)
FLOOR = 1e-5  # A/m2/V
STRAIGHT_FROM = 25.0  # exponentials go on as their tangent past this argument
HYDROGEN_AT = -0.759  # V SHE (-1.0 V SCE): where Kinetics.hydrogen_current is stated
GAS_AT = 1.4  # V SHE: where Kinetics.gas_current is stated
BREAKDOWN_CURRENT = 0.02  # A/m2 at the breakdown potential (declared)
PASSIVE_MARGIN = 1.5  # passive plateau over the current at E* (declared)
CHLORIDE_BREAKDOWN = 0.088  # V/decade: breakdown moves up as chloride falls; Leckie and Uhlig 1966 (memory)
PH_REFERENCE = 8.1
# Activation energies [J/mol], declared.
ACTIVE_ENERGY, PASSIVE_ENERGY, OXYGEN_ENERGY, HYDROGEN_ENERGY = 40e3, 30e3, 40e3, 45e3
LOGISTIC = 3  # the first rows of a law are logistic (two of them metal loss), the rest exponential
LOSS = 2


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
        share = expit(soft, out=value[..., :LOGISTIC, :])
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
        return np.asarray((expit(soft[..., :LOSS, :]) * self.amplitude[:LOSS]).sum(axis=-2))

    def with_storage(self, conductance_per_area: ArrayLike, at_potential: ArrayLike) -> Law:
        """The same law with g (E - E0) added: `conductance_per_area` g [A/m2/V], `at_potential` E0 [V SHE]."""
        g, at = np.asarray(conductance_per_area, float), np.asarray(at_potential, float)
        floor = self.floor + g
        potential = (self.floor * self.floor_potential + g * at) / floor
        return replace(self, floor=floor, floor_potential=potential)

    def _checked(self, potential: ArrayLike) -> Array:
        at = np.asarray(potential, dtype=np.float64)
        if at.ndim == 0:
            at = np.full(self.size, float(at))
        if at.shape[-1] != self.size:
            raise EngineError(f"the potentials have shape {at.shape}; the last number must be {self.size} patches.")
        return at


def law(kinetics: Sequence[Kinetics], water: Water) -> Law:
    """The electrode laws of patches whose metals are `kinetics` (n of them, repeats welcome) in `water`.

    Raises EngineError for an empty sequence.
    """
    if not kinetics:
        raise EngineError("an electrode law needs at least one metal; none was given.")
    columns = [_terms(metal, water) for metal in kinetics]
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


def _arrhenius(energy: float, temperature: float) -> float:
    return math.exp(energy / GAS_CONSTANT * (1.0 / REFERENCE_TEMPERATURE - 1.0 / temperature))


def _natural(slope_per_decade: float, temperature: float) -> float:
    """V/decade at 20 degC -> V per e-fold at `temperature`."""
    return slope_per_decade / LN10 * temperature / REFERENCE_TEMPERATURE


def _softened(x: float) -> float:
    return 1.0 / (1.0 + math.exp(-x)) if x > -700.0 else 0.0


def _exponential(x: float) -> float:
    return math.exp(x) if x < STRAIGHT_FROM else math.exp(STRAIGHT_FROM) * (1.0 + x - STRAIGHT_FROM)


Row = tuple[float, float, float]  # centre V, inverse slope 1/V (signed), amplitude A/m2 (signed)


def _cathodic_rows(metal: Kinetics, water: Water) -> tuple[Row, Row]:
    """Oxygen reduction and hydrogen evolution."""
    t = water.temperature
    oxygen = max(water.oxygen, 1e-9)
    limit = 4.0 * FARADAY * oxygen / (1.0 / water.mass_transfer + 1.0 / metal.film_transfer)
    kinetic = metal.oxygen_current * _arrhenius(OXYGEN_ENERGY, t) * oxygen / REFERENCE_WATER.oxygen
    bc = _natural(metal.oxygen_slope, t)
    half = metal.corrosion_potential - bc * math.log(limit / kinetic)
    bh = _natural(metal.hydrogen_slope, t)
    shift = LN10 * GAS_CONSTANT * t / FARADAY * (water.ph - PH_REFERENCE)
    hydrogen = metal.hydrogen_current * _arrhenius(HYDROGEN_ENERGY, t)
    return (half, -1.0 / bc, -limit), (HYDROGEN_AT - shift, -1.0 / bh, -hydrogen)


def _breakdown_row(metal: Kinetics, water: Water) -> Row:
    """Film breakdown above a potential that rises as chloride falls; amplitude 0 where there is none."""
    bb = _natural(metal.breakdown_slope, water.temperature)
    if metal.breakdown_potential is None:
        return (metal.corrosion_potential, 1.0 / bb, 0.0)
    dilution = math.log10(REFERENCE_WATER.chloride_activity / water.chloride_activity)
    onset = metal.breakdown_potential + CHLORIDE_BREAKDOWN * dilution
    centre = onset + bb * math.log(metal.plateau / BREAKDOWN_CURRENT - 1.0)
    return (centre, 1.0 / bb, metal.plateau)


def _gas_row(metal: Kinetics, water: Water) -> Row:
    """Oxygen and chlorine evolution (declared; independent of salinity)."""
    return (GAS_AT, 1.0 / _natural(metal.gas_slope, water.temperature), metal.gas_current)


@lru_cache(maxsize=4096)
def _rest_current(metal: Kinetics) -> float:
    """Anodic current [A/m2] that balances the other terms at E* in the reference water."""
    at = metal.corrosion_potential
    oxygen, hydrogen = _cathodic_rows(metal, REFERENCE_WATER)
    breakdown, gas = _breakdown_row(metal, REFERENCE_WATER), _gas_row(metal, REFERENCE_WATER)
    cathodic = -oxygen[2] * _softened((at - oxygen[0]) * oxygen[1])
    cathodic += -hydrogen[2] * _exponential((at - hydrogen[0]) * hydrogen[1])
    other = breakdown[2] * _softened((at - breakdown[0]) * breakdown[1])
    other += gas[2] * _exponential((at - gas[0]) * gas[1])
    if cathodic <= other:
        raise EngineError(
            f"a metal with corrosion potential {at:.3f} V SHE breaks down or evolves gas there already: "
            "its breakdown potential must be higher."
        )
    return cathodic - other


@lru_cache(maxsize=16384)
def _terms(metal: Kinetics, water: Water) -> tuple[tuple[float, ...], ...]:
    """(centre, inverse slope, amplitude), each a tuple of five, of one metal in one water."""
    t, rest = water.temperature, _rest_current(metal)
    ba = _natural(metal.anodic_slope, t)
    if metal.passive:
        plateau = PASSIVE_MARGIN * rest * _arrhenius(PASSIVE_ENERGY, t)
        ratio = PASSIVE_MARGIN - 1.0
    else:
        plateau = metal.plateau
        ratio = plateau / min(rest * _arrhenius(ACTIVE_ENERGY, t), 0.5 * plateau) - 1.0
    anodic = (metal.corrosion_potential + ba * math.log(ratio), 1.0 / ba, plateau)
    rows = (anodic, _breakdown_row(metal, water), *_cathodic_rows(metal, water), _gas_row(metal, water))
    return tuple(zip(*rows, strict=True))
