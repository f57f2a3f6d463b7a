"""What the engine says a reading should be, and how well instrument and method can find it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat, Moment, Setting
from course.boats.description import COMMON_POINT
from course.instruments import reference_cell
from course.instruments.measure import cell_row
from course.instruments.state import side_m

Array = NDArray[np.float64]

SHALLOWEST_M, DEEPEST_M = 0.5, 1.5  # "about a metre down, the depth of the metal": common practice, no source
BED_CLEARANCE_M = 0.5
PLACES_ALONG = 9
GAIN_ERROR = 0.003  # the meter's scale
NOISE_AND_DIGITS_MV = 3.0  # three deviations of noise and one digit
CELL_SETTLED_MV = 2.0  # what is left of the cell's settling when we call it settled


@dataclass(frozen=True)
class Span:
    """The readings [mV] that a right method can give on a boat, from most to least negative."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Return the middle of the span [mV]."""
        return (self.low + self.high) / 2

    @property
    def tolerance(self) -> float:
        """Return how far off an honest reading can be [mV]: scale, noise, last digit, last of the settling."""
        return GAIN_ERROR * abs(self.middle) + NOISE_AND_DIGITS_MV + CELL_SETTLED_MV

    def holds(self, value: float) -> bool:
        """Return whether a value lies within the span and its tolerance."""
        return self.low - self.tolerance <= value <= self.high + self.tolerance

    def apart(self, other: Span) -> bool:
        """Return whether another span is separated from this one by more than both tolerances."""
        gap = self.tolerance + other.tolerance
        return other.high + gap < self.low or other.low - gap > self.high


def zone_depths(afloat: Afloat) -> tuple[float, float]:
    """Return the depths [m] between which the cell hangs well."""
    return SHALLOWEST_M, min(DEEPEST_M, afloat.plan.berth.depth_m - BED_CLEARANCE_M)


def readings_mV(afloat: Afloat, moment: Moment, member: str, places: Array) -> Array:
    """Return the readings [mV] (p,) of a settled cell and a perfect meter, positive lead on a member's metal.

    ``places`` (p, 2) are metres forward of the transom and metres deep.
    """
    points = np.column_stack([places[:, 0], np.full(len(places), side_m(afloat)), -places[:, 1]])
    metal = afloat.voltage(moment, member)
    assert metal is not None, f"{member} is in no circuit"
    cell = reference_cell.settled_potential(cell_row(afloat), afloat.water)
    readings: Array = 1000 * (metal - afloat.water_potential(moment, points) - cell)
    return readings


def span(
    afloat: Afloat, moment: Moment, member: str = COMMON_POINT, depths: tuple[float, ...] | None = None
) -> Span:
    """Return the span of right readings of a member, bow to stern, over the depths at which the cell hangs well."""
    along = np.linspace(0.0, afloat.plan.boat.hull.length_m, PLACES_ALONG)
    places = np.array([(x, depth) for x in along for depth in (depths or zone_depths(afloat))])
    values = readings_mV(afloat, moment, member, places)
    return Span(float(values.min()), float(values.max()))


def bottom_span(afloat: Afloat, moment: Moment) -> Span:
    """Return the span of readings with the cell lying in the mud."""
    lying = span(afloat, moment, depths=(afloat.plan.berth.depth_m,))
    shift = 1000 * float(cell_row(afloat)["mud_V"])
    return Span(lying.low - shift, lying.high - shift)


def anodes_off(afloat: Afloat) -> Setting:
    """Return the setting of the baseline: every link to an anode open, every hanging anode out of the water."""
    boat = afloat.plan.boat
    anodes = {a.id for a in boat.anodes}
    return Setting(
        frozenset(c.id for c in boat.conductors if c.openable and c.to in anodes),
        frozenset(a.id for a in boat.anodes if a.mounting == "hanging"),
    )
