"""The isolator by itself against the network solver's, and against what the trade says of one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.boats.afloat import kinetics_of
from course.engine import EngineError, Network, System, Water, law, solve
from course.engine.isolator_curve import isolator_current, isolator_voltage, loop_current
from course.engine.shore import galvanic_isolator


def test_the_loop_is_what_the_solver_finds() -> None:
    """A zinc and a copper, joined through an isolator: same voltage across it, same current, by another road."""
    sea = Water(288.15, 35.0)
    pieces = galvanic_isolator(0, 1)
    network = Network(2, pieces.branches, pieces.sources, pieces.diodes)
    metals = [kinetics_of("zinc_anode"), kinetics_of("copper")]
    found = solve(System(np.eye(2) * 0.3, np.array([0.1, 1.0]), law(metals, sea), np.array([0, 1]), network))
    across = float(found.node_voltage[0] - found.node_voltage[1])
    assert float(isolator_current(across)) == pytest.approx(-float(found.current[0]), rel=1e-3, abs=1e-12)


def test_it_blocks_what_metals_make_and_passes_a_fault() -> None:
    """Blocks some 1.2 V; passes a fault with a few volts across it (common practice, no source)."""
    assert abs(float(isolator_current(0.6))) < 1e-4
    assert abs(float(isolator_current(1.2))) < 0.1
    assert 1.2 < isolator_voltage(30.0) < 2.5
    assert isolator_voltage(3000.0) < 5.0


def test_it_is_the_same_both_ways_round() -> None:
    volts = np.linspace(0.0, 2.5, 40)
    for leakage in (0.0, 0.3):
        assert isolator_current(-volts, "healthy", leakage) == pytest.approx(
            -isolator_current(volts, "healthy", leakage)
        )


def test_loop_current_closes_the_loop() -> None:
    for state in ("healthy", "failed short", "bypassed", "failed open"):
        for leakage in (0.0, 0.2):
            for volts in (-12.0, 0.3, 1.0, 12.0):
                amps = loop_current(volts, 0.7, state, leakage)
                across = volts - 0.7 * amps
                assert float(isolator_current(across, state, leakage)) == pytest.approx(
                    amps, rel=1e-6, abs=1e-12
                )


def test_states() -> None:
    assert loop_current(0.6, 1.0, "failed short") == pytest.approx(0.6, rel=0.01)
    assert loop_current(0.6, 1.0, "failed open") == 0.0
    assert math.isinf(isolator_voltage(10.0, "failed open"))
    assert loop_current(0.6, 1.0, "healthy", 0.5) > 1e3 * loop_current(0.6, 1.0, "healthy")
    assert loop_current(12.0, 1.0) > 5.0  # a battery is not stopped
    with pytest.raises(EngineError, match="cannot be 'tired'"):
        isolator_current(0.5, "tired")  # type: ignore[arg-type]
