"""Years afloat: exact book-keeping, exact solutions, and directions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from course.engine import (
    EngineError,
    Kinetics,
    Network,
    NotConverged,
    Water,
    compiled,
    free_corrosion_potential,
    law,
    sphere_resistance,
    warm,
)
from course.engine import seasons as engine_seasons
from course.engine.craft import Craft, anode_capacity
from course.engine.film import Coating
from course.engine.seasons import Spell, sail
from course.engine.stepper import integrate
from course.engine.weather import DAY, WaterYear, celsius, constant

ZINC = 32.69e-3
SEA = constant(Water(288.15, 35.0))


def craft(
    metals: dict[str, Kinetics], names: tuple[str, ...], area: tuple[float, ...], mass: tuple[float, ...]
) -> Craft:
    radii = np.sqrt(np.array(area) / (4.0 * math.pi))
    alone = np.array([sphere_resistance(float(r)) for r in radii])
    size = len(names)
    bus = [(k, size, 100.0) for k in range(size)]
    return Craft(
        kinetics=tuple(metals[name] for name in names),
        area=np.array(area),
        transfer=np.diag(alone),
        self_resistance=alone,
        node=np.arange(size),
        networks=(Network(size + 1, bus), Network(size + 1, bus[:-1])),
        mass=np.array(mass),
        capacity=np.where(np.array(mass) > 0.0, anode_capacity(ZINC, 0.95), 0.0),
    )


@pytest.fixture
def boat(metals: dict[str, Kinetics]) -> Craft:
    names = ("nickel_aluminium_bronze", "stainless_316_passive", "zinc_anode", "zinc_anode", "mild_steel")
    return craft(metals, names, (0.2, 0.3, 0.05, 0.02, 0.4), (0.0, 0.0, 4.0, 0.8, 0.0))


def test_mass_lost_is_charge_over_capacity_to_the_last_digits(boat: Craft) -> None:
    voyage = sail(boat, SEA, [Spell(900.0)])
    for k in boat.anodes:
        lost = boat.mass[k] - voyage.mass[:, k]
        np.testing.assert_allclose(lost * boat.capacity[k], voyage.dissolved[:, k], rtol=1e-9, atol=1e-6)
    assert (np.diff(voyage.dissolved, axis=0) >= 0.0).all()


def test_charge_out_is_charge_in_and_self_corrosion_comes_on_top(boat: Craft) -> None:
    voyage = sail(boat, SEA, [Spell(365.0)])
    given = voyage.charge[-1, boat.anodes].sum()
    assert given > 0.0
    assert abs(voyage.charge[-1].sum()) < 1e-9 * given
    assert (voyage.dissolved[-1, boat.anodes] > voyage.charge[-1, boat.anodes]).all()


def test_an_anode_alone_shrinks_as_the_cube_of_a_straight_line(metals: dict[str, Kinetics]) -> None:
    """Free corrosion on an area that goes as m**(2/3): m(t)**(1/3) falls in a straight line, and so does its end."""
    lone = craft(metals, ("zinc_anode",), (0.05,), (0.1,))
    water = Water(288.15, 35.0)
    density = float(
        law(lone.kinetics, water).dissolution([free_corrosion_potential(lone.kinetics[0], water)])[0]
    )
    pace = density * 0.05 / float(lone.capacity[0]) / 0.1 / 3.0  # of the cube root of the fraction left, 1/s
    due = (1.0 - 0.1 ** (1.0 / 3.0)) / pace
    voyage = sail(lone, constant(water), [Spell(2.0 * due / DAY)])
    left = (1.0 - pace * voyage.time[:-1]) ** 3
    np.testing.assert_allclose(voyage.mass[:-1, 0] / 0.1, left, atol=1e-4)
    assert voyage.gone_at[0] == pytest.approx(due, rel=1e-4)
    assert voyage.mass[-1, 0] == pytest.approx(0.01, rel=1e-3)


def test_steps_much_finer_change_a_ten_thousandth_of_the_mass(
    boat: Craft, monkeypatch: pytest.MonkeyPatch
) -> None:
    year = WaterYear(celsius(13.0), 30.0, temperature_swing=6.0, flood_salinity=8.0, flood_days=40.0)
    coarse = sail(boat, year, [Spell(450.0)])
    monkeypatch.setattr(engine_seasons, "TOLERANCE", 2e-7)
    fine = sail(boat, year, [Spell(450.0)])
    assert fine.solves > 2 * coarse.solves
    np.testing.assert_allclose(coarse.mass[-1], fine.mass[-1], atol=1e-4 * boat.mass.max())
    np.testing.assert_allclose(coarse.gone_at, fine.gone_at, rtol=2e-4)


def test_a_spent_anode_falls_off_and_the_boat_reads_less_negative(boat: Craft) -> None:
    voyage = sail(boat, SEA, [Spell(3 * 365.25)])
    first = boat.anodes[np.argmin(voyage.gone_at[boat.anodes])]
    when = int(np.searchsorted(voyage.time, voyage.gone_at[first]))
    assert math.isfinite(voyage.gone_at[first])
    assert voyage.polarisation[when + 1, 0] > voyage.polarisation[when, 0] + 1e-4
    assert voyage.current[when + 1, first] == 0.0
    np.testing.assert_allclose(voyage.mass[when:, first], voyage.mass[when, first])


def test_plugging_in_to_bare_steel_costs_the_anodes_more(boat: Craft) -> None:
    """Patch 4, the steel, stands for the dock: joined in network 0, alone in network 1."""
    joined, alone = (sail(boat, SEA, [Spell(120.0, network=k)]) for k in (0, 1))
    half = sail(boat, SEA, [Spell(60.0, network=1), Spell(60.0, network=0)])
    lost = [voyage.dissolved[-1, 2] for voyage in (alone, half, joined)]
    assert lost[0] < 0.9 * lost[1]
    assert lost[1] < 0.9 * lost[2]


def test_hours_under_way_cost_anodes_more(boat: Craft) -> None:
    at_berth = sail(boat, SEA, [Spell(60.0)])
    two_hours = sail(boat, SEA, [Spell(60.0, hours_under_way=2.0, speed=5.0)])
    assert two_hours.dissolved[-1, 2] > 1.05 * at_berth.dissolved[-1, 2]
    all_day = sail(boat, SEA, [Spell(60.0, hours_under_way=24.0, speed=5.0)])
    mixed = at_berth.charge[-1, 2] * 22 / 24 + all_day.charge[-1, 2] * 2 / 24
    assert two_hours.charge[-1, 2] == pytest.approx(mixed, rel=0.05)  # areas shrink a little differently


def test_a_voyage_ended_early_is_the_beginning_of_the_whole_one(boat: Craft) -> None:
    whole = sail(boat, SEA, [Spell(900.0, hours_under_way=1.0, speed=3.0)])
    last = float(whole.gone_at.min()) + 65 * DAY
    assert last < 800 * DAY

    def enough(time: float, gone_at: np.ndarray) -> bool:
        return time > float(gone_at.min()) + 65 * DAY

    short = sail(boat, SEA, [Spell(900.0, hours_under_way=1.0, speed=3.0)], 0.0, enough)
    k = short.time.size
    assert last < short.time[-1] < whole.time[-1]
    assert short.solves < whole.solves
    np.testing.assert_array_equal(short.time, whole.time[:k])
    np.testing.assert_array_equal(short.mass, whole.mass[:k])
    np.testing.assert_array_equal(short.polarisation, whole.polarisation[:k])


def test_the_kernel_sails_the_voyage_that_numpy_sails(boat: Craft, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tide, hours under way, and an anode that falls off."""
    assert warm()
    year = WaterYear(celsius(13.0), 25.0, temperature_swing=6.0, tide_salinity=5.0)
    spells = [Spell(500.0, hours_under_way=1.0, speed=3.0, network_under_way=1)]
    ours = sail(boat, year, spells)
    assert np.isfinite(ours.gone_at).any()
    monkeypatch.setattr(compiled, "LARGEST", 0)
    theirs = sail(boat, year, spells)
    assert ours.solves == theirs.solves
    for name in ("time", "mass", "polarisation", "current", "charge", "dissolved", "gone_at"):
        np.testing.assert_allclose(
            getattr(ours, name), getattr(theirs, name), rtol=1e-9, atol=1e-9, err_msg=name
        )


