"""Many waters at once, as arrays."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import gsw
import numpy as np
from numpy.typing import ArrayLike

from course.engine.constants import ZERO_CELSIUS
from course.engine.errors import Array, require_array
from course.engine.water import Water


@dataclass(frozen=True, eq=False)
class Waters:
    """b waters: the fields of `Water`, each an array (b,) or one number for all. Ranges and errors as there."""

    temperature: ArrayLike
    salinity: ArrayLike
    flow: ArrayLike = 0.02
    oxygen_saturation: ArrayLike = 1.0
    ph: ArrayLike = 8.1

    def __post_init__(self) -> None:
        allowed = {
            "temperature": ("water temperature", "K", ZERO_CELSIUS - 2.0, ZERO_CELSIUS + 35.0),
            "salinity": ("practical salinity", "", 0.02, 42.0),
            "flow": ("water speed", "m/s", 0.0, 20.0),
            "oxygen_saturation": ("oxygen saturation", "", 0.0, 2.0),
            "ph": ("pH", "", 4.0, 11.0),
        }
        given = np.broadcast_arrays(*(np.atleast_1d(np.asarray(getattr(self, f), float)) for f in allowed))
        for (name, (words, unit, low, high)), values in zip(allowed.items(), given, strict=True):
            object.__setattr__(self, name, require_array(words, values, unit, low, high))

    @property
    def count(self) -> int:
        """How many."""
        return int(np.shape(self.temperature)[0])

    def one(self, number: int) -> Water:
        """Return one of them."""
        names = ("temperature", "salinity", "flow", "oxygen_saturation", "ph")
        return Water(*(float(np.asarray(getattr(self, name))[number]) for name in names))

    @cached_property
    def conductivity(self) -> Array:
        """As `Water.conductivity` [S/m], (b,)."""
        celsius = np.asarray(self.temperature) - ZERO_CELSIUS
        return np.asarray(gsw.C_from_SP(self.salinity, celsius, 0.0)) / 10.0

    @cached_property
    def rows(self) -> Array:
        """Temperature [K], salinity, flow [m/s], pH, density [kg/m3] and oxygen [mol/m3], (b, 6)."""
        celsius = np.asarray(self.temperature) - ZERO_CELSIUS
        density = gsw.rho_t_exact(gsw.SR_from_SP(self.salinity), celsius, 0.0)
        oxygen = gsw.O2sol_SP_pt(self.salinity, celsius) * 1e-6 * density * self.oxygen_saturation
        columns = (self.temperature, self.salinity, self.flow, self.ph, density, oxygen)
        return np.stack([np.asarray(column, dtype=np.float64) for column in columns], axis=1)
