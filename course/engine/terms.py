"""The terms of one metal's electrode law in one water: where each stands, how steep and how high it is.

Each row is (centre [V SHE], inverse slope [1/V, signed], amplitude [A/m2, signed]); `electrode` gives the
formula. Calibration: in the reference water the anodic branch is set so that j(E*) = 0 at the corrosion
potential E*. What reads only attributes and floats here is compiled as it stands for batches (`kernel.terms`).
"""

from __future__ import annotations

import math
from functools import lru_cache

from course.engine.constants import FARADAY, GAS_CONSTANT, LN10, REFERENCE_TEMPERATURE
from course.engine.errors import EngineError
from course.engine.kinetics import Kinetics
from course.engine.water import Water

REFERENCE_WATER = Water(REFERENCE_TEMPERATURE, 35.0, flow=3.0)  # calibration water (declared)
REFERENCE_OXYGEN, REFERENCE_CHLORIDE = REFERENCE_WATER.oxygen, REFERENCE_WATER.chloride_activity
STRAIGHT_FROM = 25.0  # exponentials go on as their tangent past this argument
HYDROGEN_AT = -0.759  # V SHE (-1.0 V SCE): where Kinetics.hydrogen_current is stated
GAS_AT = 1.4  # V SHE: where Kinetics.gas_current is stated
BREAKDOWN_CURRENT = 0.02  # A/m2 at the breakdown potential (declared)
PASSIVE_MARGIN = 1.5  # passive plateau over the current at E* (declared)
CHLORIDE_BREAKDOWN = 0.088  # V/decade: breakdown moves up as chloride falls; Leckie and Uhlig 1966 (memory)
PH_REFERENCE = 8.1
FRESHER_THAN = Water(REFERENCE_TEMPERATURE, 5.0).chloride_activity  # where dilution_slope begins (declared)
ALKALINE = 9.0  # pH where alkaline_gain begins: the edge of passive aluminium, Pourbaix (memory)
# Activation energies [J/mol], declared.
ACTIVE_ENERGY, PASSIVE_ENERGY, OXYGEN_ENERGY, HYDROGEN_ENERGY = 40e3, 30e3, 40e3, 45e3

Row = tuple[float, float, float]


def _arrhenius(energy: float, temperature: float) -> float:
    return math.exp(energy / GAS_CONSTANT * (1.0 / REFERENCE_TEMPERATURE - 1.0 / temperature))


def _natural(slope_per_decade: float, temperature: float) -> float:
    """V/decade at 20 degC -> V per e-fold at `temperature`."""
    return slope_per_decade / LN10 * temperature / REFERENCE_TEMPERATURE


def _softened(x: float) -> float:
    return 1.0 / (1.0 + math.exp(-x)) if x > -700.0 else 0.0


def _exponential(x: float) -> float:
    return math.exp(x) if x < STRAIGHT_FROM else math.exp(STRAIGHT_FROM) * (1.0 + x - STRAIGHT_FROM)


def _cathodic_rows(metal: Kinetics, water: Water) -> tuple[Row, Row]:
    """Oxygen reduction and hydrogen evolution."""
    t = water.temperature
    oxygen = max(water.oxygen, 1e-9)
    limit = 4.0 * FARADAY * oxygen / (1.0 / water.mass_transfer + 1.0 / metal.film_transfer)
    kinetic = metal.oxygen_current * _arrhenius(OXYGEN_ENERGY, t) * oxygen / REFERENCE_OXYGEN
    bc = _natural(metal.oxygen_slope, t)
    half = metal.corrosion_potential - bc * math.log(limit / kinetic)
    bh = _natural(metal.hydrogen_slope, t)
    shift = LN10 * GAS_CONSTANT * t / FARADAY * (water.ph - PH_REFERENCE)
    hydrogen = metal.hydrogen_current * _arrhenius(HYDROGEN_ENERGY, t)
    return (half, -1.0 / bc, -limit), (HYDROGEN_AT - shift, -1.0 / bh, -hydrogen)


def _never_breaks_down(metal: Kinetics) -> bool:
    return metal.breakdown_potential is None


