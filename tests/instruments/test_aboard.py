"""Switches, breakers, bilge, shore power and mending; and what is stopped because it hurts somebody."""

from __future__ import annotations

import json

import pytest

from course.boats.faults import BrokenBond, candidates
from course.boats.faults.ashore import IsolatorFault
from course.boats.plan import Start
from course.instruments.ends import PROBE_SETTLING_V, PROBE_V
from course.instruments.slip import Slip
from course.instruments.state import SlipError


def fault(tern, name):
    return next(f for f in candidates(tern) if f.id == name)


def volts(display: str) -> float:
    value, unit = display.split()
    return float(value) / (1000 if unit == "mV" else 1)


def probing(slip):
    """Bilge probe in V, test lead on the common bonding point in COM."""
    slip.plug("bilge probe", "V")
    slip.plug("test lead", "COM")
    slip.clip("common_bonding_point")
    slip.turn_dial("auto V")
    slip.dip_probe()
    slip.wait(30)
    return slip


def test_the_bilge_probe_has_a_zero_of_its_own_with_every_circuit_off(bench, tern):
    """Between two metals in water a meter reads their difference, leak or no leak: that is the probe's galvanic zero."""
    slip = probing(bench())
    with_all_on = volts(slip.display)
    slip.battery_switch(False)
    slip.breaker("bilge_pump", False)
    slip.wait(30)
    assert volts(slip.display) == pytest.approx(with_all_on, abs=0.001)
    assert abs(with_all_on) > 0.02
    other = probing(bench(seed="another kit"))
    assert volts(other.display) != pytest.approx(with_all_on, abs=0.001)  # each probe its own
    assert abs(volts(other.display) - with_all_on) < PROBE_V[1] - PROBE_V[0] + PROBE_SETTLING_V


def test_a_leak_into_the_bilge_shows_over_the_zero_and_goes_with_its_breaker(bench, tern):
    slip = probing(bench(fault(tern, "bilge_splice:bilge_water:fridge:poor")))
    leaking = volts(slip.display)
    slip.breaker("fridge", False)
    slip.wait(120)
    zero = volts(slip.display)
    assert leaking > zero + 0.3
    assert abs(zero) < 0.9


def test_off_at_the_battery_switch_is_not_off_for_what_is_fed_ahead_of_it(bench, tern):
    slip = probing(bench(fault(tern, "float_switch_leak:bilge_water:bilge_pump:poor")))
    before = volts(slip.display)
    slip.battery_switch(False)
    slip.wait(30)
    assert volts(slip.display) == pytest.approx(before, abs=0.05)
    slip.breaker("bilge_pump", False)
    slip.wait(120)
    assert volts(slip.display) < before - 0.3


def test_a_probe_in_the_air_or_not_plugged_in_reads_nothing(bench):
    slip = probing(bench())
    slip.dip_probe(False)
    assert abs(volts(slip.display)) < 0.03
    assert slip.view()["probe"] == {"in_bilge": False}


def test_a_probe_in_water_that_no_leak_drives_can_be_read_on_every_dial_of_both_meters(bench):
    """Such water is no node of the boat's circuit; a meter that loads it, or sends a current, still shows something."""
    slip = probing(bench())
    for position in ("200 ohm", "20 kohm", "continuity", "diode", "200 mA"):
        slip.turn_dial(position)
        assert slip.view()["meter"]["display"]
    slip.take_meter("analogue")
    slip.turn_dial("2.5 V")
    assert slip.view()["meter"]["needle"] is not None


def test_a_short_to_sound_metal_trips_its_breaker_and_trips_it_again(bench, tern):
    slip = bench(fault(tern, "chafed_positive:seacock:fridge:bonded"))
    breakers = {item["id"]: item for item in slip.view()["breakers"]}
    assert breakers["fridge"]["tripped"] is True
    assert breakers["fridge"]["closed"] is False
    assert "Refrigerator: off, tripped." in slip.text()
    row = slip.breaker("fridge", True)
    assert row["tripped"] == ["fridge"]
    assert slip.view()["said"].endswith("The breaker of Refrigerator tripped at once.")
    assert "fridge" in slip.state.open_breakers
    slip.breaker("fridge", False)
    assert "Refrigerator: off." in slip.text()
    slip.mend("fridge")
    assert "tripped" not in slip.breaker("fridge", True)
    assert "fridge" not in slip.state.open_breakers


def test_mending_puts_right_what_was_wrong_and_takes_half_an_hour(bench, tern):
    sound, slip = bench(), bench(BrokenBond.at(tern, "bond_seacock"))
    readings = []
    for boat in (sound, slip):
        boat.plug("cell lead", "COM")
        boat.plug("test lead", "V")
        boat.clip("seacock")
        boat.turn_dial("2 V")
        boat.hang_cell(3.0, 0.8)
        boat.wait(60)
        readings.append(volts(boat.display))
    assert readings[1] > readings[0] + 0.2
    before = slip.state.minute
    slip.mend("hull_anode")  # sound: only time is lost
    assert slip.state.minute == before + 30
    assert volts(slip.display) == pytest.approx(readings[1], abs=0.01)
    slip.mend("bond_seacock")
    slip.wait(24 * 60)
    assert volts(slip.display) == pytest.approx(readings[0], abs=0.003)


