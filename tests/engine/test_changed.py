"""A system after a slider or a switch, against the same system made anew."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from course.engine import EngineError, Network, Solution, System, Water, solve

SAME = 1e-9  # V


def apart(one: Solution, two: Solution) -> float:
    return float(np.abs(one.polarisation - two.polarisation).max())


def test_changed_is_the_system_made_anew(boat) -> None:
    """Area, conductivity, network and law changed on a solved system, against one built from nothing."""
    before = boat.system()
    solve(before)
    thin = replace(boat, water=Water(288.15, 3.0), bond=(0.01, 5.0, 0.02, math.inf, 0.005, 0.005)).system()
    area = 1.3 * before.area
    ratio = Water(288.15, 3.0).conductivity / boat.water.conductivity
    quick = before.changed(thin.law, thin.network, area, ratio)
    anew = System(thin.transfer, area, thin.law, thin.node, thin.network)
    assert apart(solve(quick), solve(anew)) < SAME
    assert (
        apart(
            solve(before.changed(area=area)),
            solve(System(before.transfer, area, before.law, before.node, before.network)),
        )
        < SAME
    )
    with pytest.raises(EngineError, match="area of patch number 0 is -1 m2"):
        before.changed(area=-np.ones(6))
    with pytest.raises(EngineError, match="the nodes are 0 to 1"):
        before.changed(network=Network(2))
    with pytest.raises(EngineError, match="conductivity ratio is 0"):
        before.changed(conductivity_ratio=0.0)
