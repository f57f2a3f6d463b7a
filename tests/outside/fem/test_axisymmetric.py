"""A banded sphere hull by the engine and by scikit-fem: two methods, one nonlinear answer.

Zinc cap, nickel-aluminium bronze band, insulating elsewhere, unbounded water, both metals on one bus. In sea
water the limit of oxygen sets the current, whatever the field; at a thirtieth of its conductivity the field does,
so that is the honest test. Source of truth: scikit-fem, second-order elements, shown converged here.
"""

from __future__ import annotations

import math

import pytest

from course.boats.datasets import load
from course.engine import Kinetics, Law, Water, law

pytest.importorskip("skfem")

from .axisymmetric import Answer, Bands, solve_by_fem
from .panels_of_sphere import solve_by_panels

SEA = Water(288.15, 35.0)
BANDS = Bands(0.5, ((0.0, math.pi / 6), (5 * math.pi / 12, 7 * math.pi / 12)))
CURRENT, POTENTIAL = 5e-4, 1e-4  # relative, V: what the engine claims of its field
AROUND = 24
COUPLES = [("zinc_anode", "nickel_aluminium_bronze"), ("mild_steel", "copper")]


def laws(couple: tuple[str, str]) -> Law:
    return law([Kinetics(**load("metals")[name]["kinetics"]) for name in couple], SEA)


def apart(one: Answer, other: Answer) -> tuple[float, float]:
    """Difference of the anode's current, relative, and of the bus [V]."""
    return abs(float(one.current[0] / other.current[0]) - 1.0), abs(one.bus - other.bus)


@pytest.mark.parametrize("couple", COUPLES, ids=["zinc-bronze", "steel-copper"])
@pytest.mark.parametrize("thinner", [1, 30], ids=["sea water", "a thirtieth"])
def test_sphere_hull(couple: tuple[str, str], thinner: int, record_property) -> None:
    kappa = SEA.conductivity / thinner
    coarse, middle, fine = (solve_by_fem(BANDS, laws(couple), kappa, n) for n in (10, 16, 25))
    shrink = [b / max(a, 1e-12) for a, b in zip(apart(coarse, middle), apart(middle, fine), strict=True)]
    assert max(shrink) < 0.25  # of third order or better; so fine is within a third of that step of its limit
    left = [d * s / (1 - s) for d, s in zip(apart(middle, fine), shrink, strict=True)]
    assert left[0] < 0.2 * CURRENT
    assert left[1] < 0.2 * POTENTIAL
    ours = solve_by_panels(BANDS, laws(couple), kappa, 20, AROUND)
    current, potential = apart(ours, fine)
    record_property("achieved", f"current {current:.1e}, potential {potential * 1e3:.3f} mV")
    assert abs(float(ours.current.sum())) < 1e-10
    assert current < CURRENT
    assert potential < POTENTIAL


def test_the_engine_converges_on_the_finite_elements() -> None:
    """Second order in the panels, at the conductivity where the field governs."""
    kappa = SEA.conductivity / 30
    fine = solve_by_fem(BANDS, laws(COUPLES[0]), kappa, 25)
    errors = [apart(solve_by_panels(BANDS, laws(COUPLES[0]), kappa, n, AROUND), fine) for n in (4, 8, 16)]
    for a, b in ((0, 1), (1, 2)):
        assert math.log2(errors[a][0] / errors[b][0]) > 1.7
        assert math.log2(errors[a][1] / errors[b][1]) > 1.5


@pytest.mark.long
@pytest.mark.parametrize("thinner", [1, 30, 100])
def test_sphere_hull_finely(thinner: int) -> None:
    """Finer on both sides; the finite elements' own last step is an order under what is claimed."""
    kappa = SEA.conductivity / thinner
    middle, fine = (solve_by_fem(BANDS, laws(COUPLES[0]), kappa, n) for n in (36, 54))
    assert apart(middle, fine)[0] < 0.1 * CURRENT
    assert apart(middle, fine)[1] < 0.1 * POTENTIAL
    current, potential = apart(solve_by_panels(BANDS, laws(COUPLES[0]), kappa, 24, 36), fine)
    assert current < CURRENT
    assert potential < POTENTIAL