def test_what_can_be_mended_is_the_same_list_whatever_is_wrong(bench, tern):
    lists = [
        bench(*f).view()["mendable"] for f in ((), (fault(tern, "too_much_magnesium:common_bonding_point"),))
    ]
    assert lists[0] == lists[1]
    named = {item["id"] for item in lists[0]}
    assert {f.part for f in candidates(tern)} <= named


def test_every_candidate_fault_of_the_boat_can_be_mended_by_its_part(bench, tern):
    for name in (
        "anode_gone:hull_anode",
        "isolator_fault:isolator:missing",
        "too_much_magnesium:common_bonding_point",
    ):
        found = fault(tern, name)
        slip = bench(found)
        slip.mend(found.part)
        assert slip.state.setting.mended == {found.id}


@pytest.mark.parametrize("name", ["shore_earth", "safety_earth"])
@pytest.mark.parametrize("act", ["open_link", "mend"])
def test_the_safety_earth_is_never_opened(bench, name, act):
    with pytest.raises(SlipError, match="The safety earth is never opened"):
        bench().act(act, {"link": name, "part": name})


def test_nothing_on_the_shore_side_is_touched(bench):
    for act in ("open_link", "mend"):
        with pytest.raises(SlipError, match="Nothing on the shore side is touched"):
            bench().act(act, {"link": "dock_earth", "part": "dock_earth"})


def test_nobody_puts_hands_in_marina_water(bench):
    with pytest.raises(SlipError, match="propeller is under water, and nobody puts hands in marina water"):
        bench().clip("propeller")


def test_the_isolator_is_left_alone_while_the_shore_lead_is_in(bench):
    slip = bench(start=Start(shore_plugged=True))
    with pytest.raises(SlipError, match="unplug the shore lead at both ends first"):
        slip.clip("isolator_shore")
    with pytest.raises(SlipError, match="unplug the shore lead at both ends before"):
        slip.mend("isolator")
    slip.shore_lead(False)
    slip.clip("isolator_shore")
    with pytest.raises(SlipError, match="unplug the shore lead at both ends first"):
        slip.shore_lead(True)
    slip.mend("isolator")


@pytest.mark.parametrize(
    ("state", "low", "high"),
    [(None, 0.7, 1.4), ("failed_short", -0.01, 0.01), ("missing", -0.01, 0.01), ("failed_open", None, None)],
)
def test_the_diode_test_across_the_isolator_both_ways(bench, tern, state, low, high):
    """Two junctions in series drop about a volt at a milliampere, either way (common practice, no source)."""
    faults = [f for f in IsolatorFault.candidates(tern) if f.id.endswith(str(state))]
    slip = bench(*faults)
    slip.battery_switch(False)
    slip.breaker("bilge_pump", False)
    slip.turn_dial("diode")
    slip.plug("test lead", "V")
    slip.plug("long lead", "COM")
    for first, second in (("isolator_boat", "isolator_shore"), ("isolator_shore", "isolator_boat")):
        slip.clip(first)
        slip.clip(second, lead="long lead")
        if low is None:
            assert slip.display == "OL V"
        else:
            assert low <= volts(slip.display) <= high


def test_an_added_anode_is_seen_and_can_be_hauled_up(bench, tern):
    slip = bench(fault(tern, "too_much_magnesium:common_bonding_point"))
    assert "second_hanging_anode" in {part["id"] for part in slip.view()["parts"]}
    assert "second_hanging_anode" not in {part["id"] for part in bench().view()["parts"]}
    assert "magnesium" not in json.dumps(
        {key: slip.view()[key] for key in ("parts", "conductors", "hoists", "clampable")}
    )
    slip.lift_anode("second_hanging_anode")
    assert [h["lowered"] for h in slip.view()["hoists"]] == [True, False]


def test_a_hanging_anode_that_is_gone_is_seen_to_be_when_it_is_hauled_up(bench, tern):
    slip = bench(fault(tern, "anode_gone:hanging_anode"))

    def left():
        return next(p["remaining"] for p in slip.view()["parts"] if p["id"] == "hanging_anode")

    assert left() == 1.0
    slip.lift_anode("hanging_anode")
    assert left() == 0.0


def test_boats_without_a_thing_say_so(tern_plan, tern, tmp_path):
    points = tuple(p for p in tern.clip_points if p.at != "battery_positive")
    bare = tern.model_copy(
        update={"battery": None, "shore": None, "bilge": None, "circuits": (), "clip_points": points}
    )
    plan = tern_plan(dock=False, neighbours=()).model_copy(update={"boat": bare})
    bench = Slip(plan, tmp_path)
    view = bench.view()
    assert (view["battery"], view["shore"], view["bilge"]) == (None, None, None)
    for act, args, sentence in (
        ("battery_switch", {"on": False}, "no battery switch"),
        ("shore_lead", {"plugged": True}, "no shore power"),
        ("dip_probe", {"in_bilge": True}, "no bilge"),
    ):
        with pytest.raises(SlipError, match=sentence):
            bench.act(act, args)
