"""Module 03: each exercise by a learner who is right, and by one for every named mistake, with the exact marks."""

from __future__ import annotations

import pytest

from course.boats.afloat import Afloat
from graders.method import SENTENCES
from graders.truth import anodes_off, span

WATER = {"water_kind": "sea"}


def degrees(desk):
    return str(desk.plan.berth.temperature_degC).replace(".", ",")


def whole_pass(desk):
    return [desk.read(x=x) for x in (0.8, 10.4, 5.6)][-1]


# --- 03.1 --------------------------------------------------------------------------------------------------------------------


def test_all_right_is_ten_of_ten(bench):
    desk = bench("03.1")
    desk.set_up()
    desk.answer(hull_potential=whole_pass(desk), water_temperature=degrees(desk), **WATER)
    marked = desk.mark()
    assert marked.points == 10
    assert marked.out_of == 10
    assert not marked.notices
    assert [part.mistake for part in marked.parts] == [None] * 4
    assert marked.tries == 1


@pytest.mark.parametrize(
    ("mistake", "how"),
    [
        ("leads_swapped", {"swapped": True}),
        ("wrong_point", {"point": "seacock_heads"}),
        ("cell_on_bottom", {"depth": 2.9}),
        ("cell_too_deep", {"depth": 1.8}),
        ("cell_too_shallow", {"depth": 0.2}),
        ("cell_off_boat", {"x": 12.0}),
        ("coarse_range", {"dial": "20 V"}),
        ("cell_not_settled", {"wait": 2}),
        ("no_circuit", {"point": None}),
        ("no_metal", {"point": "rail_foot"}),
    ],
)
def test_each_wrong_turn_at_the_bench_is_named(bench, mistake, how):
    desk = bench("03.1")
    bed = desk.plan.berth.depth_m
    if how.get("depth") == 1.8 and bed < 2.4:
        pytest.skip("this berth is too shallow to hang the cell too deep")
    if "depth" in how and how["depth"] > 2:
        how = {**how, "depth": bed}
    desk.set_up(**how)
    desk.answer(hull_potential=desk.read(), water_temperature=degrees(desk), **WATER)
    part = desk.part("hull_potential")
    assert part.mistake == mistake
    assert part.points == 0
    assert part.reason.startswith(SENTENCES[mistake].split("{")[0])
    assert "{" not in part.reason


def test_a_dry_cell_is_named(bench):
    desk = bench("03.1")
    desk.set_up()
    desk.slip.lift_cell()
    desk.answer(hull_potential=desk.read())
    assert desk.part("hull_potential").mistake == "cell_dry"


def test_volts_in_a_millivolt_field_are_named(bench):
    desk = bench("03.1")
    desk.set_up()
    desk.answer(hull_potential=desk.read() / 1000)
    part = desk.part("hull_potential")
    assert (part.mistake, part.points) == ("unit", 0)
    assert (
        part.reason == "The size is right, the unit is not: this field wants millivolts, and 1 V is 1000 mV."
    )


def test_a_dropped_sign_is_named(bench):
    desk = bench("03.1")
    desk.set_up()
    desk.answer(hull_potential=-desk.read())
    assert desk.part("hull_potential").mistake == "sign_dropped"


def test_the_right_value_without_a_reading_was_not_taken(bench):
    desk = bench("03.1")
    afloat = Afloat(desk.plan)
    desk.answer(hull_potential=round(span(afloat, afloat.steady(afloat.start)).middle))
    part = desk.part("hull_potential")
    assert (part.mistake, part.points) == ("not_recorded", 0)


def test_a_later_sound_reading_makes_good_an_earlier_wrong_one(bench):
    desk = bench("03.1")
    desk.set_up(wait=2)
    desk.answer(hull_potential=desk.read())
    assert desk.part("hull_potential").mistake == "cell_not_settled"
    desk.slip.wait(40)
    desk.answer(hull_potential=desk.read())
    assert desk.part("hull_potential").right
    assert desk.mark().tries == 2


def test_one_place_is_no_pass_and_a_short_one_is_half(bench):
    desk = bench("03.1")
    desk.set_up()
    value = desk.read()
    desk.answer(hull_potential=value)
    assert (desk.part("pass").mistake, desk.part("pass").points) == ("too_few_places", 1)
    desk.read(x=6.0)
    desk.read(x=6.5)
    assert desk.part("pass").mistake == "pass_too_short"
    desk.read(x=0.5)
    assert desk.part("pass").right


