"""The digital multimeter: dial, jacks, input resistance, ranges, displayed digits, and the source it tests resistance with.

A 2,000-count meter. Using it wrongly gives the reading that the wrong use gives, never an error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

INPUT_RESISTANCE_OHM = 10e6
SHUNT_OHM = 10.0
FUSE_A = 0.5  # in series with the A jack
OVERLOAD = "OL"
JACKS = ("A", "COM", "V")
BEEP_OHM = 30.0


@dataclass(frozen=True)
class Range:
    """One position of the dial: full scale and the value of the last digit, in the unit shown.

    ``what`` is what is measured; on ohms and diode the meter sends a constant ``test_A`` through the leads.
    """

    unit: str
    full_scale: float
    digit: str
    volts_per_unit: float = 1.0
    what: str = "volts"
    test_A: float = 0.0

    @property
    def decimals(self) -> int:
        """Return how many digits stand behind the point."""
        return -int(Decimal(self.digit).as_tuple().exponent)

    @property
    def tests(self) -> bool:
        """Return whether the meter feeds the leads from its own battery here."""
        return self.test_A > 0


MILLIVOLTS = Range("mV", 200.0, "0.1", 1e-3)
VOLT_RANGES = (MILLIVOLTS, Range("V", 2.0, "0.001"), Range("V", 20.0, "0.01"), Range("V", 200.0, "0.1"))
AUTO = "auto V"

# A milliampere on low ohms and diode, a tenth of that on 20 kohm, as long as three volts can drive it; invented, of the usual size.
COMPLIANCE_V = 3.0
DIAL: dict[str, Range | None] = {
    "off": None,
    AUTO: VOLT_RANGES[-1],
    "200 mV": VOLT_RANGES[0],
    "2 V": VOLT_RANGES[1],
    "20 V": VOLT_RANGES[2],
    "200 V": VOLT_RANGES[3],
    "200 mA": Range("mA", 200.0, "0.1", what="amperes"),
    "200 ohm": Range("ohm", 200.0, "0.1", 0.0, "ohms", 1e-3),
    "20 kohm": Range("kohm", 20.0, "0.01", 0.0, "ohms", 1e-4),
    "continuity": Range("ohm", 200.0, "0.1", 0.0, "ohms", 1e-3),
    "diode": Range("V", 2.0, "0.001", 1.0, "diode", 1e-3),
}


@dataclass(frozen=True)
class Display:
    """What an instrument shows: the digits as text, and their unit. Off: both empty. ``digit``: the value of the last one."""

    text: str
    unit: str
    digit: str = ""

    def __str__(self) -> str:
        return f"{self.text} {self.unit}".strip()


def in_digits(value: float, dial: Range) -> Display:
    """Return a value (in the dial's unit) as the display shows it, OL beyond full scale."""
    if not abs(value) < dial.full_scale:
        return Display(OVERLOAD, dial.unit, dial.digit)
    shown = Decimal(repr(float(value))).quantize(Decimal(dial.digit), rounding=ROUND_HALF_EVEN)
    return Display(f"{shown:.{dial.decimals}f}" if shown else f"{0:.{dial.decimals}f}", dial.unit, dial.digit)


def in_volts(value: float, position: str) -> Display:
    """Return volts as a position of the dial shows them; on auto in the smallest range that holds them."""
    ranges = VOLT_RANGES if position == AUTO else (DIAL[position],)
    for dial in ranges:
        assert dial is not None
        shown = in_digits(value / dial.volts_per_unit, dial)
        if shown.text != OVERLOAD:
            return shown
    return shown


_FAMILY = {
    "mV": ("V", -3),
    "V": ("V", 0),
    "mA": ("A", -3),
    "A": ("A", 0),
    "ohm": ("ohm", 0),
    "kohm": ("ohm", 3),
}
_RANGE_END = (Decimal("1.99"), Decimal("2.01"))  # every range ends at 2 times a power of ten


def _in_base(display: Display) -> tuple[str, Decimal, Decimal]:
    """Return a display's quantity, its value in the quantity's own unit, and the value of its last digit."""
    family, power = _FAMILY.get(display.unit, (display.unit, 0))
    value = Decimal(display.text)
    if not value.is_finite():
        raise ArithmeticError
    digit = Decimal(display.digit) if display.digit else Decimal(1).scaleb(int(value.as_tuple().exponent))
    return family, value.scaleb(power), digit.scaleb(power)


def counts_apart(written: Display, shown: Display) -> float:
    """Return how many last digits a written display is from the one shown; infinite when one is no number or units differ.

    At the end of a range an instrument that changes range by itself may show either: they are compared in the coarser digit.
    """
    if (written.text, written.unit) == (shown.text, shown.unit):
        return 0.0
    try:
        family, value, digit = _in_base(written)
        other_family, other, other_digit = _in_base(shown)
        like = Decimal(written.text).as_tuple().exponent == Decimal(shown.text).as_tuple().exponent
    except ArithmeticError:
        return math.inf
    if family != other_family:
        return math.inf
    if like and written.unit == shown.unit:
        return float(abs(value - other) / other_digit)
    leading = abs(other).scaleb(-other.adjusted())
    if not _RANGE_END[0] <= leading <= _RANGE_END[1]:
        return math.inf
    return float(abs(value - other) / max(digit, other_digit))


def last_digit(display_text: str) -> str:
    """Return the value of a display's last digit, in its own unit: "0.01" of "-0.90"; empty when it shows no number."""
    try:
        found = Decimal(display_text).as_tuple().exponent
    except ArithmeticError:
        return ""
    return f"{Decimal(1).scaleb(found):f}" if isinstance(found, int) else ""


def volts(display_text: str, unit: str) -> float | None:
    """Return the volts a displayed voltage stands for, or None when it shows no voltage."""
    try:
        value = float(Decimal(display_text))
    except ArithmeticError:
        return None
    return {"V": value, "mV": value / 1000}.get(unit)
