"""Films outside the solve: bounds, directions, and exact sums."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from course.engine import (
    EngineError,
    Kinetics,
    Network,
    OutOfRange,
    System,
    Water,
    free_corrosion_potential,
    law,
    solve,
)
from course.engine.adjust import adjusted
from course.engine.film import (
    BIOFILM_FREE,
    Coating,
    Crevice,
    biofilm_after,
    crevice_after,
    deposit_ceiling,
    deposit_rate,
    fresh_crevice,
    passive_cover_after,
    time_to_attack,
    under_deposit,
    with_biofilm,
)

SEA = Water(288.15, 35.0)
YEAR = 365.25 * 86400.0
DAY = 86400.0
TIGHT = Crevice(gap=1e-7, depth=5e-3, cathode_ratio=100.0)


def test_deposit_covers_more_where_steel_is_better_protected_until_hydrogen_lifts_it() -> None:
    cover = deposit_ceiling(np.array([-0.3, -0.55, -0.75, -1.2]), SEA)
    assert cover[0] < 0.2 < cover[1] < cover[2]
    assert cover[3] < cover[1]
    assert cover[1] == pytest.approx(0.5, abs=0.01)
    assert (deposit_ceiling([-0.75], Water(288.15, 0.5)) < 0.1 * cover[2]).all()


def test_deposit_grows_towards_its_ceiling_and_sheds_more_slowly() -> None:
    at = np.array([-0.75])
    ceiling = deposit_ceiling(at, SEA)
    assert deposit_rate(ceiling, at, SEA)[0] == 0.0
    up, down = deposit_rate(ceiling - 0.1, at, SEA)[0], deposit_rate(ceiling + 0.1, at, SEA)[0]
    assert up > -down > 0.0


def test_deposit_lowers_every_current_in_proportion(metals: dict[str, Kinetics]) -> None:
    laws = law([metals["mild_steel"]], SEA)
    at = np.array([-0.75])
    bare, covered = laws.current_density(at)[0], under_deposit(laws, [0.75]).current_density(at)[0]
    assert covered == pytest.approx(0.25 * bare, rel=1e-3)


def test_biofilm_settles_in_weeks_and_makes_passive_metal_a_better_cathode(
    metals: dict[str, Kinetics],
) -> None:
    assert biofilm_after(0.0, SEA, 0.0) == 0.0
    assert biofilm_after(0.0, SEA, 60 * DAY) > 0.95
    assert biofilm_after(0.0, Water(283.15, 35.0), 5 * DAY) < biofilm_after(0.0, Water(298.15, 35.0), 5 * DAY)
    laws = law([metals["stainless_316_passive"], metals["copper"]], SEA)
    new = with_biofilm(laws, [True, False], 0.0)
    at = np.full(2, -0.5)
    ratio = new.current_density(at) / laws.current_density(at)
    np.testing.assert_allclose(ratio, [BIOFILM_FREE, 1.0], rtol=2e-3)
    np.testing.assert_allclose(
        with_biofilm(laws, [True, False], 1.0).current_density(at), laws.current_density(at), rtol=1e-12
    )


def test_coating_is_a_straight_line_until_the_metal_is_bare() -> None:
    coating = Coating(0.02, 0.012)
    assert coating.bare(0.0) == 0.02
    assert coating.bare(10 * YEAR) == pytest.approx(0.14)
    assert coating.mean(10 * YEAR) == pytest.approx(0.02 + 0.012 * 5)
    worn = Coating(0.1, 0.1)
    assert worn.bare(20 * YEAR) == 1.0
    at = np.linspace(0.0, 20 * YEAR, 20001)
    assert worn.mean(20 * YEAR) == pytest.approx(np.mean([worn.bare(t) for t in at]), rel=1e-4)


@pytest.mark.parametrize(
    ("sooner", "later"),
    [
        ((TIGHT, SEA), (replace(TIGHT, gap=1.4e-7), SEA)),
        ((replace(TIGHT, depth=8e-3, gap=1.2e-7), SEA), (replace(TIGHT, depth=6e-3, gap=1.2e-7), SEA)),
        ((TIGHT, Water(298.15, 35.0)), (TIGHT, SEA)),
        ((TIGHT, SEA), (TIGHT, Water(288.15, 25.0))),
        ((TIGHT, SEA), (replace(TIGHT, cathode_ratio=5.0), SEA)),
        ((replace(TIGHT, critical_chloride=2500.0), SEA), (TIGHT, SEA)),
    ],
    ids=["tighter", "deeper", "warmer", "saltier", "larger cathode", "leaner alloy"],
)
def test_when_a_crevice_is_attacked_sooner(
    sooner: tuple[Crevice, Water], later: tuple[Crevice, Water]
) -> None:
    """Directions: Oldfield and Sutton (1978, from memory); chloride and geometry, Corrosion 40 (1984) 313
    (abstract)."""
    first, second = time_to_attack(*sooner), time_to_attack(*later)
    assert 0.0 < first < second
    assert math.isfinite(first)


def test_an_open_crevice_is_never_attacked() -> None:
    assert time_to_attack(replace(TIGHT, gap=1e-4), SEA) == math.inf
    assert time_to_attack(replace(TIGHT, cathode_ratio=0.0), SEA) == math.inf
    assert time_to_attack(TIGHT, Water(288.15, 0.05)) > time_to_attack(TIGHT, SEA)


def test_a_crevice_in_steps_is_a_crevice_at_once_and_agrees_with_its_time_to_attack() -> None:
    due = time_to_attack(TIGHT, SEA)
    state = fresh_crevice(SEA)
    for _ in range(50):
        state = crevice_after(TIGHT, state, SEA, 0.98 * due / 50)
    whole = crevice_after(TIGHT, fresh_crevice(SEA), SEA, 0.98 * due)
    assert state.oxygen == whole.oxygen == 0.0
    assert state.chloride == pytest.approx(whole.chloride, rel=1e-9)
    assert not state.attacked
    assert crevice_after(TIGHT, state, SEA, 0.03 * due).attacked


def test_attack_outlasts_its_cause_and_stops_under_protection() -> None:
    attacked = crevice_after(TIGHT, fresh_crevice(SEA), SEA, 10 * DAY)
    assert attacked.attacked
    assert crevice_after(TIGHT, attacked, SEA, 3600.0, potential=-0.4).attacked  # chloride still inside
    healed = crevice_after(TIGHT, attacked, SEA, 10 * DAY, potential=-0.4)
    assert not healed.attacked
    assert healed.chloride == pytest.approx(fresh_crevice(SEA).chloride, rel=1e-6)
    assert passive_cover_after(1.0, attacked, DAY) < 0.4
    assert passive_cover_after(0.0, healed, DAY) > 0.99


def test_an_attacked_crevice_is_eaten_by_the_passive_metal_round_it(metals: dict[str, Kinetics]) -> None:
    """The area is split by the passive cover between the two rows of the metals table."""
    attacked = crevice_after(TIGHT, fresh_crevice(SEA), SEA, 10 * DAY)
    inside = 0.01 * (1.0 - float(passive_cover_after(1.0, attacked, 10 * DAY)))
    laws = law([metals["stainless_316_active"], metals["stainless_316_passive"]], SEA)
    found = solve(
        System(np.diag([1.0, 0.1]), np.array([inside, 1.0]), laws, np.zeros(2, dtype=int), Network(1))
    )
    alone = free_corrosion_potential(metals["stainless_316_active"], SEA)
    assert found.current[0] > 0.0 > found.current[1]
    assert (
        laws.dissolution(found.polarisation)[0]
        > 2.0 * law([metals["stainless_316_active"]], SEA).dissolution([alone])[0]
    )


@pytest.mark.parametrize("factor", [0.0, 1e-3, 1.0, 1e3])
def test_adjusted_laws_still_rise_everywhere(metals: dict[str, Kinetics], factor: float) -> None:
    """The solve has one answer only while they do."""
    laws = law(list(metals.values()), SEA)
    sweep = np.repeat(np.linspace(-3.0, 3.0, 601)[:, None], laws.size, axis=1)
    for changed in (
        adjusted(laws, dissolution=factor),
        adjusted(laws, oxygen=factor, hydrogen=factor),
        adjusted(laws, oxygen_supply=factor, shift=0.1),
    ):
        assert (np.diff(changed.current_density(sweep), axis=0) > 0.0).all()


def test_adjusted_laws_keep_the_foot_of_the_oxygen_wave(metals: dict[str, Kinetics]) -> None:
    laws = law([metals["copper"]], SEA)
    starved = adjusted(laws, oxygen_supply=0.1)
    foot = np.array([0.1])
    assert starved.amplitude[2] == pytest.approx(0.1 * laws.amplitude[2])
    kinetic = laws.amplitude[2] / (1.0 + np.exp(-(foot - laws.centre[2]) * laws.inverse_slope[2]))
    less = starved.amplitude[2] / (1.0 + np.exp(-(foot - starved.centre[2]) * starved.inverse_slope[2]))
    assert less[0] == pytest.approx(kinetic[0], rel=0.05)
    at = np.array([-0.3])
    moved = adjusted(laws, shift=0.05).current_density(at + 0.05)
    assert moved == pytest.approx(laws.current_density(at), rel=1e-9)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (lambda: Coating(1.5, 0.0), "coating breakdown when new is 1.5; allowed is 0 to 1"),
        (lambda: Crevice(0.0, 1e-3, 1.0), "crevice gap is 0 m"),
        (lambda: deposit_ceiling([math.nan], SEA), "potential number 0 is nan"),
        (lambda: deposit_rate([1.2], [-0.7], SEA), "deposit cover number 0 is 1.2; allowed is 0 to 1"),
        (lambda: Coating(0.1, 0.1).bare(-1.0), "time is -1 s"),
        (lambda: crevice_after(TIGHT, fresh_crevice(SEA), SEA, math.nan), "time is nan s"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(wrong: object, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        wrong()  # type: ignore[operator]


def test_a_factor_of_the_wrong_size_is_refused(metals: dict[str, Kinetics]) -> None:
    with pytest.raises((EngineError, ValueError)):
        adjusted(law([metals["copper"]], SEA), dissolution=[1.0, 2.0])
