"""Water moves the right way; its published check values are in tests/outside."""

from __future__ import annotations

import pytest

from course.engine import Water


def test_warm_water_conducts_better_and_holds_less_oxygen() -> None:
    cold, warm = Water(278.15, 35.0), Water(298.15, 35.0)
    assert warm.conductivity > 1.4 * cold.conductivity
    assert warm.oxygen < 0.75 * cold.oxygen
    assert warm.oxygen_diffusivity > 1.5 * cold.oxygen_diffusivity


def test_fresh_brackish_and_sea_water_are_one_scale() -> None:
    waters = [Water(288.15, s) for s in (0.05, 0.5, 5.0, 15.0, 35.0)]
    conductivities = [w.conductivity for w in waters]
    assert conductivities == sorted(conductivities)
    assert 0.005 < conductivities[0] < 0.08  # drinking and river water, S/m, typical (from memory)
    chlorides = [w.chloride_activity for w in waters]
    assert chlorides == sorted(chlorides)


def test_flow_feeds_oxygen_over_a_still_floor() -> None:
    rates = [Water(293.15, 35.0, flow=u).mass_transfer for u in (0.0, 0.02, 0.3, 3.0)]
    assert rates == sorted(rates)
    still = Water(293.15, 35.0, flow=0.0)
    assert rates[0] == pytest.approx(still.oxygen_diffusivity / 0.85e-3)


def test_oxygen_follows_saturation() -> None:
    assert Water(293.15, 35.0, oxygen_saturation=0.5).oxygen == pytest.approx(
        0.5 * Water(293.15, 35.0).oxygen
    )
