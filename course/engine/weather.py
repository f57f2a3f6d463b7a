"""Water that changes: summer and winter, tide, river in flood."""

from __future__ import annotations

import math
from dataclasses import dataclass

from course.engine.constants import YEAR, ZERO_CELSIUS
from course.engine.errors import require
from course.engine.water import Water

DAY = 86400.0
HIGH_AND_LOW = 1.0 / math.sqrt(
    2.0
)  # two points that average a sinusoidal tide exactly to third order (Gauss and Chebyshev)


@dataclass(frozen=True)
class WaterYear:
    """The water of a berth through a year. Time 0 is the first of January.

    Parameters
    ----------
    temperature : K, mean; temperature_swing : K, half of summer less winter, 0 to 15; warmest_day : day of the year
    salinity : practical, mean between floods; tide_salinity : half the range of a tide
    flood_salinity : what is left at the height of the river's flood (None: no flood), flood_day : its day of
        the year, flood_days : its length (the width of a bell over the year)
    flow, oxygen_saturation, ph : as of Water

    Raises OutOfRange.
    """

    temperature: float
    salinity: float
    temperature_swing: float = 0.0
    warmest_day: float = 225.0
    tide_salinity: float = 0.0
    flood_salinity: float | None = None
    flood_day: float = 90.0
    flood_days: float = 30.0
    flow: float = 0.02
    oxygen_saturation: float = 1.0
    ph: float = 8.1

    def __post_init__(self) -> None:
        require("temperature swing", self.temperature_swing, "K", 0.0, 15.0)
        require("tide in salinity", self.tide_salinity, "", 0.0, 20.0)
        require("warmest day", self.warmest_day, "", 0.0, 366.0)
        require("day of the flood", self.flood_day, "", 0.0, 366.0)
        require("length of the flood", self.flood_days, "days", 1.0, 180.0)
        if self.flood_salinity is not None:
            require("salinity in flood", self.flood_salinity, "", 0.02, 42.0)
        for kelvin in (-self.temperature_swing, self.temperature_swing):
            Water(self.temperature + kelvin, self.salinity, self.flow, self.oxygen_saturation, self.ph)

    def _mean_salinity(self, day: float) -> float:
        if self.flood_salinity is None:
            return self.salinity
        year = YEAR / DAY
        away = (day - self.flood_day + 0.5 * year) % year - 0.5 * year
        return self.salinity + (self.flood_salinity - self.salinity) * math.exp(
            -((away / (0.5 * self.flood_days)) ** 2)
        )

    def at(self, seconds: float) -> tuple[Water, ...]:
        """The waters that, in equal shares, stand for the tide around a time [s]."""
        day = (seconds % YEAR) / DAY
        kelvin = self.temperature + self.temperature_swing * math.cos(
            2.0 * math.pi * (day - self.warmest_day) * DAY / YEAR
        )
        mean = self._mean_salinity(day)
        swings = (0.0,) if self.tide_salinity == 0.0 else (-HIGH_AND_LOW, HIGH_AND_LOW)
        return tuple(
            Water(
                kelvin,
                min(42.0, max(0.02, mean + swing * self.tide_salinity)),
                self.flow,
                self.oxygen_saturation,
                self.ph,
            )
            for swing in swings
        )

    @property
    def longest_step(self) -> float:
        """The longest step [s] that skips no season and no flood: 30 days, or a third of the flood."""
        return DAY * (30.0 if self.flood_salinity is None else min(30.0, self.flood_days / 3.0))


def constant(water: Water) -> WaterYear:
    """A year without seasons."""
    return WaterYear(
        water.temperature,
        water.salinity,
        flow=water.flow,
        oxygen_saturation=water.oxygen_saturation,
        ph=water.ph,
    )


def celsius(degrees: float) -> float:
    """degC -> K."""
    return degrees + ZERO_CELSIUS