def _onset(metal: Kinetics) -> float:
    return float(metal.breakdown_potential or 0.0)


def _breakdown_row(metal: Kinetics, water: Water) -> Row:
    """Film breakdown above a potential that rises as chloride falls; amplitude 0 where there is none."""
    bb = _natural(metal.breakdown_slope, water.temperature)
    if _never_breaks_down(metal):
        return (metal.corrosion_potential, 1.0 / bb, 0.0)
    dilution = math.log10(REFERENCE_CHLORIDE / water.chloride_activity)
    onset = _onset(metal) + CHLORIDE_BREAKDOWN * dilution
    centre = onset + bb * math.log(metal.plateau / BREAKDOWN_CURRENT - 1.0)
    return (centre, 1.0 / bb, metal.plateau)


def _gas_row(metal: Kinetics, water: Water) -> Row:
    """Oxygen and chlorine evolution (declared; independent of salinity)."""
    return (GAS_AT, 1.0 / _natural(metal.gas_slope, water.temperature), metal.gas_current)


def _surplus(metal: Kinetics, reference: Water) -> float:
    """Anodic current [A/m2] that balances the other terms at E* in the reference water."""
    at = metal.corrosion_potential
    oxygen, hydrogen = _cathodic_rows(metal, reference)
    breakdown, gas = _breakdown_row(metal, reference), _gas_row(metal, reference)
    cathodic = -oxygen[2] * _softened((at - oxygen[0]) * oxygen[1])
    cathodic += -hydrogen[2] * _exponential((at - hydrogen[0]) * hydrogen[1])
    other = breakdown[2] * _softened((at - breakdown[0]) * breakdown[1])
    other += gas[2] * _exponential((at - gas[0]) * gas[1])
    return cathodic - other


@lru_cache(maxsize=4096)
def rest_current(metal: Kinetics) -> float:
    """`_surplus` in the reference water. Raises EngineError where it would be negative."""
    rest = _surplus(metal, REFERENCE_WATER)
    if rest <= 0.0:
        raise EngineError(
            f"a metal with corrosion potential {metal.corrosion_potential:.3f} V SHE breaks down or evolves gas "
            "there already: its breakdown potential must be higher."
        )
    return rest


def _anodic_conditions(metal: Kinetics, water: Water) -> tuple[float, float]:
    """What fresh and alkaline water do to dissolution: shift of its potential [V], factor on its current."""
    fresher = max(0.0, math.log10(FRESHER_THAN / water.chloride_activity))
    return metal.dilution_slope * fresher, 10.0 ** (metal.alkaline_gain * max(0.0, water.ph - ALKALINE))


def _anodic_row(metal: Kinetics, water: Water, rest: float) -> Row:
    """Dissolution; `rest` is the metal's rest current [A/m2]."""
    t = water.temperature
    ba = _natural(metal.anodic_slope, t)
    shift, factor = _anodic_conditions(metal, water)
    if metal.passive:
        plateau = PASSIVE_MARGIN * rest * _arrhenius(PASSIVE_ENERGY, t) * factor
        ratio = PASSIVE_MARGIN - 1.0
    else:
        plateau = metal.plateau
        ratio = plateau / min(rest * _arrhenius(ACTIVE_ENERGY, t) * factor, 0.5 * plateau) - 1.0
    return (metal.corrosion_potential + shift + ba * math.log(ratio), 1.0 / ba, plateau)


def _rows(metal: Kinetics, water: Water, rest: float) -> tuple[Row, Row, Row, Row, Row]:
    oxygen, hydrogen = _cathodic_rows(metal, water)
    anodic, breakdown = _anodic_row(metal, water, rest), _breakdown_row(metal, water)
    return anodic, breakdown, oxygen, hydrogen, _gas_row(metal, water)


@lru_cache(maxsize=16384)
def terms(metal: Kinetics, water: Water) -> tuple[tuple[float, ...], ...]:
    """(centre, inverse slope, amplitude), each a tuple of five, of one metal in one water."""
    return tuple(zip(*_rows(metal, water, rest_current(metal)), strict=True))