def test_temperature_and_water_are_marked(bench):
    desk = bench("03.1")
    desk.set_up()
    desk.answer(hull_potential=desk.read(), water_temperature="31", water_kind="fresh")
    assert desk.part("water_temperature").mistake == "temperature"
    assert desk.part("water_kind").mistake == "water_kind"


# --- 03.2 --------------------------------------------------------------------------------------------------------------------


def anodes_out(desk, link=True, hanging=True, wait=600):
    if link:
        desk.slip.open_link("hull_anode_lead")
    if hanging:
        desk.slip.lift_anode("hanging_anode")
    if wait:
        desk.slip.wait(wait)


def put_back(desk):
    desk.slip.close_link("hull_anode_lead")
    desk.slip.lower_anode("hanging_anode")


def test_baseline_and_shift_all_right(bench):
    desk = bench("03.2")
    desk.set_up()
    on = desk.read()
    anodes_out(desk)
    desk.read()
    desk.slip.wait(10)
    off = desk.read()
    put_back(desk)
    desk.answer(baseline=off, with_anodes=on, shift=off - on)
    marked = desk.mark()
    assert marked.points == 10
    assert all(part.mistake is None for part in marked.parts)
    desk.answer(baseline=off - 90, with_anodes=on, shift=off - on)
    assert [part.part for part in desk.mark().parts if not part.right] == ["baseline"], "a slip costs once"


@pytest.mark.parametrize(
    ("mistake", "how"),
    [
        ("anode_lead_closed", {"link": False}),
        ("anode_in_water", {"hanging": False}),
        ("metal_not_settled", {"wait": 0}),
    ],
)
def test_a_baseline_that_is_none_is_named(bench, mistake, how):
    desk = bench("03.2")
    desk.set_up()
    on = desk.read()
    anodes_out(desk, **how)
    off = desk.read()
    put_back(desk)
    desk.answer(baseline=off, with_anodes=on, shift=off - on)
    assert (desk.part("baseline").mistake, desk.part("baseline").points) == (mistake, 0)
    assert desk.part("shift").right, "the subtraction follows from the learner's own readings"
    assert desk.part("with_anodes").right


@pytest.mark.parametrize(
    ("mistake", "how"), [("anode_lead_open", {"hanging": False}), ("anode_lifted", {"link": False})]
)
def test_a_reading_with_the_anodes_that_lacks_one_is_named(bench, mistake, how):
    desk = bench("03.2")
    desk.set_up()
    anodes_out(desk, **how)
    desk.answer(with_anodes=desk.read())
    assert (desk.part("with_anodes").mistake, desk.part("with_anodes").points) == (mistake, 0)


def test_an_overload_is_no_sound_reading(bench):
    desk = bench("03.1")
    desk.set_up(dial="200 mV")
    assert desk.read() is None
    desk.answer(hull_potential=-904)
    assert desk.part("pass").mistake == "no_sound_reading"
    assert desk.part("hull_potential").mistake == "not_recorded"


@pytest.mark.parametrize(
    ("mistake", "wrong"),
    [
        ("shift_sign", lambda off, on: on - off),
        ("shift_added", lambda off, on: on + off),
        ("unit", lambda off, on: (off - on) / 1000),
        ("shift_arithmetic", lambda off, on: off - on + 30),
    ],
)
def test_a_wrong_shift_is_named(bench, mistake, wrong):
    desk = bench("03.2")
    desk.answer(baseline=-640, with_anodes=-900, shift=wrong(-640, -900))
    assert desk.part("shift").mistake == mistake


@pytest.mark.parametrize(
    ("typed", "mistake", "says"),
    [
        (
            -0.5432,
            "not_recorded",
            "copy it from the logbook. And it looks like volts: this field wants millivolts",
        ),
        (-543.2, "not_recorded", "No reading in your logbook shows this value."),
        (lambda shown: round(shown, -1), "rounded_too_far", "rounded or cut short"),
    ],
)
def test_a_number_that_is_in_no_logbook_is_told_what_else_is_the_matter(bench, typed, mistake, says):
    desk = bench("03.1")
    desk.set_up()
    shown = desk.read()
    desk.answer(hull_potential=typed(shown) if callable(typed) else typed)
    part = desk.part("hull_potential")
    assert (part.mistake, part.points) == (mistake, 0)
    assert says in part.reason


def test_an_empty_logbook_is_told(bench):
    desk = bench("03.1")
    desk.answer(hull_potential=-543.2)
    assert desk.part("hull_potential").reason.startswith("Your logbook holds no reading of this boat yet.")


