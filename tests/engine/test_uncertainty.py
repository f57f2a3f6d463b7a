"""Bands: always the same, about the law itself, wider where less is known."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import asdict

import numpy as np
import pytest
import yaml
from scipy import stats

from course.boats.craft import craft_of
from course.boats.datasets import datasets_folder
from course.boats.description import fleet_boat
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.engine import EngineError, Kinetics, Network, System, Water, law, solve
from course.engine.constants import YEAR
from course.engine.craft import Craft
from course.engine.seasons import Spell, sail
from course.engine.uncertainty import Spread, band, draws, kinds_of, life_band, sampled, system_bands
from course.engine.weather import constant

SEA = Water(288.15, 35.0)


@pytest.fixture
def pair(metals: dict[str, Kinetics]) -> tuple[System, np.ndarray]:
    kinetics = [metals["zinc_anode"], metals["nickel_aluminium_bronze"], metals["nickel_aluminium_bronze"]]
    laws = law(kinetics, SEA)
    area = np.array([0.05, 0.2, 0.3])
    return System(np.diag([0.3, 0.1, 0.1]), area, laws, np.zeros(3, dtype=int), Network(1)), kinds_of(
        kinetics
    )


def test_draws_are_normal_balanced_and_ever_the_same() -> None:
    z = draws(6, 200)
    assert z.shape == (200, 6, 5)
    assert np.array_equal(z, draws(6, 200))
    np.testing.assert_allclose(z.mean(axis=0), 0.0, atol=1e-9)
    np.testing.assert_allclose(z.std(axis=0), 1.0, atol=0.12)
    flat = z.reshape(200, -1)
    assert max(stats.kstest(column, "norm").statistic for column in flat.T) < 0.06
    assert np.abs(np.corrcoef(flat.T) - np.eye(30)).max() < 0.1


def test_the_engine_does_without_scipy_stats_until_asked() -> None:
    asks = "import sys, course.engine.uncertainty; print('scipy.stats' in sys.modules)"
    child = subprocess.run([sys.executable, "-c", asks], capture_output=True, encoding="utf-8", check=True)
    assert child.stdout.strip() == "False"


def test_the_table_of_metals_tells_the_spread() -> None:
    with (datasets_folder() / "metals.yaml").open(encoding="utf-8") as stream:
        told = yaml.safe_load(stream)["bands"]
    assert {name: entry["value"] for name, entry in told.items()} == asdict(Spread())


def test_a_band_of_normal_numbers_is_the_normal_band() -> None:
    """5 and 95 % of a normal distribution lie 1.645 deviations out."""
    found = band(draws(1, 2000)[:, 0, 0])
    assert found.middle == pytest.approx(0.0, abs=0.02)
    assert found.high == pytest.approx(1.645, abs=0.03)
    assert found.low == pytest.approx(-1.645, abs=0.03)


def test_bands_hold_the_law_itself_and_shrink_with_the_spread(pair: tuple[System, np.ndarray]) -> None:
    system, kinds = pair
    nominal = solve(system)
    wide, narrow = (
        system_bands(system, kinds),
        system_bands(system, kinds, spread=Spread(0.003, 0.1, 0.1, 0.1, 0.1)),
    )
    for one in (wide, narrow):
        assert (one.polarisation.low < nominal.polarisation).all()
        assert (nominal.polarisation < one.polarisation.high).all()
        assert (one.current.low < nominal.current).all()
        assert (nominal.current < one.current.high).all()
    assert (wide.current.high - wide.current.low > 2.0 * (narrow.current.high - narrow.current.low)).all()
    none = system_bands(system, kinds, spread=Spread(0.0, 0.0, 0.0, 0.0, 0.0))
    np.testing.assert_allclose(none.current.high, nominal.current, rtol=1e-9)


def test_patches_of_one_metal_share_their_draws(pair: tuple[System, np.ndarray]) -> None:
    system, kinds = pair
    assert kinds.tolist() == [0, 1, 1]
    moved = sampled(system.law, draws(2)[:, kinds])[7]
    at = np.full(3, -0.5)
    ratio = moved.current_density(at) / system.law.current_density(at)
    assert ratio[1] == pytest.approx(ratio[2])


def test_bands_of_couples_cover_what_sampling_a_thousand_gives(pair: tuple[System, np.ndarray]) -> None:
    """200 fixed draws against 1000 pseudo-random ones: ends within a fifth of the band's width."""
    system, kinds = pair
    loose = np.random.default_rng(3).standard_normal((1000, 2, 5))
    few, many = system_bands(system, kinds), system_bands(system, kinds, loose)
    width = many.current.high - many.current.low
    for name in ("low", "middle", "high"):
        assert (np.abs(getattr(few.current, name) - getattr(many.current, name)) < 0.2 * width).all()


