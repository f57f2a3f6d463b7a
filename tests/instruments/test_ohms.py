"""Ohms, continuity and diode afloat: fooled by galvanic volts, bridged by water, longer by the leads, refused where it is live."""

from __future__ import annotations

import pytest

from course.boats.faults import BrokenBond, HighResistanceBond
from course.boats.faults.stray import ChafedPositive
from course.boats.plan import Kit
from course.instruments.points import CONTACT_OHM
from course.instruments.state import SlipError


def broken(tern):
    return BrokenBond.at(tern, "bond_seacock")


def number(display: str) -> float:
    return float(display.split()[0])


def across(slip, first, second, dial="200 ohm", scraped=True):
    """Test lead in V on ``first``, long lead in COM on ``second``, nulled on the common bonding point before."""
    slip.battery_switch(False)
    slip.breaker("bilge_pump", False)
    slip.turn_dial(dial)
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    slip.clip("common_bonding_point")
    slip.clip("common_bonding_point", lead="long lead")
    slip.null_leads()
    slip.clip(first, scraped=scraped)
    slip.clip(second, lead="long lead", scraped=scraped)
    return slip


def swap(slip):
    slip.plug("test lead", "COM")
    slip.plug("long lead", "V")
    return slip


def test_the_leads_own_resistance_is_read_and_nulled(bench):
    slip = bench(kit=Kit(long_lead_ohm=1.7))
    slip.turn_dial("200 ohm")
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    assert slip.display == "OL ohm"
    slip.clip("common_bonding_point")
    slip.clip("common_bonding_point", lead="long lead")
    low, high = CONTACT_OHM["bright"]
    assert 1.7 + 0.1 + 2 * low - 0.15 <= number(slip.display) <= 1.7 + 0.1 + 2 * high + 0.15
    slip.null_leads()
    assert abs(number(slip.display)) <= 0.1
    assert "nulled for its leads" in slip.text()
    slip.turn_dial("20 kohm")
    slip.turn_dial("200 ohm")  # turning the dial forgets
    assert number(slip.display) > 1.6


def test_nulling_open_leads_nulls_nothing(bench):
    slip = bench()
    slip.turn_dial("200 ohm")
    slip.null_leads()
    assert slip.state.null_ohm == 0


def test_a_sound_bond_reads_its_wire_with_half_the_sum_of_both_polarities(bench, tern):
    """The wire: 8 AWG, 2 m and 2 mohm of joints, under 0.01 ohm. One polarity alone is off by the current it carries."""
    slip = across(bench(), "common_bonding_point", "seacock")
    one = number(slip.display)
    other = number(swap(slip).display)
    assert abs(one + other) / 2 < 0.15


def test_swapped_leads_disagree_on_a_broken_bond_and_water_bridges_it(bench, tern):
    """The seacock stands volts apart from the bonding: nothing like its true few ohms through the water, and never open."""
    slip = across(bench(broken(tern)), "common_bonding_point", "seacock", dial="20 kohm")
    one = number(slip.display)
    other = number(swap(slip).display)
    assert one * other < 0
    assert abs(one) > 2
    half = (one + other) / 2
    assert abs(half) < 0.2  # kohm: what the water really is
    slip.turn_dial("200 ohm")
    assert slip.display == "OL ohm"


def test_a_broken_bond_reads_open_only_when_neither_end_is_wet(bench):
    slip = across(bench(), "common_bonding_point", "rail")
    assert slip.display == "OL ohm"


def test_afloat_even_half_the_sum_cannot_tell_a_corroded_joint_from_water(bench, tern):
    """Its own current over 20 ohm is some tenths of a volt: hundreds of ohms to a milliampere of test current.

    Beside the joint the water joins the same two metals by an ohm or two: half the sum is that, not the joint.
    """
    fault = HighResistanceBond.at(tern, "bond_engine", joint_ohm=20.0)
    slip = across(bench(fault), "common_bonding_point", "engine", dial="20 kohm")
    slip.turn_dial("200 ohm")
    assert slip.display == "OL ohm"
    slip.turn_dial("20 kohm")
    one = number(slip.display)
    other = number(swap(slip).display)
    assert abs(one) > 1
    assert abs(one + other) / 2 < 0.02  # kohm


def test_paint_under_the_clip_is_read_as_resistance(bench):
    slip = across(bench(), "common_bonding_point", "engine", scraped=False)
    assert slip.display == "OL ohm" or number(slip.display) > 100
    slip.clip("engine", lead="long lead", scraped=True)
    assert abs(number(slip.display)) < 10


def test_continuity_sounds_under_thirty_ohms(bench):
    slip = across(bench(), "common_bonding_point", "common_bonding_point", dial="continuity")
    assert slip.view()["meter"]["beeps"] is True
    assert "The meter sounds." in slip.text()
    slip.clip("rail")
    assert slip.view()["meter"]["beeps"] is False
    assert slip.display == "OL ohm"


def test_a_cell_on_ohms_shows_its_own_volts_as_resistance(bench):
    slip = bench()
    slip.battery_switch(False)
    slip.turn_dial("20 kohm")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point")
    slip.plug("cell lead", "COM")
    slip.hang_cell(3.0, 0.8)
    slip.wait(60)
    shown = number(slip.display)  # 4 kohm of cell, and about -1 V at 0.1 mA
    assert shown == pytest.approx(4.0 - 10.0, abs=1.5)


@pytest.mark.parametrize("dial", ["200 ohm", "20 kohm", "continuity", "diode"])
def test_ohms_are_refused_at_the_battery_and_nothing_has_changed(bench, dial):
    slip = bench()
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    slip.clip("common_bonding_point", lead="long lead")
    slip.clip("battery_positive")
    before = slip.text()
    with pytest.raises(SlipError, match="Ohms are never measured at a battery's post"):
        slip.turn_dial(dial)
    slip.refresh()
    assert slip.text() == before
    slip.clip(None)
    slip.turn_dial(dial)
    with pytest.raises(SlipError, match="battery's post"):
        slip.clip("battery_positive")


def test_ohms_are_refused_while_a_leak_pushes_current_and_allowed_once_it_is_off(bench, tern):
    """The bilge pump is fed ahead of the battery switch: off at the switch is not off."""
    fault = next(f for f in ChafedPositive.candidates(tern) if f.id.endswith("bilge_pump:poor"))
    slip = bench(fault)
    slip.battery_switch(False)
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    slip.clip("common_bonding_point")
    slip.clip("seacock", lead="long lead")
    with pytest.raises(SlipError, match="a direct current is being pushed"):
        slip.turn_dial("200 ohm")
    slip.turn_dial("2 V")  # volts are no danger
    slip.breaker("bilge_pump", False)
    slip.turn_dial("200 ohm")
    with pytest.raises(SlipError, match="live circuit"):
        slip.breaker("bilge_pump", True)
    assert slip.state.open_breakers == {"bilge_pump"}
