"""The analogue multimeter: a needle between two stops, a scale read to half a division, and a coil that takes its current
from what it measures.

Its negative side has no scale: below nothing the needle lies against the lower stop, which is how it tells polarity.
"""

from __future__ import annotations

from dataclasses import dataclass

from course.instruments.meter import Display

OHM_PER_VOLT = 20_000.0
DIVISIONS = 50
LOWER_STOP, UPPER_STOP = (
    -0.02,
    1.03,
)  # fractions of full scale where the needle lies against its stops; invented
BELOW, BEYOND = "below 0", "beyond the scale"
JACKS = ("COM", "V")
DIAL: dict[str, float | None] = {"off": None, "0.5 V": 0.5, "2.5 V": 2.5, "10 V": 10.0, "50 V": 50.0}


@dataclass(frozen=True)
class Needle:
    """Where the needle stands: its fraction of full scale, between the stops, and what a person reads there."""

    fraction: float
    reading: Display


def input_resistance_ohm(position: str) -> float:
    """Return what the meter puts across the circuit [ohm] at a position of its dial; off, nothing is joined."""
    full_scale = DIAL[position]
    return float("inf") if full_scale is None else OHM_PER_VOLT * full_scale


def needle(volts: float, position: str) -> Needle | None:
    """Return where the needle stands with ``volts`` at the jacks; None when the meter is off.

    Read to half a division of its fifty: 0.025 V at 2.5 V.
    """
    full_scale = DIAL[position]
    if full_scale is None:
        return None
    fraction = min(max(volts / full_scale, LOWER_STOP), UPPER_STOP)
    half_division = full_scale / DIVISIONS / 2
    digit = f"{half_division:g}"
    if fraction <= LOWER_STOP:
        return Needle(fraction, Display(BELOW, "V", digit))
    if fraction >= UPPER_STOP:
        return Needle(fraction, Display(BEYOND, "V", digit))
    decimals = len(digit.split(".")[1]) if "." in digit else 0
    read = round(max(fraction, 0.0) * full_scale / half_division) * half_division
    return Needle(fraction, Display(f"{read:.{decimals}f}", "V", digit))
