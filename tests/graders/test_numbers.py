"""What was typed: decimal commas, any minus sign, units; and three different sentences for three faults."""

from __future__ import annotations

import pytest

from graders.numbers import Unreadable, parse_number


@pytest.mark.parametrize(
    ("typed", "value"),
    [("-904", -904.0), ("-904,5", -904.5), ("−904.5", -904.5), ("–904 mV", -904.0), (" 904 ", 904.0), ("+12", 12.0), (".5", 0.5)],
)  # fmt: skip
def test_numbers_as_people_write_them(typed, value):
    assert parse_number(typed, "mV") == value


@pytest.mark.parametrize(
    ("typed", "unit"),
    [("4,5 A/m2", "A/m²"), ("4.5 A/m^2", "A/m²"), ("4.5 A/m²", "A/m²"), ("4.5 °C", "degC"), ("4.5 mm a year", "mm/yr"),
     ("4.5 mm/year", "mm/yr"), ("4,5 Ω", "ohm"), ("4.5 yr", "years"), ("4.5 g per day", "g/day")],
)  # fmt: skip
def test_one_unit_is_written_in_several_ways(typed, unit):
    assert parse_number(typed, unit) == 4.5


@pytest.mark.parametrize(
    ("typed", "unit"),
    [("4.5 mA/m2", "A/m²"), ("4.5 m2", "cm²"), ("4.5 F", "degC"), ("4.5 kohm", "ohm"), ("4.5 a", "A")],
)
def test_another_unit_is_not_taken_for_the_field_s(typed, unit):
    with pytest.raises(Unreadable, match="this field wants"):
        parse_number(typed, unit)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "nothing is written here yet"),
        ("about -900", "'about -900' is not one number"),
        ("-1.234,5", "is not one number"),
        ("-0.904 V", "'-0.904 V' is in V; this field wants mV"),
        ("nan", "is not one number"),
        ("9" * 400, "is not one number"),
        ("-900 -910", "is not one number"),
    ],
)
def test_what_cannot_be_read_gets_its_own_sentence(typed, sentence):
    with pytest.raises(Unreadable) as caught:
        parse_number(typed, "mV")
    assert sentence in str(caught.value)
