"""The boat in resolved form: the same metals and conductors, and how far the lumped form is from it.

Neither form is the truth: they differ by what the lumped form leaves out. Every tolerance below is a measured
difference (in each test's docstring) with a quarter to spare, so that a change of either form shows.
"""

from __future__ import annotations

import numpy as np
import pytest

from course.boats.afloat import Afloat, Setting
from course.boats.boat_panels import pool_of
from course.boats.description import fleet_boat
from course.boats.faults import candidates
from course.boats.hunts import FLEET
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.boats.resolved import Resolved
from course.engine import Solution, solve

BERTH = middle_berth("cormorant_reach")
WATERS = {"sea": 32.0, "brackish": 8.0, "fresh": 0.2}  # practical salinity: 3.9, 1.1 and 0.033 S/m
SHAFT_ANODES_ONLY = Setting(frozenset({"hull_anode_lead"}), frozenset({"hanging_anode"}))


def plan_in(salinity: float) -> SlipPlan:
    berth = BERTH.model_copy(update={"salinity": salinity})
    return SlipPlan(exercise="none", seed="0", boat=fleet_boat("marsh_lantern"), berth=berth)


@pytest.fixture(scope="module")
def boat() -> Resolved:
    return Resolved(plan_in(WATERS["sea"]))


def solved(boat: Resolved, setting: Setting, water: str) -> tuple[Afloat, Solution, Solution]:
    """The lumped boat, its solution and the resolved one, in one of the waters."""
    lumped = Afloat(plan_in(WATERS[water]))
    return lumped, lumped.steady(setting).solution, solve(boat.system(setting, lumped.water))


def test_she_is_about_150_patches_of_the_same_metals(boat: Resolved) -> None:
    assert 140 <= boat.field.patches <= 170
    bodies = boat.lumped.bodies(boat.lumped.start)
    area = boat.by_metal(boat.lumped.start, boat.area)
    assert set(area) == {body.id for body in bodies}
    for body in bodies:
        assert area[body.id] == pytest.approx(body.area, rel=1e-12)


def test_her_field_is_sound(boat: Resolved) -> None:
    """Collocation of a first trial left 1 to 3 % of asymmetry; the hull's flat panels leave a little of the flux."""
    assert boat.field.asymmetry < 0.025
    assert boat.field.flux_miss < 0.1
    assert boat.field.smallest_eigenvalue > 0.1
    np.testing.assert_allclose(boat.field.strength.sum(axis=0), 1.0, atol=1e-12)


def test_flush_metals_have_the_size_they_are_described_with(boat: Resolved) -> None:
    drawn = boat.by_metal(boat.lumped.start, boat.pool.drawn)
    assert drawn["seacock_engines"] == pytest.approx(0.03, rel=0.01)
    assert drawn["hull_anode"] == pytest.approx(0.3 * 0.15 + 2 * 0.45 * 0.025, rel=0.05)
    assert drawn["propeller_port"] == pytest.approx(0.1, rel=0.01)  # one side


@pytest.mark.parametrize(
    ("water", "bus_mV", "total"),
    [("sea", 2.5, 1.4e-4), ("brackish", 13.5, 3e-4), ("fresh", 0.8, 0.02)],
)
def test_lumped_and_resolved_with_all_anodes(boat: Resolved, water: str, bus_mV: float, total: float) -> None:
    """Measured: bus 2.0, 10.5 and 0.6 mV apart, anode current 1.1e-4, 1.7e-4 and 1.6 % (sea, brackish, fresh).

    In sea water the oxygen limit sets the current of every cathode, and only how the anodes share it moves: a shaft anode
    gives 9 % more and the hanging one 5 % less. In fresh water the lumped form is the resolved one reduced: with the
    resistances of simple bodies the anode current was 19 % off.
    """
    lumped, one, many = solved(boat, boat.lumped.start, water)
    assert 1e3 * abs(one.node_voltage[0] - many.node_voltage[0]) < bus_mV
    given = one.current[one.current > 0].sum()
    currents = boat.by_metal(lumped.start, many.current)
    assert abs(sum(c for c in currents.values() if c > 0) / given - 1.0) < total
    assert abs(many.current.sum()) < 1e-10


@pytest.mark.parametrize(
    ("water", "bus_mV", "total"), [("sea", 18.0, 7.3e-4), ("brackish", 36.0, 0.075), ("fresh", 4.4, 0.076)]
)
def test_lumped_and_resolved_on_the_shaft_anodes_alone(
    boat: Resolved, water: str, bus_mV: float, total: float
) -> None:
    """Measured: bus 14.6, 29 and 3.5 mV apart, anode current 5.8e-4, 6 % and 6.1 % (sea, brackish, fresh).

    Two collars of 0.01 m2 carry everything, so their own resistance counts: a ring about the shaft here, a sphere of
    the same area in the lumped form, and the shaft beside it is the nearest cathode.
    """
    _, one, many = solved(boat, SHAFT_ANODES_ONLY, water)
    assert 1e3 * abs(one.node_voltage[0] - many.node_voltage[0]) < bus_mV
    given = one.current[one.current > 0].sum()
    currents = boat.by_metal(SHAFT_ANODES_ONLY, many.current)
    assert abs(sum(c for c in currents.values() if c > 0) / given - 1.0) < total


