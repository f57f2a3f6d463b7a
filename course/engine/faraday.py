"""Faraday's law: how fast a current takes metal.

Equivalent weights are in kg per equivalent (0.03268 for zinc). Agrees with the form of ASTM G102: for steel,
1 A/m2 is 1.16 mm a year.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from course.engine.constants import FARADAY, HOUR, YEAR
from course.engine.errors import Array, require


def penetration_rate(current_density: ArrayLike, equivalent_weight: float, density: float) -> Array:
    """Speed [m/s] at which dissolution at `current_density` [A/m2, >= 0 for loss] eats into the metal.

    equivalent_weight [kg/eq] 0 to 0.5 (0 for a conductor that loses nothing, such as graphite);
    density [kg/m3] 100 to 25000. Raises OutOfRange.
    """
    require("density", density, "kg/m3", 100.0, 25e3)
    return mass_rate(current_density, equivalent_weight) / density


def penetration_mm_per_year(current_density: ArrayLike, equivalent_weight: float, density: float) -> Array:
    """The same in millimetres per (Julian) year."""
    return penetration_rate(current_density, equivalent_weight, density) * (1e3 * YEAR)


def mass_rate(current: ArrayLike, equivalent_weight: float) -> Array:
    """Metal lost [kg/s] by `current` [A]; for a current density [A/m2] it is kg/(m2 s)."""
    require("equivalent weight", equivalent_weight, "kg/eq", 0.0, 0.5)
    return np.asarray(current, dtype=np.float64) * (equivalent_weight / FARADAY)


def mass_kg_per_year(current: ArrayLike, equivalent_weight: float) -> Array:
    """Metal lost [kg] in one (Julian) year by `current` [A]."""
    return mass_rate(current, equivalent_weight) * YEAR


def capacity_ampere_hours_per_kg(equivalent_weight: float) -> float:
    """Theoretical capacity of an anode metal [A h/kg]."""
    return FARADAY / require("equivalent weight", equivalent_weight, "kg/eq", 1e-4, 0.5) / HOUR
