"""A barge with flush plates in three dimensions, by the engine and by scikit-fem, each shown converging.

Zinc, mild steel and nickel-aluminium bronze on one bus, surface but no bed. Second-order bricks that close in on
the edges of plates and hull; their currents fall towards the limit, the engine's rise to it. Minutes of work: run
with `pytest -m long tests/outside/fem`, or `python -m tests.outside.fem.report` to keep the result.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from course.boats.datasets import load
from course.engine import Kinetics, Water, law

pytest.importorskip("skfem")

from .axisymmetric import Answer
from .barge import solve_by_bricks, solve_by_panels

SEA = Water(288.15, 35.0)
METALS = ("zinc_anode", "mild_steel", "nickel_aluminium_bronze")
CONDUCTIVITIES = (SEA.conductivity, SEA.conductivity / 30)  # S/m
BRICKS, PANELS = (2, 3, 4, 5), (4, 6, 9, 13, 17)
CURRENT, POTENTIAL = 2e-3, 2e-3  # relative, V
BRICK_ORDER, PANEL_ORDER = 3, 2  # of convergence in n, as the meshes show


@dataclass(frozen=True)
class Both:
    """Answers by mesh (rows) and conductivity (columns), of either method."""

    bricks: list[list[Answer]]
    panels: list[list[Answer]]


def run_both() -> Both:
    laws = law([Kinetics(**load("metals")[name]["kinetics"]) for name in METALS], SEA)
    return Both(
        [solve_by_bricks(laws, CONDUCTIVITIES, n) for n in BRICKS],
        [solve_by_panels(laws, CONDUCTIVITIES, n) for n in PANELS],
    )


def numbers(answers: list[list[Answer]], water: int) -> np.ndarray:
    """(meshes, 2): the zinc's current [A] and the bus [V]."""
    return np.array([[row[water].current[0], row[water].bus] for row in answers])


def limit(values: np.ndarray, meshes: tuple[int, ...], order: int) -> np.ndarray:
    """Richardson's estimate from the last two meshes."""
    a, b = (float(n) ** -order for n in meshes[-2:])
    return np.asarray(values[-1] + (values[-1] - values[-2]) * b / (a - b))


@pytest.fixture(scope="module")
def both() -> Both:
    return run_both()


@pytest.mark.long
@pytest.mark.parametrize("water", [0, 1], ids=["sea water", "a thirtieth"])
def test_the_methods_close_in_on_each_other(both: Both, water: int) -> None:
    bricks, panels = numbers(both.bricks, water), numbers(both.panels, water)
    assert (np.diff(bricks[:, 0]) < 0.0).all()
    assert (np.diff(panels[:, 0]) > 0.0).all()
    assert panels[-1, 0] < bricks[-1, 0]  # the limit lies between
    ends = limit(bricks, BRICKS, BRICK_ORDER), limit(panels, PANELS, PANEL_ORDER)
    assert abs(ends[0][0] / ends[1][0] - 1.0) < CURRENT
    assert abs(ends[0][1] - ends[1][1]) < POTENTIAL


@pytest.mark.long
@pytest.mark.parametrize("water", [0, 1], ids=["sea water", "a thirtieth"])
def test_the_finest_meshes_agree(both: Both, water: int) -> None:
    """Not extrapolated. Kept results: 1.1e-5 and 0.03 mV apart in sea water, 1.8e-3 and 0.2 mV at a thirtieth."""
    bricks, panels = numbers(both.bricks, water)[-1], numbers(both.panels, water)[-1]
    assert abs(panels[0] / bricks[0] - 1.0) < CURRENT
    assert abs(panels[1] - bricks[1]) < POTENTIAL
