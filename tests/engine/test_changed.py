"""A system after a slider or a switch, against the same system made anew."""

from __future__ import annotations

import math
import sys
from dataclasses import replace

import numpy as np
import pytest

from course.engine import EngineError, Network, Solution, System, Water, law, solve, transfer_matrix

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


def crowd(metals, number: int, wire: float) -> System:
    """`number` small spheres of three metals along a bus of many wires, one of them of `wire` ohm."""
    rng = np.random.default_rng(3)
    at = np.stack(
        [0.3 * np.arange(number), rng.uniform(-1, 1, number), rng.uniform(-1.5, -0.2, number)], axis=1
    )
    radii = rng.uniform(0.02, 0.08, number)
    names = ("zinc_anode", "silicon_bronze", "stainless_316_passive")
    water = Water(288.15, 12.0)
    wires = [(k, number, 1.0 / (wire if k == 3 else 0.01 * (1 + k % 7))) for k in range(number)]
    return System(
        transfer_matrix(at, 1.0 / (4.0 * math.pi * radii), radii, 3.0, 0.5) / water.conductivity,
        4.0 * math.pi * radii**2,
        law([metals[names[k % 3]] for k in range(number)], water),
        np.arange(number),
        Network(number + 1, wires),
    )


def test_chord_steps_end_where_tangent_steps_do(metals, monkeypatch: pytest.MonkeyPatch) -> None:
    """A system large enough to finish on kept factors, cold and from an earlier answer, against full steps only."""
    one, other = crowd(metals, 80, 0.01), crowd(metals, 80, 2.0)
    cold, warm = solve(one), solve(other, solve(one))
    monkeypatch.setattr(sys.modules["course.engine.solve"], "MANY", 10_000)
    assert apart(solve(one), cold) < SAME
    full = solve(other, solve(one))
    assert apart(full, warm) < SAME
    assert full.iterations < warm.iterations  # so that the kept factors were indeed used