def test_life_of_the_demonstration_boats_anodes() -> None:
    """Bands of a factor of 1.2 to 6, the middle at the seasons' own answer."""
    plan = SlipPlan(
        exercise="-", seed="-", boat=fleet_boat("marsh_lantern"), berth=middle_berth("cormorant_reach")
    )
    craft, _ = craft_of(plan)
    still, spells = constant(SEA), [Spell(6 * 365.25)]
    lives = life_band(craft, still, spells, draws(6, 60))
    assert (lives.low < lives.middle).all()
    assert (lives.middle < lives.high).all()
    assert (lives.high / lives.low > 1.2).all()
    assert (lives.high / lives.low < 6.0).all()
    gone = sail(craft, still, spells).gone_at[craft.anodes]
    np.testing.assert_allclose(lives.middle / gone, 1.0, atol=0.1)
    assert (lives.middle / YEAR < 10.0).all()


def test_the_first_order_life_agrees_with_whole_voyages(
    metals: dict[str, Kinetics], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bronze and two zincs: 14 voyages in which every law is drawn, beside `life_band` of the same draws; 15 %."""
    kinetics = (metals["nickel_aluminium_bronze"], metals["zinc_anode"], metals["zinc_anode"])
    alone = np.array([0.5, 0.8, 1.4])
    craft = Craft(
        kinetics, np.array([0.4, 0.05, 0.02]), np.diag(alone), alone, np.arange(3),
        (Network(4, [(k, 3, 50.0) for k in range(3)]),), np.array([0.0, 0.25, 0.08]), np.array([0.0, 2.8e6, 2.8e6]),
    )  # fmt: skip
    still, spells, z = constant(SEA), [Spell(4 * 365.25)], draws(2, 14)
    quick = life_band(craft, still, spells, z)
    of, whole = kinds_of(kinetics), []
    names = {id(k): n for k, n in zip(kinetics, of, strict=True)}
    monkeypatch.setattr("course.engine.compiled.LARGEST", 0)  # machine code has laws of its own
    for one in z:
        monkeypatch.setattr(
            "course.engine.seasons.law",
            lambda some, water, one=one: sampled(law(some, water), one[None, [names[id(k)] for k in some]])[
                0
            ],
        )
        whole.append(sail(craft, still, spells).gone_at[1:])
    monkeypatch.undo()
    slow = band(np.array(whole))
    for name in ("low", "middle", "high"):
        np.testing.assert_allclose(getattr(quick, name), getattr(slow, name), rtol=0.15)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (lambda s, k: system_bands(s, k[:2]), "each of the 3 patches needs the number of its metal"),
        (lambda s, k: system_bands(s, k, np.zeros((20, 1, 5))), r"the deviates have shape \(20, 1, 5\)"),
        (lambda s, _: sampled(s.law, np.full((1, 3, 5), math.nan)), "deviate number 0, 0, 0 is nan"),
        (lambda *_: draws(0), "number of metals is 0"),
        (lambda *_: draws(1, 5), "number of draws is 5"),
        (lambda *_: band([1.0, 2.0]), "needs ten draws"),
        (lambda *_: band([math.nan] * 20), "no numbers"),
        (lambda *_: Spread(shift=-1.0), "spread of potentials is -1 V"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    pair: tuple[System, np.ndarray], wrong: object, message: str
) -> None:
    with pytest.raises(EngineError, match=message):
        wrong(*pair)  # type: ignore[operator]
