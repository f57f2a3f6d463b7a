"""What a clamp, an ohmmeter and a probe in the bilge are told: currents in wires, test sources, the voltage of bilge water."""

from __future__ import annotations

import pytest

from course.boats.afloat import Afloat
from course.boats.description import COMMON_POINT, fleet_boat
from course.boats.faults import Fault, candidates
from course.boats.faults.bonded import poorly_bonded
from course.boats.paths import NEGATIVE, POSITIVE
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan

BOAT = fleet_boat("marsh_lantern")
FAULTS = {fault.id: fault for fault in candidates(BOAT)}


def afloat(*faults: Fault) -> Afloat:
    berth = middle_berth("cormorant_reach")
    return Afloat(SlipPlan(exercise="none", seed="0", boat=BOAT, berth=berth, faults=faults))


@pytest.fixture(scope="module")
def sound() -> Afloat:
    return afloat()


def test_currents_balance_where_bonds_meet(sound: Afloat) -> None:
    """Kirchhoff at the common bonding point: what comes by one conductor goes by another."""
    moment = sound.steady(sound.start)
    out = [c for c in BOAT.conductors if c.from_ == COMMON_POINT]
    assert abs(sum(sound.current(moment, c.id) for c in out)) < 1e-9
    # by wire to the anode and out of it into the water; out of the water into the rudder, and back by wire
    assert sound.current(moment, "hull_anode_lead") > 0.01
    assert sound.current(moment, "bond_rudder_port") < -0.001


def test_a_clamp_round_both_wires_of_a_circuit_reads_what_leaks(sound: Afloat) -> None:
    moment = sound.steady(sound.start)
    for circuit in BOAT.circuits:
        there, back = (sound.current(moment, f"{pole}:{circuit.id}") for pole in (POSITIVE, NEGATIVE))
        assert (there, back) == (circuit.load_A, -circuit.load_A)
    dark = sound.steady(sound.start._replace(battery_on=False))
    assert sound.current(dark, "positive:cabin_lights") == 0.0
    assert sound.current(dark, "positive:bilge_pump") == 4.0  # fed ahead of the battery switch
    fault = FAULTS["brush_dust:seacock_engines:bilge_pump:poor"]
    leaking = afloat(fault)
    moment = leaking.steady(leaking.start)
    both = sum(leaking.current(moment, f"{pole}:bilge_pump") for pole in (POSITIVE, NEGATIVE))
    into_water = moment.solution.current[moment.bodies.index("seacock_engines")]
    bond = leaking.current(moment, "bond_seacock_engines")
    assert both == pytest.approx(
        into_water - bond, abs=1e-6
    )  # what leaks goes into the water or up the bad bond


def test_a_shared_return_is_missing_from_its_own_negative() -> None:
    fault = FAULTS["shared_return:seacock_engines:bilge_pump:bonded"]
    boat = afloat(fault)
    moment = boat.steady(boat.start)
    both = boat.current(moment, "positive:bilge_pump") + boat.current(moment, "negative:bilge_pump")
    assert both > 1.0
    assert -boat.current(moment, "bond_seacock_engines") == pytest.approx(both, abs=0.05)


def test_every_wire_that_can_be_clamped_has_a_name_and_a_current(sound: Afloat) -> None:
    named = dict(sound.clampable())
    assert {"bond_rudder_port", "positive:radio", "negative:radio", "shore_earth"} <= set(named)
    assert "gearbox_port" not in named  # a contact is no wire
    moment = sound.steady(sound.start)
    assert all(isinstance(sound.current(moment, name), float) for name in named)
    opened = sound.steady(sound.start._replace(open_links=frozenset({"hull_anode_lead"})))
    assert sound.current(opened, "hull_anode_lead") == 0.0


def test_the_positive_post_stands_12_7_volts_over_the_negative_less_its_load(sound: Afloat) -> None:
    moment = sound.steady(sound.start)
    high, low = sound.voltage(moment, "battery_positive"), sound.voltage(moment, "engine_port")
    assert high is not None
    assert low is not None
    load = sum(c.load_A for c in BOAT.circuits)
    assert high - low == pytest.approx(12.7 - 0.01 * load)


