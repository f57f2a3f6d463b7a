"""The clamp: its zero drifts, its arrow counts, it adds up what is in its jaw."""

from __future__ import annotations

import pytest

from course.boats.faults.ashore import IsolatorFault
from course.boats.faults.stray import ChafedPositive
from course.boats.plan import Kit, Start
from course.instruments.clamp import DRIFT_mA, EARTH_mA
from course.instruments.state import SlipError

NOISE = 4  # mA: six deviations of noise, a digit, and a few minutes' drift between two readings


def milliamperes(slip) -> float:
    value, unit = slip.shows("clamp").split()
    return float(value) * (1000 if unit == "A" else 1)


def kit(zero=0.0):
    return Kit(clamp_zero_mA=zero)


def test_an_open_jaw_shows_its_zero_and_zeroing_takes_it_away_for_a_while(bench):
    slip = bench(kit=kit(60.0))
    assert milliamperes(slip) == pytest.approx(60, abs=6 * DRIFT_mA)
    slip.zero_clamp()
    assert abs(milliamperes(slip)) <= NOISE
    far = []
    for _ in range(8):
        slip.wait(240)
        far.append(abs(milliamperes(slip)))
    assert max(far) > 4  # it has wandered since


def test_zeroed_round_a_live_wire_it_takes_the_current_for_nothing(bench):
    slip = bench()
    slip.close_clamp("positive:fridge")
    assert milliamperes(slip) == pytest.approx(4000, abs=60)
    slip.zero_clamp()
    assert abs(milliamperes(slip)) <= NOISE
    slip.open_clamp()
    assert milliamperes(slip) == pytest.approx(-4000, abs=60)


def test_the_arrow_turned_round_turns_the_current_and_not_the_zero(bench):
    """Half the difference of both ways is the current; half the sum is what the clamp adds of its own."""
    slip = bench(kit=kit(80.0))
    slip.close_clamp("positive:lights")
    forward = milliamperes(slip)
    slip.close_clamp("positive:lights", arrow="backward")
    backward = milliamperes(slip)
    assert (forward - backward) / 2 == pytest.approx(1500, abs=EARTH_mA + 12)
    assert (forward + backward) / 2 == pytest.approx(80, abs=6 * DRIFT_mA)


def test_both_wires_of_a_sound_circuit_cancel(bench):
    slip = bench()
    slip.zero_clamp()
    slip.close_clamp(["positive:fridge", "negative:fridge"])
    assert abs(milliamperes(slip)) <= NOISE + EARTH_mA


def test_both_wires_of_a_leaking_circuit_show_what_does_not_come_back(bench, tern):
    fault = next(f for f in ChafedPositive.candidates(tern) if f.id.endswith("fridge:poor"))
    slip = bench(fault)
    slip.zero_clamp()
    slip.close_clamp(["positive:fridge", "negative:fridge"])
    leak = milliamperes(slip)
    assert abs(leak) > 15
    slip.breaker("fridge", False)
    assert abs(milliamperes(slip)) <= NOISE + EARTH_mA


def test_a_running_load_is_read_until_its_breaker_opens(bench):
    slip = bench()
    slip.zero_clamp()
    slip.close_clamp("positive:bilge_pump")
    assert slip.shows("clamp").endswith(" A")
    assert milliamperes(slip) == pytest.approx(3000, abs=20)
    slip.battery_switch(False)
    assert milliamperes(slip) == pytest.approx(3000, abs=20)  # fed ahead of the switch
    slip.breaker("bilge_pump", False)
    assert abs(milliamperes(slip)) <= NOISE + EARTH_mA


def test_round_the_shore_cable_it_reads_what_the_dock_takes(bench, tern):
    failed = next(f for f in IsolatorFault.candidates(tern) if f.id.endswith("failed_short"))
    sound, passing = (bench(*f, start=Start(shore_plugged=True)) for f in ((), (failed,)))
    for slip in (sound, passing):
        slip.zero_clamp()
        slip.close_clamp("shore_earth")
    assert abs(milliamperes(sound)) <= NOISE + EARTH_mA
    assert abs(milliamperes(passing)) > 25
    passing.shore_lead(False)
    assert abs(milliamperes(passing)) <= NOISE + EARTH_mA


def test_the_bonding_currents_add_up_at_the_common_point(bench):
    """Kirchhoff: what leaves the common point through all its wires is nothing."""
    slip = bench()
    wires = ["bond_engine", "bond_seacock", "hull_anode_lead", "hanging_anode_lead"]
    one_by_one = []
    for wire in wires:
        slip.zero_clamp()
        slip.close_clamp(wire)
        one_by_one.append(milliamperes(slip))
        slip.open_clamp()
    slip.zero_clamp()
    slip.close_clamp(wires)
    assert abs(milliamperes(slip)) <= NOISE + EARTH_mA
    assert max(abs(value) for value in one_by_one) > 10
    assert sum(one_by_one) == pytest.approx(0, abs=4 * (NOISE + EARTH_mA))


@pytest.mark.parametrize(
    ("around", "sentence"),
    [
        ([], "around a list of one or more"),
        ("bond_engine", "around a list of one or more"),
        (["bond_engin"], "did you mean 'bond_engine'"),
        ([3], "There is no conductor a clamp reaches 3"),
    ],
)
def test_what_a_clamp_cannot_close_around(bench, around, sentence):
    with pytest.raises(SlipError, match=sentence):
        bench().act("close_clamp", {"around": around})
