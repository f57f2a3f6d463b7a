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