def test_only_what_a_leak_feeds_is_live(sound: Afloat) -> None:
    assert not sound.live(sound.start, "rudder_port")
    assert sound.live(sound.start, "battery_positive")
    fault = FAULTS["chafed_positive:seacock_heads:shower_sump:poor"]
    leaking = afloat(fault)
    assert leaking.live(leaking.start, "seacock_heads")
    assert not leaking.live(leaking.start, "rudder_port")
    off = leaking.start._replace(open_breakers=frozenset({"shower_sump"}))
    assert not leaking.live(off, "seacock_heads")


def test_a_test_source_finds_the_ohms_of_a_bond_and_none_of_a_broken_one(sound: Afloat) -> None:
    """An ohmmeter of 0.2 V behind 100 ohm; zeroed on the metals' own voltage, as two readings of opposite polarity do."""

    def ohms(boat: Afloat, a: str, b: str) -> float:
        moment = boat.steady(boat.start)
        up, down = (boat.probed(moment, a, b, emf, 100.0) for emf in (0.2, -0.2))
        share = (up - down) / 0.4
        return 100.0 * share / max(1.0 - share, 1e-12)

    rudder = next(c for c in BOAT.conductors if c.id == "bond_rudder_port")
    assert ohms(sound, COMMON_POINT, "rudder_port") == pytest.approx(0.0087, abs=0.002)
    assert rudder.joints_ohm == 0.003
    assert ohms(sound, COMMON_POINT, "rail_foot") > 1e4  # joined to nothing
    bad = FAULTS["high_resistance_bond:bond_strut_port"].weighed(20.0)
    through_water = ohms(afloat(FAULTS["broken_bond:bond_strut_port"]), COMMON_POINT, "strut_port")
    assert ohms(afloat(bad), COMMON_POINT, "strut_port") == pytest.approx(
        1 / (1 / 20.0 + 1 / through_water), rel=0.02
    )


def test_the_battery_is_found_across_its_posts(sound: Afloat) -> None:
    moment = sound.steady(sound.start)
    assert sound.probed(moment, "battery_positive", "engine_port", 0.0, 1e7) == pytest.approx(12.7, abs=1e-3)


def test_bilge_water_stands_at_volts_only_while_something_leaks_into_it(sound: Afloat) -> None:
    quiet = sound.voltage(sound.steady(sound.start), "bilge_water")
    assert quiet is not None
    assert abs(quiet) < 1.0
    leaking = afloat(FAULTS["bilge_splice:bilge_water:fresh_water_pump:bonded"])
    on = leaking.voltage(leaking.steady(leaking.start), "bilge_water")
    off_setting = leaking.start._replace(open_breakers=frozenset({"fresh_water_pump"}))
    off = leaking.voltage(leaking.steady(off_setting), "bilge_water")
    assert on is not None
    assert off is not None
    assert on > off + 0.8
    assert off == pytest.approx(quiet, abs=0.1)
    dry = (
        BOAT.model_copy(update={"bilge": BOAT.bilge.model_copy(update={"water": "dry"})})
        if BOAT.bilge
        else BOAT
    )
    boat = Afloat(sound.plan.model_copy(update={"boat": dry}))
    assert boat.voltage(boat.steady(boat.start), "bilge_water") is None


def test_bilge_water_is_no_bond() -> None:
    """Two metals in one bilge are not joined by it: a strainer cut off keeps its own potential within a few millivolts."""
    wet = FAULTS["bilge_splice:bilge_water:fresh_water_pump:poor"]
    leaking = afloat(wet)
    off = leaking.start._replace(open_breakers=frozenset({"fresh_water_pump"}))
    poor = poorly_bonded(BOAT, "seacock_engines", 500.0)
    cut = Afloat(leaking.plan.model_copy(update={"boat": poor, "faults": ()}))
    with_water = leaking.voltage(leaking.steady(off), "seacock_engines")
    without = cut.voltage(cut.steady(cut.start), "seacock_engines")
    assert with_water == pytest.approx(without, abs=0.02)


def test_a_moment_after_a_breaker_is_not_yet_settled() -> None:
    """What was driven volts off by a leak takes minutes to come back."""
    leaking = afloat(FAULTS["brush_dust:seacock_engines:bilge_pump:poor"])
    off = leaking.start._replace(open_breakers=frozenset({"bilge_pump"}))
    soon = leaking.later(leaking.steady(leaking.start), off, 1)
    late = leaking.later(soon, off, 24 * 60)
    assert not soon.steady
    assert late.steady
    settled, at_once = (leaking.voltage(m, "seacock_engines") for m in (late, soon))
    assert at_once is not None
    assert settled is not None
    assert at_once > settled + 1e-3