def test_the_difference_is_not_the_panels() -> None:
    """A hull cut half as finely again both ways moves the bus by 0.14, 0.46, 1.1 mV in sea, brackish, fresh water (measured)."""
    coarse, fine = (Resolved(plan_in(32.0), *cut) for cut in ((20, 10), (30, 14)))
    for water, allowed_mV in (("sea", 0.2), ("brackish", 0.6), ("fresh", 1.5)):
        buses = [solved(boat, boat.lumped.start, water)[2].node_voltage[0] for boat in (coarse, fine)]
        assert 1e3 * abs(buses[0] - buses[1]) < allowed_mV


def test_a_reading_in_the_water_agrees_as_the_bus_does(boat: Resolved) -> None:
    """Hull potential at three places of the cell: 1.9 to 2.0 mV apart in sea water (measured)."""
    lumped, one, many = solved(boat, boat.lumped.start, "sea")
    at = np.array([[5.6, 2.4, -1.0], [1.0, 2.6, -0.5], [9.0, 2.4, -0.5]])
    few = one.node_voltage[0] - lumped.water_potential(lumped.steady(lumped.start), at)
    fine = many.node_voltage[0] - boat.water_potential(lumped.start, many, at)
    assert np.abs(few - fine).max() < 2.5e-3


def test_each_anode_taken_off_makes_her_less_negative(boat: Resolved) -> None:
    settings = [
        boat.lumped.start,
        Setting(frozenset({"hull_anode_lead"}), frozenset()),
        SHAFT_ANODES_ONLY,
    ]
    bus = [float(solve(boat.system(setting)).node_voltage[0]) for setting in settings]
    assert bus[0] < bus[1] < bus[2]


def test_a_shaft_is_not_at_one_potential_in_fresh_water(boat: Resolved) -> None:
    """Next to its anode a shaft is held lower than at its far end: direction only, as Ohm's law has it."""
    _, _, many = solved(boat, boat.lumped.start, "fresh")
    shaft = [k for k, owner in enumerate(boat.owners) if owner == "shaft_port"]
    at = boat.field.panels
    forward = [float(at.centre[at.patch == k, 0].mean()) for k in shaft]
    beside = shaft[int(np.argmin(np.abs(np.array(forward) - 1.35)))]
    far = shaft[int(np.argmax(forward))]
    assert many.polarisation[beside] < many.polarisation[far] - 5e-3


@pytest.mark.parametrize(
    ("name", "total", "reading_mV"),
    [("summer_hail", 0.078, 14.0), ("noon_ripple", 0.024, 8.0), ("alder_mist", 0.019, 27.5)],
)
def test_the_boats_of_the_lake_reduced_and_resolved(name: str, total: float, reading_mV: float) -> None:
    """Measured: anode current 6.2, 1.9 and 1.5 % apart, readings at three places 11, 6.3 and 22 mV.

    The boats are a drive on a transom, two aluminium tubes and a steel hull: a metal hull is its own panels. The reduced form is
    between two bounds (`fresh_water.reduced`), so what is left over is how each metal shares out its current.
    """
    plan = SlipPlan(exercise="none", seed="0", boat=fleet_boat(name), berth=middle_berth("lark_water"))
    few, fine = Afloat(plan), Resolved(plan)
    moment, many = few.steady(few.start), solve(fine.system(few.start))
    given = moment.solution.current[moment.solution.current > 0].sum()
    currents = fine.by_metal(few.start, many.current)
    assert abs(given / sum(c for c in currents.values() if c > 0) - 1.0) < total
    at = np.array([[x, 2.5, -0.6] for x in (0.5, 3.0, 6.0)])
    one = moment.solution.node_voltage[0] - few.water_potential(moment, at)
    other = many.node_voltage[0] - fine.water_potential(few.start, many, at)
    assert 1e3 * np.abs(one - other).max() < reading_mV


def test_copper_paint_has_a_place_in_the_field() -> None:
    """It has no panels of its own: in resolved form it shares those of what it is on, and the matrix stays sound."""
    boat = fleet_boat("summer_hail")
    paint = next(f for f in candidates(boat) if f.kind == "copper_on_aluminium")
    berth = middle_berth("lark_water")
    whole, painted = (
        Afloat(SlipPlan(exercise="none", seed="0", boat=boat, berth=berth, faults=faults))
        for faults in ((), (paint,))
    )
    drive = [afloat.voltage(afloat.steady(afloat.start), "drive") for afloat in (whole, painted)]
    assert drive[0] is not None
    assert drive[1] is not None
    assert drive[1] > drive[0]


@pytest.mark.long
@pytest.mark.parametrize("name", FLEET)
def test_every_boat_of_the_fleet_can_be_drawn(name: str) -> None:
    """Measured at the cut used in fresh water: asymmetry 0.2 to 3.2 %, flux missed at most 29 % of a half (steel skeg)."""
    field = pool_of(fleet_boat(name), BERTH, 24, 10).field
    assert field.asymmetry < 0.04
    assert field.flux_miss < 0.37
    assert field.smallest_eigenvalue > 0.0
