"""The meter alone: ranges, digits and what counts as the same display."""

from __future__ import annotations

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


def test_displays_are_compared_in_last_digits():
    assert counts_apart(Display("-0.904", "V"), Display("-0.905", "V"), "2 V") == 1
    assert counts_apart(Display("-0.90", "V"), Display("-0.92", "V"), "20 V") == 2
    assert counts_apart(Display("OL", "mV"), Display("OL", "mV"), "200 mV") == 0
    assert counts_apart(Display("OL", "mV"), Display("1.0", "mV"), "200 mV") == float("inf")
    assert counts_apart(Display("-0.904", "V"), Display("-0.904", "mV"), "2 V") == float("inf")
    assert not counts_apart(Display("NaN", "V"), Display("-0.904", "V"), "2 V") <= 1


def test_a_voltage_is_read_from_a_display_and_a_current_is_not():
    assert volts("-0.904", "V") == -0.904
    assert volts("-90.4", "mV") == pytest.approx(-0.0904)
    assert volts("0.4", "mA") is None
    assert volts("OL", "V") is None