def test_fresh_water_starves_anodes_and_a_flood_is_not_skipped(boat: Craft) -> None:
    river = replace(constant(Water(288.15, 35.0)), flood_salinity=0.5, flood_day=60.0, flood_days=6.0)
    dry, wet = sail(boat, SEA, [Spell(90.0)]), sail(boat, river, [Spell(90.0)])
    assert wet.dissolved[-1, 2] < 0.997 * dry.dissolved[-1, 2]
    long = sail(boat, replace(river, flood_days=60.0), [Spell(90.0)])
    assert long.dissolved[-1, 2] < 0.96 * dry.dissolved[-1, 2]
    assert np.diff(wet.time).max() <= 2.0 * DAY + 1.0
    assert river.at(60.0 * DAY)[0].salinity == pytest.approx(0.5)
    assert river.at(240.0 * DAY)[0].salinity == pytest.approx(35.0)
    assert river.at((60.0 + 365.25) * DAY)[0].salinity == pytest.approx(0.5)


def test_two_waters_stand_for_a_tide() -> None:
    """Gauss and Chebyshev: the mean of 1, s, s**2 and s**3 over a sinusoid, exactly."""
    tide = WaterYear(celsius(15.0), 20.0, tide_salinity=8.0)
    stand = np.array([water.salinity for water in tide.at(0.0)])
    turn = 20.0 + 8.0 * np.sin(np.linspace(0.0, 2.0 * np.pi, 20000, endpoint=False))
    for power in (1, 2, 3):
        assert (stand**power).mean() == pytest.approx((turn**power).mean(), rel=1e-9)


