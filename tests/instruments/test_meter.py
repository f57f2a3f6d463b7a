"""The meter alone: ranges, digits and what counts as the same display."""

from __future__ import annotations

import math

import pytest

from course.instruments.meter import DIAL, Display, counts_apart, in_digits, volts


@pytest.mark.parametrize(
    ("dial", "value", "shown"),
    [
        ("2 V", -0.9044, "-0.904"),
        ("20 V", -0.9044, "-0.90"),
        ("200 V", -0.9044, "-0.9"),
        ("200 mV", -85.44, "-85.4"),
        ("200 mV", -904.4, "OL"),
        ("2 V", 2.0, "OL"),
        ("2 V", -0.0004, "0.000"),
    ],
)
def test_the_display_has_the_digits_of_its_range(dial, value, shown):
    assert in_digits(value, DIAL[dial]).text == shown


@pytest.mark.parametrize(
    ("written", "shown", "counts"),
    [
        (("-0.904", "V"), ("-0.905", "V"), 1),
        (("-0.90", "V"), ("-0.92", "V"), 2),
        (("OL", "mV"), ("OL", "mV"), 0),
        (("OL", "mV"), ("1.0", "mV"), math.inf),
        (("-0.904", "V"), ("-0.904", "mV"), math.inf),
        (("NaN", "V"), ("-0.904", "V"), math.inf),
        (("199.9", "mV"), ("0.200", "V"), 0.1),  # the two sides of a range's end, in the coarser digit
        (("2.00", "V"), ("1.999", "V"), 0.1),
        (("0.9", "V"), ("0.904", "V"), math.inf),  # not the end of a range: a digit was left out
        (("904", "mV"), ("0.904", "V"), math.inf),
        (("", ""), ("", ""), 0),
        (("Infinity", "V"), ("-0.904", "V"), math.inf),
    ],
)
def test_displays_are_compared_in_last_digits(written, shown, counts):
    assert counts_apart(Display(*written), Display(*shown)) == pytest.approx(counts)


def test_a_voltage_is_read_from_a_display_and_a_current_is_not():
    assert volts("-0.904", "V") == -0.904
    assert volts("-90.4", "mV") == pytest.approx(-0.0904)
    assert volts("0.4", "mA") is None
    assert volts("OL", "V") is None
