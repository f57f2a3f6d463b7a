"""Instruments used rightly and wrongly: the wrong use gives the reading it gives on a boat."""

from __future__ import annotations

import pytest

from course.boats.afloat import Afloat
from course.instruments.state import SlipError
from graders.truth import span


def shown(slip) -> float:
    return float(slip.display.split()[0])


def test_a_right_reading_is_what_the_engine_says(wired, plan):
    afloat = Afloat(plan)
    assert span(afloat, afloat.steady(afloat.start)).holds(1000 * shown(wired))


def test_swapped_leads_turn_the_sign(wired):
    right = shown(wired)
    wired.plug("test lead", None)
    wired.plug("cell lead", "V")
    wired.plug("test lead", "COM")
    assert shown(wired) == pytest.approx(-right, abs=0.004)


def test_one_jack_takes_one_plug(wired):
    wired.plug("test lead", "COM")
    assert wired.state.cell_jack is None
    assert wired.state.test_jack == "COM"


def test_a_clip_on_nothing_an_unwired_rail_and_a_dry_cell_show_only_what_an_open_lead_picks_up(wired):
    wired.clip(None)
    assert abs(shown(wired)) < 0.03
    wired.clip("rail_foot")
    assert abs(shown(wired)) < 0.03
    wired.clip("common_bonding_point")
    wired.lift_cell()
    assert abs(shown(wired)) < 0.03


def test_an_unbonded_seacock_reads_its_own_potential(wired):
    right = shown(wired)
    wired.clip("seacock_heads")
    assert shown(wired) > right + 0.4


def test_the_engine_block_is_on_the_bonding(wired):
    right = shown(wired)
    wired.clip("engine_port")
    assert shown(wired) == pytest.approx(right, abs=0.006)


def test_mud_shifts_the_cell(wired, plan):
    right = shown(wired)
    wired.hang_cell(5.6, plan.berth.depth_m)
    assert shown(wired) > right + 0.02


def test_ranges_show_their_digits_and_overload(wired):
    wired.turn_dial("20 V")
    assert len(wired.display.split()[0].split(".")[1]) == 2
    wired.turn_dial("200 mV")
    assert wired.display == "OL mV"
    wired.turn_dial("off")
    assert wired.display == ""


def test_the_milliampere_range_shorts_the_cell(wired):
    wired.turn_dial("200 mA")
    assert wired.display == "0.0 mA"  # nothing is in the A jack
    wired.plug("test lead", "A")
    assert abs(shown(wired)) in (0.1, 0.2, 0.3)
    wired.turn_dial("2 V")
    assert abs(shown(wired)) < 0.03  # and nothing is in V


def test_a_freshly_wetted_cell_drifts_until_it_settles(slip):
    slip.turn_dial("2 V")
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point")
    slip.hang_cell(5.6, 1.0)
    early = shown(slip)
    slip.wait(10)
    middle = shown(slip)
    slip.wait(40)
    late = shown(slip)
    slip.wait(10)
    assert early < middle - 0.01
    assert middle < late - 0.002
    assert shown(slip) == pytest.approx(late, abs=0.004)


def test_an_opened_anode_lead_is_felt_over_minutes_not_at_once(wired):
    before = shown(wired)
    wired.open_link("hull_anode_lead")
    wired.lift_anode("hanging_anode")
    soon = shown(wired)
    wired.wait(60)
    rest = shown(wired)
    assert before < soon - 0.01
    assert soon < rest - 0.03
    wired.close_link("hull_anode_lead")
    wired.lower_anode("hanging_anode")
    wired.wait(240)
    assert shown(wired) == pytest.approx(before, abs=0.004)


@pytest.mark.parametrize(
    ("act", "args", "sentence"),
    [
        ("turn_dial", {"position": "2V"}, "There is no dial position '2V' here; did you mean '2 V'?"),
        ("plug", {"lead": "cell lead", "jack": "COMM"}, "did you mean 'COM'?"),
        ("clip", {"point": "common bonding point"}, "did you mean 'common_bonding_point'?"),
        ("hang_cell", {"x_m": 5.0, "depth_m": 40.0}, "The depth of the cell is 40.0; it can be 0.05 to"),
        ("hang_cell", {"x_m": float("nan"), "depth_m": 1.0}, "The place of the cell along the boat is nan"),
        ("hang_cell", {"x_m": "far", "depth_m": 1.0}, "is 'far'; it can be -1 to 12.2 m forward"),
        ("hang_cell", {}, "is None"),
        ("wait", {"minutes": 0}, "The time to wait is 0; it can be 1 to 1440 minutes."),
        ("wait", {"minutes": True}, "The time to wait is True"),
        ("open_link", {"link": "bond_strut_port"}, "There is no link 'bond_strut_port' here"),
        ("breaker", {"circuit": "radio", "closed": "yes"}, "'yes' is neither"),
        ("jump", {}, "There is no act 'jump' here"),
        ("note", {"text": ""}, "A note is a text of 1 to 2000 letters."),
        ("note", {"text": "x", "about": 7}, "There is no row 7 to write a note on"),
    ],
)
def test_what_cannot_be_done_is_one_sentence_and_changes_nothing(slip, act, args, sentence):
    before = slip.text()
    with pytest.raises(SlipError) as caught:
        slip.act(act, args)
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)
    slip.refresh()
    assert slip.text() == before
    assert slip.rows == ()
