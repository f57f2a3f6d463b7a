"""What cannot be is refused in one sentence: the thing, the value with its unit, and what is allowed."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from course.engine import (
    EngineError,
    Kinetics,
    Network,
    OutOfRange,
    System,
    Water,
    awg_diameter,
    conductor_resistance,
    disk_resistance,
    law,
    penetration_rate,
    relax,
    require,
    slender_rod_resistance,
    solve,
    sphere_resistance,
    transfer_matrix,
    transfer_to_points,
)

ZINC = Kinetics(-0.764, 3.0, 4e-7)
SEA = Water(288.15, 35.0)
PAIR = law([ZINC, ZINC], SEA)
EYE = np.eye(2)


def pair(**changes: object) -> System:
    parts: dict[str, object] = {
        "transfer": EYE,
        "area": np.ones(2),
        "law": PAIR,
        "node": np.array([0, 1]),
        "network": Network(2, [(0, 1, 1.0)]),
    }
    return System(**{**parts, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: Water(0.0, 35.0), "the water temperature is 0 K; allowed is 271.15 to 308.15 K."),
        (lambda: Water(288.15, 400.0), "the practical salinity is 400; allowed is 0.02 to 42."),
        (lambda: Water(288.15, math.nan), "the practical salinity is nan; allowed is 0.02 to 42."),
        (lambda: Water(288.15, 35.0, flow=-1.0), "the water speed is -1 m/s; allowed is 0 to 20 m/s."),
        (lambda: pair(area=[1.0, -0.25]), "the area of patch number 1 is -0.25 m2; allowed is 1e-12 to"),
        (lambda: pair(area=[1.0, math.nan]), "the area of patch number 1 is nan m2; allowed is"),
        (lambda: pair(area=[1.0]), "the area of patch has shape (1,); expected is (2,)."),
        (lambda: pair(transfer=np.eye(3)), "the transfer matrix has shape (3, 3); expected is (2, 2)."),
        (lambda: pair(transfer=[[1, 2], [2, 1]]), "the transfer matrix is not positive definite;"),
        (lambda: pair(transfer=[[1, 0.1], [0.2, 1]]), "the transfer matrix is not symmetric;"),
        (lambda: pair(node=np.array([0, 7])), "a patch is on node 7; the nodes are 0 to 1."),
        (lambda: pair(node=np.array([0.0, 1.0])), "each of the 2 patches needs one whole node number;"),
        (lambda: Network(2, [(0, 5, 1.0)]), "branch 0 ends on node 5; the nodes are 0 to 1."),
        (lambda: Network(2, [(1, 1, 1.0)]), "branch 0 starts and ends on node 1; it must join two nodes."),
        (lambda: Network(2, [(0, 1, -2.0)]), "the conductance of branch 0 is -2 S; allowed is 0 to 1e+09 S."),
        (lambda: Network(2, [], [(0, 1, 12.0, 0.0)]), "the resistance of source 0 is 0 ohm; allowed is"),
        (lambda: law([], SEA), "an electrode law needs at least one metal; none was given."),
        (
            lambda: PAIR.slope(np.zeros(3)),
            "the potentials have shape (3,); the last number must be 2 patches.",
        ),
        (lambda: Kinetics(5.0, 1.0, 1e-6), "the corrosion potential is 5 V SHE; allowed is -3 to 2 V SHE."),
        (lambda: awg_diameter(99), "the wire gauge is 99 AWG; allowed is -3 to 40 AWG."),
        (lambda: conductor_resistance(8, -1.0), "the conductor length is -1 m; allowed is 0 to"),
        (lambda: disk_resistance(0.0), "the radius is 0 m; allowed is"),
        (
            lambda: slender_rod_resistance(0.1, 0.1),
            "the rod is 0.1 m long; the slender form needs at least 4",
        ),
        (lambda: penetration_rate(1.0, 0.03, 0.0), "the density is 0 kg/m3; allowed is 100 to 25000 kg/m3."),
        (
            lambda: transfer_matrix([[0, 0, 1.0]], [1], [1]),
            "a patch is at z = 1 m; allowed is -inf m (the bed)",
        ),
        (
            lambda: transfer_matrix([[0, 0, -1.0]], [1], [0.1], 3.0, 1.0),
            "the bed reflection is 1; allowed is -1 to 0.95.",
        ),
        (
            lambda: transfer_to_points([0, 0, -1.0], [[0, 0, -1]], [1]),
            "positions have shape (3,); expected is",
        ),
        (lambda: relax(pair(), [0, 0], [1, 1], 0.0), "the time step is 0 s; allowed is 0.001 to 1e+09 s."),
        (
            lambda: relax(pair(), [0, 0, 0], [1, 1], 1.0),
            "the polarisation of patch has shape (3,); expected is",
        ),
        (lambda: require("depth", "deep", "m", 0, 1), "the depth must be a number in m, not 'deep'."),
    ],
)
def test_a_sentence(act, says: str) -> None:
    with pytest.raises(EngineError) as caught:
        act()
    told = str(caught.value)
    assert told.startswith(says)
    assert re.fullmatch(r"[^\n]+\.", told), told


def test_out_of_range_is_a_value_error() -> None:
    with pytest.raises(ValueError, match="allowed is 0 or more m"):
        require("length", -1.0, "m", 0.0, math.inf)
    assert issubclass(OutOfRange, EngineError)


def test_patches_on_one_spot_are_refused() -> None:
    """Two spheres at the same place and of the same size cannot be told apart."""
    with pytest.raises(EngineError, match="too close together"):
        transfer_matrix([[0, 0, -1.0]] * 2, [sphere_resistance(0.1)] * 2, [0.1, 0.1])


def test_a_start_from_another_system_is_refused() -> None:
    other = System(np.eye(1), [1.0], law([ZINC], SEA), np.array([0]), Network(1))
    with pytest.raises(EngineError, match="start belongs to a system with other patches"):
        solve(pair(), solve(other))