def test_a_shift_of_two_readings_in_volts_is_in_the_wrong_unit_too(bench):
    desk = bench("03.2")
    desk.answer(baseline=-0.640, with_anodes=-0.900, shift=0.260)
    assert (desk.part("shift").mistake, desk.part("shift").points) == ("unit", 0)


def test_a_shift_without_readings_and_a_blank_one(bench):
    desk = bench("03.2")
    desk.answer(shift=250)
    assert desk.part("shift").mistake == "no_readings"
    desk.answer(baseline=-640)
    assert desk.part("shift").mistake == "blank"


def test_one_baseline_reading_does_not_show_it_is_steady(bench):
    desk = bench("03.2")
    desk.set_up()
    anodes_out(desk)
    desk.answer(baseline=desk.read())
    assert (desk.part("steady").mistake, desk.part("steady").points) == ("steady_not_shown", 1)


def test_leaving_the_boat_unprotected_is_named(bench):
    desk = bench("03.2")
    desk.set_up()
    anodes_out(desk)
    desk.answer(baseline=desk.read())
    assert desk.part("left").mistake == "left_open"
    desk.slip.close_link("hull_anode_lead")
    assert desk.part("left").mistake == "left_lifted"
    desk.slip.lower_anode("hanging_anode")
    assert desk.part("left").right


def test_never_having_taken_the_anodes_off_earns_nothing_for_putting_back(bench):
    desk = bench("03.2")
    desk.set_up()
    desk.answer(with_anodes=desk.read())
    assert desk.part("left").mistake == "never_taken_off"


# --- 03.3 --------------------------------------------------------------------------------------------------------------------

REASON_OF = {"unprotected": "small_shift", "protected": "good_shift", "overprotected": "beyond_limit"}


def state_of(desk):
    """Read the plan as a person who knows the answer would: by its anodes, not by the exercise's own function."""
    alloys = {a.alloy for a in desk.plan.boat.anodes}
    if "magnesium_anode" in alloys:
        return "overprotected"
    return "protected" if "hull_anode" in {a.id for a in desk.plan.boat.anodes} else "unprotected"


@pytest.mark.parametrize("wanted", list(REASON_OF))
def test_each_verdict_given_rightly_is_ten_of_ten(bench, wanted):
    desk = next(d for d in (bench("03.3", attempt=k) for k in range(30)) if state_of(d) == wanted)
    desk.set_up()
    desk.answer(reading=desk.read(), verdict=wanted, reason=REASON_OF[wanted])
    assert desk.mark().points == 10


@pytest.mark.parametrize("wanted", list(REASON_OF))
@pytest.mark.parametrize("given", list(REASON_OF))
def test_a_wrong_verdict_is_named_with_the_facts(bench, wanted, given):
    if given == wanted:
        return
    desk = next(d for d in (bench("03.3", attempt=k) for k in range(30)) if state_of(d) == wanted)
    desk.set_up()
    desk.answer(reading=desk.read(), verdict=given, reason=REASON_OF[given])
    part = desk.part("verdict")
    assert (part.mistake, part.points) == (f"called_{given}", 0)
    assert part.reason.startswith("Her baseline is -")
    assert f"She is {wanted}" not in part.reason
    assert desk.part("reason").mistake == "other_reason"


@pytest.mark.parametrize("reason", ["any_negative", "more_is_better", "steel_limit"])
def test_a_wrong_reason_is_answered_by_name(bench, reason):
    desk = bench("03.3")
    desk.answer(verdict=state_of(desk), reason=reason)
    assert desk.part("reason").mistake == reason
    assert desk.part("verdict").right


def test_a_verdict_that_follows_from_a_wrong_reading_earns_half(bench):
    desk = next(d for d in (bench("03.3", attempt=k) for k in range(30)) if state_of(d) == "protected")
    desk.set_up(point="seacock_heads")
    desk.answer(reading=desk.read(), verdict="unprotected", reason="small_shift")
    assert (desk.part("verdict").mistake, desk.part("verdict").points) == ("follows_from_reading", 1.5)
    assert desk.part("reason").points == 1.5


def test_the_boat_of_each_state_is_what_the_engine_says(bench):
    """A second way to the key: the anodes on the boat say what the solver's reading must."""
    for attempt in range(12):
        desk = bench("03.3", attempt=attempt)
        afloat = Afloat(desk.plan)
        now = span(afloat, afloat.steady(afloat.start)).middle
        base = span(afloat, afloat.steady(anodes_off(afloat))).middle
        expected = {
            "overprotected": now < -1100,
            "protected": -1100 < now < base - 200,
            "unprotected": now > base - 200,
        }
        assert expected[state_of(desk)]
