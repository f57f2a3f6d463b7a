"""The formulas of `terms` and `water`, compiled from their own text for batches, and the rows they read.

The functions there take whatever has the attributes of a Kinetics and a Water; here that is a named tuple of
floats, and a metal without breakdown has a nan for its breakdown potential.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from types import FunctionType, ModuleType
from typing import Any, NamedTuple

from course.engine import terms as _terms
from course.engine import water as _water
from course.engine.constants import ZERO_CELSIUS
from course.engine.electrode import FLOOR
from course.engine.errors import Array
from course.engine.jit import helper


class MetalRow(NamedTuple):
    """The fields of a Kinetics as floats, in its order."""

    corrosion_potential: float
    oxygen_current: float
    film_transfer: float
    passive: float
    anodic_slope: float
    oxygen_slope: float
    hydrogen_current: float
    hydrogen_slope: float
    breakdown_potential: float
    breakdown_slope: float
    gas_current: float
    gas_slope: float
    plateau: float
    dilution_slope: float
    alkaline_gain: float


class WaterRow(NamedTuple):
    """What an electrode law reads of a Water."""

    temperature: float
    oxygen: float
    mass_transfer: float
    ph: float
    chloride_activity: float


def _copies(module: ModuleType, names: tuple[str, ...], **others: Any) -> list[Callable[..., Any]]:
    """Compile functions of a module from their text, each seeing the compiled ones before it and `others`."""
    space = {**vars(module), **others}
    for name in names:
        space[name] = helper(FunctionType(getattr(module, name).__code__, space, name))
    return [space[name] for name in names]


@helper
def _never(metal: MetalRow) -> bool:
    return math.isnan(metal.breakdown_potential)


@helper
def _onset(metal: MetalRow) -> float:
    return metal.breakdown_potential


_viscosity, _spread, _coefficient, _chloride = _copies(
    _water,
    ("_pure_viscosity", "kinematic_viscosity", "diffusivity", "transfer_coefficient", "activity_of_chloride"),
)[1:]
_surplus, _rows = (
    made
    for made in _copies(
        _terms,
        (
            "_arrhenius",
            "_natural",
            "_softened",
            "_exponential",
            "_cathodic_rows",
            "_breakdown_row",
            "_gas_row",
            "_surplus",
            "_anodic_conditions",
            "_anodic_row",
            "_rows",
        ),
        _never_breaks_down=_never,
        _onset=_onset,
    )
    if made.__name__ in ("_surplus", "_rows")
)

_REFERENCE = WaterRow(*(float(getattr(_terms.REFERENCE_WATER, name)) for name in WaterRow._fields))
_T, _O, _K, _PH, _CL = _REFERENCE


@helper
def water_row(values: Array) -> WaterRow:
    """From temperature [K], salinity, flow [m/s], pH, density [kg/m3] and oxygen [mol/m3] of one water (6,)."""
    temperature, salinity, flow, ph, density, oxygen = values
    celsius = temperature - ZERO_CELSIUS
    transfer = _coefficient(flow, _viscosity(celsius, salinity, density), _spread(celsius))
    return WaterRow(temperature, oxygen, transfer, ph, _chloride(salinity))


@helper
def write_law(metals: Array, water: WaterRow, table: Array) -> bool:
    """Write the table (n, 17) of the laws of `metals` (n, 15) in `water`; False for one that cannot be."""
    sound = True
    reference = WaterRow(_T, _O, _K, _PH, _CL)
    for k in range(metals.shape[0]):
        v = metals[k]
        metal = MetalRow(
            v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8], v[9], v[10], v[11], v[12], v[13], v[14]
        )
        rest = _surplus(metal, reference)
        sound = sound and rest > 0.0
        rows = _rows(metal, water, rest)
        for r in range(5):
            table[k, r], table[k, 5 + r], table[k, 10 + r] = rows[r]
        table[k, 15], table[k, 16] = FLOOR, metal.corrosion_potential
    return sound
