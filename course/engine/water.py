"""Water: what its temperature, salinity, movement and air say about conductivity, oxygen and chloride.

Conductivity is the Practical Salinity Scale 1978 and oxygen is Garcia and Gordon (1992), both through `gsw`
(TEOS-10). Fresh, brackish and sea water share one scale, practical salinity from 0.02 upwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import gsw

from course.engine.constants import ZERO_CELSIUS
from course.engine.errors import require

OXYGEN_DIFFUSIVITY_25 = 2.0e-9  # m2/s at 25 degC, the value used with the US Naval Research Laboratory layer
STILL_LAYER = 0.85e-3  # m, still boundary layer published by the US Naval Research Laboratory
PLATE_LENGTH = 0.3  # m, length of metal along the flow (declared: a fitting, a blade)


def _pure_viscosity(celsius: float) -> float:
    """Dynamic viscosity of pure water [Pa s]; Sharqawy et al. (2010) eq. 23, 0 to 180 degC (from memory)."""
    return 4.2844e-5 + 1.0 / (0.157 * (celsius + 64.993) ** 2 - 91.296)


def kinematic_viscosity(celsius: float, salinity: float, density: float) -> float:
    """Kinematic viscosity [m2/s] by temperature [degC] and density [kg/m3]; see `Water.viscosity`."""
    t = celsius
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    s = salinity * 1e-3
    return _pure_viscosity(t) * (1.0 + a * s + b * s**2) / density


def diffusivity(celsius: float) -> float:
    """Diffusivity of oxygen [m2/s]; see `Water.oxygen_diffusivity`."""
    warm = ZERO_CELSIUS + 25.0
    stretch = _pure_viscosity(25.0) / _pure_viscosity(celsius)
    return OXYGEN_DIFFUSIVITY_25 * (celsius + ZERO_CELSIUS) / warm * stretch


def transfer_coefficient(flow: float, viscosity: float, spread: float) -> float:
    """Mass-transfer coefficient of oxygen [m/s], whose diffusivity is `spread`; see `Water.mass_transfer`."""
    floor = spread / STILL_LAYER
    reynolds = flow * PLATE_LENGTH / viscosity
    schmidt = (viscosity / spread) ** (1.0 / 3.0)
    laminar = 0.664 * math.sqrt(reynolds) * schmidt
    turbulent = 0.037 * reynolds**0.8 * schmidt
    sherwood = (laminar**6 + turbulent**6) ** (1.0 / 6.0)
    forced = sherwood * spread / PLATE_LENGTH
    return math.pow(forced**3 + floor**3, 1.0 / 3.0)


def activity_of_chloride(salinity: float) -> float:
    """Activity of chloride [1, on the molal scale]; see `Water.chloride_activity`."""
    water_fraction = 1.0 - 1.005e-3 * salinity
    molality = 0.54587 * salinity / 35.0 / water_fraction
    root = math.sqrt(19.924e-3 * salinity / water_fraction)
    log_gamma = -0.509 * root / (1.0 + 0.3291 * 3.5 * root) + 0.015 * root**2
    return molality * math.pow(10.0, log_gamma)


@dataclass(frozen=True)
class Water:
    """One body of water.

    Parameters
    ----------
    temperature : K, 271.15 to 308.15 (the range of PSS-78)
    salinity : practical salinity, 0.02 to 42
    flow : m/s past the metal, 0 to 20
    oxygen_saturation : fraction of the air-saturated oxygen content, 0 to 2
    ph : 4 to 11

    Raises OutOfRange for a value outside these ranges.
    """

    temperature: float
    salinity: float
    flow: float = 0.02
    oxygen_saturation: float = 1.0
    ph: float = 8.1

    def __post_init__(self) -> None:
        require("water temperature", self.temperature, "K", ZERO_CELSIUS - 2.0, ZERO_CELSIUS + 35.0)
        require("practical salinity", self.salinity, "", 0.02, 42.0)
        require("water speed", self.flow, "m/s", 0.0, 20.0)
        require("oxygen saturation", self.oxygen_saturation, "", 0.0, 2.0)
        require("pH", self.ph, "", 4.0, 11.0)

    def moving(self, flow: float) -> Water:
        """The same water going past the metal at another speed, `flow` [m/s]; what speed does not change is kept."""
        other = replace(self, flow=flow)
        for name in ("conductivity", "density", "oxygen"):
            other.__dict__[name] = getattr(self, name)
        return other

    @property
    def celsius(self) -> float:
        """Temperature [degC]."""
        return self.temperature - ZERO_CELSIUS

    @cached_property
    def conductivity(self) -> float:
        """Conductivity at the surface [S/m] by PSS-78 (`gsw.C_from_SP`, which gives mS/cm)."""
        return float(gsw.C_from_SP(self.salinity, self.celsius, 0.0)) / 10.0

    @cached_property
    def density(self) -> float:
        """Density at the surface [kg/m3] by TEOS-10, reference composition."""
        absolute = float(gsw.SR_from_SP(self.salinity))
        return float(gsw.rho_t_exact(absolute, self.celsius, 0.0))

    @cached_property
    def oxygen(self) -> float:
        """Dissolved oxygen [mol/m3]: Garcia and Gordon (1992) saturation times the saturation fraction."""
        per_kilogram = float(gsw.O2sol_SP_pt(self.salinity, self.celsius)) * 1e-6
        return per_kilogram * self.density * self.oxygen_saturation

    @cached_property
    def viscosity(self) -> float:
        """Kinematic viscosity [m2/s]; Sharqawy et al. (2010) eq. 22 and 23 (from memory)."""
        return kinematic_viscosity(self.celsius, self.salinity, self.density)

    @cached_property
    def oxygen_diffusivity(self) -> float:
        """Diffusivity of oxygen [m2/s]: 2.0e-9 at 25 degC, moved with T/viscosity (Stokes-Einstein)."""
        return diffusivity(self.celsius)

    @cached_property
    def mass_transfer(self) -> float:
        """Mass-transfer coefficient of oxygen [m/s].

        Flat-plate laminar (0.664 Re^1/2 Sc^1/3) and turbulent (0.037 Re^0.8 Sc^1/3) correlations blended with
        exponent 6, over a still-water floor D/0.85 mm, blended with exponent 3 (blends declared; correlations
        from memory, as in textbooks of heat and mass transfer).
        """
        return transfer_coefficient(self.flow, self.viscosity, self.oxygen_diffusivity)

    @cached_property
    def chloride_activity(self) -> float:
        """Activity of chloride [1, on the molal scale].

        Chloride molality of the reference composition of sea water (0.54587 mol/kg at S 35, Millero et al.
        2008) and an extended Debye-Hueckel coefficient (ion size 3.5, b 0.015; from memory), with ionic
        strength 19.924 S/(1000 - 1.005 S) (from memory).
        """
        return activity_of_chloride(self.salinity)
