"""The parameters of one metal's electrode law."""

from __future__ import annotations

from dataclasses import dataclass

from course.engine.errors import require


@dataclass(frozen=True)
class Kinetics:
    """One metal or alloy, in the units of the engine. Slopes are stated at 20 degC and scale with
    temperature.

    Parameters
    ----------
    corrosion_potential : V SHE, where the metal rests in the reference water (20 degC, S 35, 3 m/s, air)
    oxygen_current : A/m2, kinetic oxygen reduction at the corrosion potential in the reference water
    film_transfer : m/s, mass transfer of oxygen through the metal's own film, in series with the water's
    passive : True for a metal whose anodic branch is a passive current (plateau 1.5 times the rest current)
    anodic_slope : V/decade, 0.02 to 0.4, Tafel slope of dissolution (for a passive metal: of the rise to it)
    oxygen_slope : V/decade of oxygen reduction
    hydrogen_current : A/m2 of hydrogen evolution at -0.759 V SHE (-1.0 V SCE), 20 degC, pH 8.1
    hydrogen_slope : V/decade of hydrogen evolution
    breakdown_potential : V SHE in sea water of S 35 at which 0.02 A/m2 flows through pits; None for none
    breakdown_slope : V/decade of the rise above it
    gas_current : A/m2 of oxygen and chlorine evolution at 1.4 V SHE, 20 degC
    gas_slope : V/decade of it
    plateau : A/m2, salt-film limit of dissolution
    dilution_slope : V/decade, 0 to 0.3; below the chloride of salinity 5 dissolution moves nobler by this much
        for every tenfold less chloride (declared: zinc and copper alloys film over in fresh water)
    alkaline_gain : decades per pH, 0 to 2; above pH 9 dissolution grows tenfold for every 1/gain of pH
        (declared: aluminium, zinc, lead and tin are amphoteric)

    Raises OutOfRange for a value outside its range.
    """

    corrosion_potential: float
    oxygen_current: float
    film_transfer: float
    passive: bool = False
    anodic_slope: float = 0.06
    oxygen_slope: float = 0.13
    hydrogen_current: float = 0.003
    hydrogen_slope: float = 0.12
    breakdown_potential: float | None = None
    breakdown_slope: float = 0.05
    gas_current: float = 1.0
    gas_slope: float = 0.12
    plateau: float = 1e4
    dilution_slope: float = 0.0
    alkaline_gain: float = 0.0

    def __post_init__(self) -> None:
        require("corrosion potential", self.corrosion_potential, "V SHE", -3.0, 2.0)
        require("oxygen current", self.oxygen_current, "A/m2", 1e-8, 1e3)
        require("film transfer coefficient", self.film_transfer, "m/s", 1e-10, 1e3)
        require("hydrogen current", self.hydrogen_current, "A/m2", 0.0, 1e3)
        require("gas current", self.gas_current, "A/m2", 0.0, 1e3)
        require("plateau", self.plateau, "A/m2", 1.0, 1e6)
        require("dilution slope", self.dilution_slope, "V/decade", 0.0, 0.3)
        require("alkaline gain", self.alkaline_gain, "decades per pH", 0.0, 2.0)
        for name in ("anodic", "oxygen", "hydrogen", "breakdown", "gas"):
            require(f"{name} slope", getattr(self, f"{name}_slope"), "V/decade", 0.02, 0.4)
        if self.breakdown_potential is not None:
            require("breakdown potential", self.breakdown_potential, "V SHE", -2.0, 5.0)
