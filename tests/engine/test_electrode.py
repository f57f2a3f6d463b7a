"""The electrode laws: strictly increasing, integrable in closed form, moved the right way by the water."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from course.engine import REFERENCE_WATER, EngineError, Kinetics, Water, free_corrosion_potential, law

WATERS = (Water(283.15, 35.0, 0.0), REFERENCE_WATER, Water(300.15, 2.0, 1.0, 0.3, 7.0))
SWEEP = np.linspace(-15.0, 15.0, 6001)


@pytest.mark.parametrize("water", WATERS)
def test_every_law_rises_everywhere(metals: dict[str, Kinetics], water: Water) -> None:
    laws = law(list(metals.values()), water)
    potentials = np.repeat(SWEEP[:, None], laws.size, axis=1)
    assert (np.diff(laws.current_density(potentials), axis=0) > 0.0).all()
    assert (laws.slope(potentials) > 0.0).all()


@pytest.mark.parametrize("water", WATERS)
def test_slope_is_the_derivative(metals: dict[str, Kinetics], water: Water) -> None:
    laws = law(list(metals.values()), water)
    rng = np.random.default_rng(7)
    at = rng.uniform(-2.0, 2.5, (200, laws.size))
    step = 1e-5
    rise = (laws.current_density(at + step) - laws.current_density(at - step)) / (2 * step)
    # On a plateau of 1e4 A/m2 the difference of two currents keeps 1e4 * 1e-16 / 1e-5 = 1e-7 A/m2/V.
    np.testing.assert_allclose(rise, laws.slope(at), rtol=2e-5, atol=1e-6)


def test_co_content_is_the_integral(metals: dict[str, Kinetics]) -> None:
    for name in ("zinc_anode", "stainless_316_passive", "titanium", "copper"):
        alone = law([metals[name]], REFERENCE_WATER)
        rest = metals[name].corrosion_potential
        area, _ = quad(lambda e, alone=alone: float(alone.current_density([e])[0]), rest - 0.4, rest + 0.2)
        ends = alone.cocontent([rest + 0.2]) - alone.cocontent([rest - 0.4])
        assert float(ends[0]) == pytest.approx(area, rel=1e-7)


def test_calibration_water_gives_the_stated_potential(metals: dict[str, Kinetics]) -> None:
    for name, metal in metals.items():
        at = free_corrosion_potential(metal, REFERENCE_WATER)
        assert at == pytest.approx(metal.corrosion_potential, abs=1e-9), name


def test_dissolution_is_metal_loss_only(metals: dict[str, Kinetics]) -> None:
    laws = law(list(metals.values()), REFERENCE_WATER)
    at = np.repeat(SWEEP[:, None], laws.size, axis=1)
    loss = laws.dissolution(at)
    assert (loss >= 0.0).all()
    assert (np.diff(loss, axis=0) >= 0.0).all()
    stored = laws.with_storage(np.full(laws.size, 50.0), np.zeros(laws.size))
    np.testing.assert_array_equal(stored.dissolution(at), loss)
    assert loss.max() <= 2.1e4  # two branches behind the salt film of 1e4 A/m2
    protected = law([metals["mild_steel"]], REFERENCE_WATER).dissolution([-0.85 + 0.241])
    free = law([metals["mild_steel"]], REFERENCE_WATER).dissolution(
        [metals["mild_steel"].corrosion_potential]
    )
    assert protected[0] < 0.01 * free[0]


def test_storage_adds_a_conductance(metals: dict[str, Kinetics]) -> None:
    laws = law([metals["copper"], metals["zinc_anode"]], REFERENCE_WATER)
    g, before, at = np.array([3.0, 40.0]), np.array([-0.2, -0.8]), np.array([-0.1, -0.75])
    stored = laws.with_storage(g, before)
    np.testing.assert_allclose(
        stored.current_density(at) - laws.current_density(at), g * (at - before), atol=1e-12
    )
    np.testing.assert_allclose(stored.slope(at) - laws.slope(at), g, rtol=1e-12)


@pytest.mark.parametrize("name", ["stainless_316_passive", "titanium", "graphite", "alloy_400", "mild_steel"])
def test_twelve_volts_drive_a_metal_a_few_volts_at_most(metals: dict[str, Kinetics], name: str) -> None:
    """12 V through 1 ohm into 0.1 m2: the water breaks down before the metal follows the battery."""
    alone = law([metals[name]], REFERENCE_WATER)
    low, high = -2.0, 14.0
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        drawn = 0.1 * float(alone.current_density([middle])[0])
        low, high = (middle, high) if drawn < (12.0 - middle) / 1.0 else (low, middle)
    assert 0.0 < low + 0.9 < 4.5
    assert low < 3.5


def test_the_water_moves_each_term_the_right_way(metals: dict[str, Kinetics]) -> None:
    steel, stainless = metals["mild_steel"], metals["stainless_316_passive"]
    base = Water(288.15, 35.0)

    def current(metal: Kinetics, water: Water, at: float) -> float:
        return float(law([metal], water).current_density([at])[0])

    assert current(steel, replace(base, flow=2.0), -0.75) < current(steel, base, -0.75)
    assert current(steel, replace(base, oxygen_saturation=0.2), -0.75) > current(steel, base, -0.75)
    assert current(steel, replace(base, ph=6.0), -1.2) < current(steel, base, -1.2)
    assert current(steel, replace(base, temperature=303.15), -0.3) > current(steel, base, -0.3)
    pitting = stainless.breakdown_potential
    assert pitting is not None
    assert current(stainless, replace(base, salinity=1.0), pitting + 0.1) < current(
        stainless, base, pitting + 0.1
    )


def test_a_metal_that_breaks_down_at_rest_is_refused() -> None:
    weak = Kinetics(0.5, 0.001, 1e-5, passive=True, breakdown_potential=0.4)
    with pytest.raises(EngineError, match="breaks down or evolves gas there already"):
        law([weak], REFERENCE_WATER)


def test_fresh_water_films_zinc_and_alkali_dissolves_aluminium_and_neither_touches_sea_water() -> None:
    """Declared corrections: none at pH 9 or below, none at salinity 5 or above."""
    plain = {"corrosion_potential": -0.764, "oxygen_current": 3.0, "film_transfer": 4e-7}
    zinc = Kinetics(**plain, dilution_slope=0.1)
    light = Kinetics(**plain, alkaline_gain=1.0)
    at = np.array([-0.7])
    for water in (Water(288.15, 5.0), Water(288.15, 35.0), Water(288.15, 20.0, ph=9.0)):
        same = law([Kinetics(**plain)], water).dissolution(at)
        for other in (zinc, light):
            assert law([other], water).dissolution(at) == pytest.approx(same, rel=1e-6)
    fresh = Water(288.15, 0.1)
    assert law([zinc], fresh).dissolution(at) < 0.1 * law([Kinetics(**plain)], fresh).dissolution(at)
    caustic = Water(288.15, 35.0, ph=10.0)
    gain = law([light], caustic).dissolution(at) / law([Kinetics(**plain)], caustic).dissolution(at)
    assert gain == pytest.approx(10.0, rel=0.02)