def test_summer_is_where_it_was_put() -> None:
    year = WaterYear(celsius(12.0), 30.0, temperature_swing=6.0, warmest_day=225.0)
    assert year.at(225.0 * DAY)[0].celsius == pytest.approx(18.0)
    assert year.at((225.0 + 182.625) * DAY)[0].celsius == pytest.approx(6.0)


def test_deposit_saves_anodes_and_worn_paint_costs_them(boat: Craft) -> None:
    plain = sail(boat, SEA, [Spell(300.0)])
    grown = sail(replace(boat, deposit=(0, 4)), SEA, [Spell(300.0)])
    assert 0.3 < grown.cover[-1, 4] < 1.0
    assert grown.cover[-1, 1] == 0.0
    assert grown.dissolved[-1, 2] < 0.9 * plain.dissolved[-1, 2]
    painted = sail(replace(boat, coating={4: Coating(0.02, 0.2)}), SEA, [Spell(300.0)])
    assert painted.dissolved[-1, 2] < 0.9 * plain.dissolved[-1, 2]
    assert painted.current[-1, 4] < painted.current[0, 4] < 0.0


def test_new_stainless_asks_for_little_until_a_biofilm_lives_on_it(boat: Craft) -> None:
    old, new = sail(boat, SEA, [Spell(60.0)]), sail(replace(boat, settling=(1,)), SEA, [Spell(60.0)])
    assert new.current[0, 1] > 0.5 * old.current[0, 1]  # both cathodic, hence negative
    assert new.biofilm[-1, 1] > 0.95
    assert (new.biofilm[:, [0, 2, 3, 4]] == 0.0).all()
    assert new.current[-1, 1] == pytest.approx(old.current[-1, 1], rel=0.06)
    assert new.dissolved[-1, 2] < old.dissolved[-1, 2]


def test_a_boat_whose_anodes_are_all_gone_stops_wasting(metals: dict[str, Kinetics]) -> None:
    lone = craft(metals, ("zinc_anode",), (0.05,), (0.01,))
    voyage = sail(lone, SEA, [Spell(3650.0), Spell(3650.0)])
    assert math.isfinite(voyage.gone_at[0])
    assert voyage.time[-1] == voyage.gone_at[0]


def test_the_integrator_is_of_third_order() -> None:
    """y' = -y + t: exact y = 2 exp(-t) + t - 1 from 1; error falls with the third power of the longest step."""
    errors = []
    for longest in (0.1, 0.05, 0.025):
        steps = integrate(
            lambda t, y: (t - y, None), (0.0, 2.0), np.ones(1), np.full(1, np.inf), longest, lambda _: 1.0
        )
        errors.append(abs(steps[-1].state[0] - (2.0 * math.exp(-2.0) + 1.0)))
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))
    np.testing.assert_allclose(orders, 3.0, atol=0.25)


def test_the_integrator_says_where_it_could_not_go_on() -> None:
    with pytest.raises(NotConverged, match="could not be followed past"):
        integrate(
            lambda t, y: (np.where(t > 0.5, np.nan, y), None),
            (0.0, 1.0), np.ones(1), np.full(1, 1e-6), 1.0, lambda _: 1.0,
        )  # fmt: skip


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (lambda boat: sail(boat, SEA, []), "needs at least one spell"),
        (lambda boat: sail(boat, SEA, [Spell(1.0, network=5)]), "wants network 5; the craft's are 0 to 1"),
        (lambda _: Spell(-1.0), "length of a spell is -1 days"),
        (lambda _: Spell(1.0, hours_under_way=25.0), "hours under way a day is 25 h"),
        (lambda boat: replace(boat, mass=-boat.mass), "mass of anode number 2 is -4 kg"),
        (lambda boat: replace(boat, capacity=0.0 * boat.capacity), "an anode has mass but no capacity"),
        (lambda boat: replace(boat, deposit=(9,)), "a film is on patch 9; the patches are 0 to 4"),
        (lambda boat: replace(boat, networks=()), "needs one network or more"),
        (lambda _: WaterYear(0.0, 35.0), "water temperature is 0 K"),
        (lambda _: WaterYear(celsius(10.0), 400.0), "practical salinity is 400"),
        (lambda _: anode_capacity(ZINC, 1.5), "anode efficiency is 1.5"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(boat: Craft, wrong: object, message: str) -> None:
    with pytest.raises(EngineError, match=message):
        wrong(boat)  # type: ignore[operator]
