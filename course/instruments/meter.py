"""The digital multimeter: dial, jacks, input resistance, ranges and displayed digits.

A 2,000-count meter with manual ranges. Using it wrongly gives the reading that the wrong use gives, never an error.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

INPUT_RESISTANCE_OHM = 10e6
SHUNT_OHM = 10.0
OVERLOAD = "OL"
JACKS = ("A", "COM", "V")
LEADS = ("cell lead", "test lead")


@dataclass(frozen=True)
class Range:
    """One position of the dial: full scale and the value of the last digit, in the unit shown."""

    unit: str
    full_scale: float
    digit: str
    volts_per_unit: float = 1.0

    @property
    def decimals(self) -> int:
        """Return how many digits stand behind the point."""
        return -int(Decimal(self.digit).as_tuple().exponent)


DIAL: dict[str, Range | None] = {
    "off": None,
    "200 mV": Range("mV", 200.0, "0.1", 1e-3),
    "2 V": Range("V", 2.0, "0.001"),
    "20 V": Range("V", 20.0, "0.01"),
    "200 V": Range("V", 200.0, "0.1"),
    "200 mA": Range("mA", 200.0, "0.1"),
}


@dataclass(frozen=True)
class Display:
    """What the meter shows: the digits as text, and their unit. Off: both empty."""

    text: str
    unit: str

    def __str__(self) -> str:
        return f"{self.text} {self.unit}".strip()


def in_digits(value: float, dial: Range) -> Display:
    """Return a value (in the dial's unit) as the display shows it, OL beyond full scale."""
    if abs(value) >= dial.full_scale:
        return Display(OVERLOAD, dial.unit)
    shown = Decimal(repr(float(value))).quantize(Decimal(dial.digit), rounding=ROUND_HALF_EVEN)
    return Display(f"{shown:.{dial.decimals}f}" if shown else f"{0:.{dial.decimals}f}", dial.unit)


def counts_apart(first: Display, second: Display, dial_position: str) -> float:
    """Return how many last digits two displays differ by; infinite when one is no number or the units differ."""
    dial = DIAL.get(dial_position)
    if first == second:
        return 0.0
    if dial is None or first.unit != second.unit:
        return float("inf")
    try:
        return float(abs(Decimal(first.text) - Decimal(second.text)) / Decimal(dial.digit))
    except ArithmeticError:
        return float("inf")


def volts(display_text: str, unit: str) -> float | None:
    """Return the volts a displayed voltage stands for, or None when it shows no voltage."""
    try:
        value = float(Decimal(display_text))
    except ArithmeticError:
        return None
    return {"V": value, "mV": value / 1000}.get(unit)
