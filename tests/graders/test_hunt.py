"""Hunts: what the reference hunter finds, what it takes, and how a learner's hunt is scored.

Outside: the four figures of a hunt's score card (problem verified before, repair verified after, harmful changes, right) are those
of the tutored troubleshooters in the published trial named in the design; efficiency and its cap are ours.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from course.boats.afloat import Afloat
from course.boats.description import COMMON_POINT, fleet_boat
from course.boats.faults import candidates
from course.boats.personal import draw_plan
from course.boats.setting import BOND
from course.instruments.mendable import wrong_with
from course.instruments.meter import Display
from course.instruments.points import surface
from course.instruments.replay import replay
from course.instruments.slip import Slip
from graders.case import Case
from graders.exercises import EXERCISES
from graders.hunt.evidence import EDGES, level, outcome_chances
from graders.hunt.exercise import hunt_exercise
from graders.hunt.par import hunt, par, shown_by
from graders.hunt.part import INSTRUMENTS, NOTHING, WAYS, part_choices, way_of
from graders.hunt.probes import Probe, members
from graders.hunt.quality import quality
from graders.hunt.reading import evidence_of
from graders.hunt.table import SOUND, table_for
from graders.personal import plan_for
from graders.trial import mistakes, right

BOAT = "pale_whimbrel"  # few metals: her table is made quickly
HUNT = hunt_exercise(
    "07.9", "07_x", "A hunt", ("07.x",), "Find what is wrong aboard {boat}.", ("a", "b", "c"), "stray_hunt"
)


def drawn(wanted):
    """The first plan of the hunt on the boat, accepted, that is as wanted."""
    plans = (draw_plan("stray_hunt", HUNT.id, f"{k:064x}") for k in itertools.count())
    return next(plan for plan in plans if plan.boat.id == BOAT and wanted(plan))


@pytest.fixture(scope="module")
def faulty():
    plan = drawn(lambda plan: plan.faults and plan.faults[0].path == "poor")
    task = HUNT.task(plan)
    assert HUNT.fit(task)
    return HUNT.task(plan.model_copy(update={"sheet": dict(HUNT.finish(task))}))


@pytest.fixture(scope="module")
def sound():
    plan = drawn(lambda plan: not plan.faults)
    return HUNT.task(plan.model_copy(update={"sheet": dict(HUNT.finish(HUNT.task(plan)))}))


def test_outcomes_are_likely_where_they_fall_and_add_up_to_one():
    tolerance = np.array([4.0])
    for difference in (-500.0, -9.0, 0.0, 3.0, 27.0, 900.0):
        chances = outcome_chances(np.array([[difference]]), tolerance)[0, 0]
        assert chances.sum() == pytest.approx(1.0)
        assert abs(int(chances.argmax()) - int(level(np.array([difference]), tolerance)[0])) <= 1
    assert level(np.array([0.0]), tolerance)[0] == len(EDGES)


def test_a_table_begins_with_the_sound_boat_and_nothing_differs_there(faulty):
    table = table_for(faulty.plan, INSTRUMENTS)
    assert table.guesses[0].name == SOUND
    assert not table.dead[0].any()
    assert not table.live[0].any()
    assert table.prior.sum() == pytest.approx(1.0)


def test_every_kind_of_fault_has_a_way_it_is_named_by(faulty):
    table = table_for(faulty.plan, INSTRUMENTS)
    kinds = {guess.fault.kind for guess in table.guesses if guess.fault is not None}
    assert {kind: way_of(kind) for kind in kinds if kind not in sum((k for _, k in WAYS.values()), ())} == {}
    parts = [part for part, _ in part_choices(faulty)]
    assert parts[0] == NOTHING
    assert faulty.plan.faults[0].part in parts


def test_the_reference_hunter_finds_it_and_is_the_same_twice(faulty):
    first, again = (hunt(faulty.plan, INSTRUMENTS) for _ in range(2))
    assert first == again
    assert first.right
    assert first.measurements <= 8
    slow = par(faulty.plan, INSTRUMENTS)
    assert slow.right
    assert slow.measurements >= first.measurements
    assert shown_by(faulty.plan, table_for(faulty.plan, INSTRUMENTS)).circuits


def test_the_reference_hunt_done_at_the_bench_earns_all_points(faulty, sound):
    for task in (faulty, sound):
        done = right(task)
        assert [(part.part, part.mistake, part.reason) for part in done.mark.parts if not part.right] == []
        assert done.mark.points == HUNT.points


def test_each_mistake_of_a_hunt_is_recognised(faulty):
    made = list(mistakes(faulty))
    assert [(one.mistake, one.told.mistake, one.told.reason) for one in made if not one.recognised] == []
    assert {"nothing_called", "no_baseline", "never_all_off", "premature_repair", "slow"} <= {
        one.mistake for one in made
    }
    said = next(one.told.reason for one in made if one.mistake == "nothing_called")
    assert "of your logbook speaks against it" in said


@pytest.mark.parametrize(
    ("way", "part", "mistake", "says"),
    [
        ("", "", "blank", "Nothing is chosen"),
        ("bond", "", "blank", "choose the part too"),
        ("bend", "", "unread", "none of the choices"),
    ],
)
def test_a_hunt_half_answered_is_told_what_is_left_to_choose(faulty, way, part, mistake, says):
    (told,) = HUNT.parts[0].judge(Case(faulty, {"way": way, "part": part}))
    assert (told.mistake, told.points) == (mistake, 0)
    assert says in told.reason


def test_no_path_on_the_ohmmeter_is_evidence_of_a_parted_bond_and_an_unscraped_clip_is_of_nothing(
    faulty, tmp_path
):
    table, afloat = table_for(faulty.plan, INSTRUMENTS), faulty.afloat
    boat = faulty.plan.boat
    member, point = next((at, id_) for at, id_ in members(boat).items() if surface(boat, id_) != "bright")
    slip = Slip(faulty.plan, tmp_path)
    slip.battery_switch(False)
    slip.turn_dial("200 ohm")
    slip.plug("test lead", "COM")
    slip.plug("long lead", "V")
    slip.clip("common_bonding_point", scraped=True)
    slip.clip(point, "long lead", True)
    slip.record()
    (reading,) = replay(afloat, slip.rows).readings
    found = evidence_of(afloat, table, replace(reading, display=Display("OL", "ohm", "0.1")))
    likely = found.chance(table)
    shows = found.predicted(table) > 200
    assert found.terms == ((table.probes.index(Probe("ohm", member)), 1.0),)
    assert shows.any()
    assert likely[shows].min() > 100 * likely[0]
    assert {g.fault.kind for g, shown in zip(table.guesses, shows, strict=True) if shown} == {"broken_bond"}
    dull = replace(reading.state, scraped=frozenset())
    assert evidence_of(afloat, table, replace(reading, state=dull)) is None


def test_a_sound_boat_that_is_called_faulty_is_said_so(sound):
    (called,) = [one for one in mistakes(sound) if one.mistake == "something_called"]
    assert called.recognised


@pytest.mark.long
@pytest.mark.parametrize("family", ["stray_hunt", "bond_hunt", "any_hunt"])
def test_the_reference_hunter_is_as_good_as_asked(family):
    found = quality(family, 200)
    assert found.right >= 0.99, found.wrong
    assert found.median <= 5


def test_a_walked_hunt_has_its_card_and_par():
    """The score card of a hunt done by the reference hunter: everything watched for was done, nothing harmful."""
    exercise = EXERCISES["07.5"]
    marked = right(exercise.task(plan_for(exercise, "learner0", "TRY"))).mark
    watched = ("solved", "verified before", "all off", "verified after", "efficiency")
    assert {what: marked.card[what] for what in watched} == dict.fromkeys(watched, 1.0)
    assert marked.card["harmful changes"] == marked.card["premature repair"] == 0
    assert marked.par is not None
    assert marked.par >= 2


def test_a_bad_bond_beside_a_leak_can_be_remade_by_itself_and_the_leak_goes_home_by_the_copper():
    """It is no harm, as the bond was bad; but what feeds the metal is still there."""
    drawn_plan = draw_plan("desk", "07.9", "0" * 64)
    boat = fleet_boat("marsh_lantern")
    fault = next(f for f in candidates(boat) if f.kind == "brush_dust" and f.bad_bonds(boat))
    plan = drawn_plan.model_copy(update={"boat": boat, "faults": (fault,)})
    bond, *_ = fault.bad_bonds(boat)
    afloat = Afloat(plan)
    setting = afloat.start._replace(mended=wrong_with(plan, bond))
    assert setting.mended == {fault.id + BOND}
    moments = [afloat.steady(one) for one in (afloat.start, setting)]
    apart = [afloat.voltage(one, fault.target) - afloat.voltage(one, COMMON_POINT) for one in moments]
    assert apart[0] > 0.1 > abs(apart[1])
    through = [abs(afloat.current(one, bond)) for one in moments]
    assert through[1] > 10 * through[0]
