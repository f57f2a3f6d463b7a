"""The boat afloat: the trade's rules of direction hold for every state of anodes and bonds."""

from __future__ import annotations

import numpy as np
import pytest

from course.boats.afloat import Afloat, Setting
from course.boats.description import COMMON_POINT
from course.boats.personal import draw_plan, seed_for
from graders.truth import anodes_off, span


@pytest.fixture(scope="module")
def plan():
    return draw_plan("hull_potential", "03.1", seed_for("practice", "", "ana", "03.1", 0))


def with_boat(plan, **changes):
    return plan.model_copy(update={"boat": plan.boat.model_copy(update=changes)})


def middle(afloat, setting=None, member=COMMON_POINT):
    return span(afloat, afloat.steady(setting or afloat.start), member).middle


def test_a_protected_boat_reads_around_minus_900(plan):
    """Common practice, no source: a well-protected bonded fibreglass twin-inboard in salt water, against Ag/AgCl."""
    assert -950 < middle(Afloat(plan)) < -850


def test_the_anodes_shift_her_by_200_mV_or_more(plan):
    """Common practice, no source."""
    afloat = Afloat(plan)
    assert middle(afloat, anodes_off(afloat)) - middle(afloat) >= 200


def test_each_anode_taken_off_makes_her_less_negative(plan):
    afloat = Afloat(plan)
    on = middle(afloat)
    one = middle(afloat, Setting(frozenset({"hull_anode_lead"}), frozenset()))
    other = middle(afloat, Setting(frozenset(), frozenset({"hanging_anode"})))
    both = middle(afloat, anodes_off(afloat))
    assert on < one < both
    assert on < other < both


def test_an_anode_half_gone_protects_less(plan):
    worn = tuple(a.model_copy(update={"remaining": a.remaining / 2}) for a in plan.boat.anodes)
    assert middle(Afloat(with_boat(plan, anodes=worn))) > middle(Afloat(plan))


def test_a_broken_bond_leaves_that_metal_alone_and_the_rest_better_off(plan):
    broken = tuple(
        c.model_copy(update={"broken": True}) if c.id == "bond_rudder_port" else c
        for c in plan.boat.conductors
    )
    whole, parted = Afloat(plan), Afloat(with_boat(plan, conductors=broken))
    assert middle(parted, member="rudder_port") > middle(whole, member="rudder_port") + 200
    assert middle(parted) < middle(whole)


def test_currents_balance_and_anodes_give_them(plan):
    afloat = Afloat(plan)
    for setting in (afloat.start, anodes_off(afloat)):
        moment = afloat.steady(setting)
        assert abs(np.sum(moment.solution.current)) < 1e-10
        given = dict(zip(moment.bodies, moment.solution.current, strict=True))
        assert given["shaft_anode_port"] > 0
        assert given["propeller_port"] < 0


def test_the_water_beside_an_anode_reads_most_negative(plan):
    """The map of the water: current leaves the anode, so the water there is at a higher potential."""
    afloat = Afloat(plan)
    moment = afloat.steady(afloat.start)
    near, far = afloat.water_potential(moment, np.array([[5.0, 2.4, -0.9], [11.0, 2.4, -0.9]]))
    assert near > far


def test_time_passes_to_the_steady_state_and_in_any_pieces(plan):
    afloat = Afloat(plan)
    off = anodes_off(afloat)
    begun = afloat.later(afloat.steady(afloat.start), off, 1)
    in_one = afloat.later(begun, off, 30)
    in_two = afloat.later(afloat.later(begun, off, 12), off, 18)
    assert in_one.solution.node_voltage == pytest.approx(in_two.solution.node_voltage, abs=1e-12)
    rest = afloat.later(begun, off, 12 * 60)
    assert rest.steady
    assert rest.solution.node_voltage == pytest.approx(afloat.steady(off).solution.node_voltage, abs=1e-12)


def test_metal_in_no_circuit_has_no_voltage(plan):
    afloat = Afloat(plan)
    assert afloat.voltage(afloat.steady(afloat.start), "rail_foot") is None
    assert afloat.voltage(afloat.steady(afloat.start), "engine_port") is not None
