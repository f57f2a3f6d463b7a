"""Couples against the solver of whole systems, against laws of galvanic corrosion, and the series against measured ranges."""

from __future__ import annotations

import numpy as np
import pytest

from course.boats.afloat import kinetics_of
from course.boats.datasets import load
from course.engine import Network, OutOfRange, System, Water, free_corrosion_potential, law, solve
from course.engine.adjust import repeated
from course.engine.couple import couple, drawn_law, joined, rest_bands, rest_potentials

SEA = Water(288.15, 35.0)
LAKE = Water(286.15, 0.15)
SURE = np.zeros((1, 2, 5))  # no deviation: the law itself
PAIRS = [("mild_steel", "copper"), ("zinc_anode", "stainless_316_passive"), ("aluminium_5083", "graphite")]


def test_few_patches_and_many_are_balanced_at_the_same_potentials() -> None:
    """Few are halved seven times at once, many once at a time: to the last bit the same."""
    laws = law([kinetics_of(name) for name in ("zinc_anode", "mild_steel", "titanium", "copper")], SEA)
    many = repeated(laws, np.arange(12) % 4)
    np.testing.assert_array_equal(np.tile(rest_potentials(laws), 3), rest_potentials(many))


@pytest.mark.parametrize("metals", PAIRS)
@pytest.mark.parametrize("areas", [(0.01, 1.0), (1.0, 0.01), (0.1, 0.1)])
@pytest.mark.parametrize("water", [SEA, LAKE], ids=["sea", "lake"])
def test_a_couple_is_what_the_solver_finds(
    metals: tuple[str, str], areas: tuple[float, float], water: Water
) -> None:
    """The same two patches, the water between them as their own resistances, solved by another road."""
    kinetics = [kinetics_of(name) for name in metals]
    each = 0.3
    found = couple(*kinetics, water, *areas, resistance=2 * each, deviates=SURE)
    system = System(
        transfer=np.eye(2) * each,
        area=np.array(areas),
        law=law(kinetics, water),
        node=np.zeros(2, dtype=np.int64),
        network=Network(1),
    )
    other = solve(system)
    assert found.potential_a[0] == pytest.approx(other.polarisation[0], abs=1e-6)
    assert found.potential_b[0] == pytest.approx(other.polarisation[1], abs=1e-6)
    assert found.current[0] == pytest.approx(other.current[0], rel=1e-4, abs=1e-9)


def test_a_lone_metal_stands_at_its_corrosion_potential() -> None:
    for name in load("metals"):
        metal = kinetics_of(name)
        drawn = drawn_law(metal, SEA, np.zeros((3, 5)))
        assert rest_potentials(drawn) == pytest.approx(free_corrosion_potential(metal, SEA), abs=1e-9)


def test_the_more_negative_metal_gives_the_current_and_is_eaten_faster() -> None:
    found = couple(kinetics_of("mild_steel"), kinetics_of("copper"), SEA, 0.1, 1.0, deviates=SURE)
    assert found.rest_a[0] < found.potential_a[0] < found.rest_b[0]
    assert found.current[0] > 0.0
    assert found.loss_a[0] > found.alone_a[0]
    assert found.loss_b[0] < found.alone_b[0]


def test_a_larger_cathode_eats_faster_and_a_larger_anode_slower() -> None:
    """Area ratio: the rule of every textbook of galvanic corrosion."""
    losses = [
        couple(kinetics_of("mild_steel"), kinetics_of("copper"), SEA, 0.1, 0.1 * r, deviates=SURE).loss_a[0]
        for r in (0.01, 0.1, 1.0, 10.0, 100.0)
    ]
    assert losses == sorted(losses)
    assert losses[-1] > 10 * losses[0]


def test_resistance_between_them_takes_the_couple_apart() -> None:
    currents = [
        couple(
            kinetics_of("zinc_anode"), kinetics_of("copper"), SEA, 0.1, 1.0, resistance=r, deviates=SURE
        ).current[0]
        for r in (0.0, 1.0, 100.0, 1e6)
    ]
    assert currents == sorted(currents, reverse=True)
    assert currents[-1] < 1e-6


def test_order_of_the_two_does_not_matter() -> None:
    one = couple(kinetics_of("mild_steel"), kinetics_of("copper"), SEA, 0.1, 1.0, 0.5, SURE)
    two = couple(kinetics_of("copper"), kinetics_of("mild_steel"), SEA, 1.0, 0.1, 0.5, SURE)
    assert one.potential_a[0] == pytest.approx(two.potential_b[0], abs=1e-9)
    assert one.current[0] == pytest.approx(-two.current[0], rel=1e-6)


def test_bands_lie_about_the_law() -> None:
    metals = [kinetics_of(name) for name in ("zinc_anode", "mild_steel", "copper")]
    found = rest_bands(metals, SEA)
    for k, metal in enumerate(metals):
        assert found.low[k] < free_corrosion_potential(metal, SEA) < found.high[k]
        assert found.high[k] - found.low[k] < 0.1


def test_what_cannot_be_is_refused() -> None:
    laws = drawn_law(kinetics_of("copper"), SEA, np.zeros((1, 5)))
    with pytest.raises(OutOfRange, match="area of the first metal"):
        joined(laws, laws, -1.0, 1.0)
    with pytest.raises(OutOfRange, match="resistance"):
        joined(laws, laws, 1.0, 1.0, -1.0)
