"""The network: its matrix, its sources, and the tree form the solve uses."""

from __future__ import annotations

import numpy as np
import pytest

from course.engine import Network, awg_diameter, conductor_resistance, isolator
from course.engine.tree import TIE, plant

NETWORK = Network(
    6, [(0, 1, 1e4), (1, 2, 5.0), (0, 2, 0.01), (3, 4, 2.0)], [(2, 3, 12.0, 1e5)], isolator(4, 5)
)


def test_admittance_balances_and_injection_drives_the_far_end() -> None:
    matrix = NETWORK.admittance()
    np.testing.assert_allclose(matrix, matrix.T)
    np.testing.assert_allclose(matrix.sum(axis=1), 0.0, atol=1e-9)
    pushed = NETWORK.injection()
    assert pushed[3] == pytest.approx(12.0 / 1e5)
    assert pushed.sum() == pytest.approx(0.0)


def test_an_open_source_shows_its_emf_between_its_ends() -> None:
    currents = NETWORK.edge_currents(np.array([0.0, 0.0, 0.0, 12.0, 12.0, 0.0]))
    np.testing.assert_allclose(currents, 0.0, atol=1e-15)


def test_the_tree_is_the_same_network_in_other_unknowns() -> None:
    """basis^T Y basis is the tree's matrix, but for the strings' shunts of 1e-12 S."""
    tree = plant(NETWORK, frozenset({0}))
    np.testing.assert_allclose(tree.basis.T @ NETWORK.admittance() @ tree.basis, tree.matrix, atol=1e-11)
    np.testing.assert_allclose(tree.basis.T @ NETWORK.injection(), tree.inflow, atol=1e-15)
    assert abs(np.linalg.det(tree.basis)) == pytest.approx(1.0)
    assert tree.matrix[0, 0] == 0.0  # the root of the wet component: only its patches hold it
    assert len(set(tree.component)) == 1
    assert len(set(tree.group)) == 3  # 0-1-2, 3-4, 5: 1e5 ohm and the strings bond nothing


def test_a_group_out_of_the_water_is_tied() -> None:
    tree = plant(Network(3, [(1, 2, 10.0)]), frozenset({0}))
    assert tree.matrix[0, 0] == 0.0
    assert tree.matrix[1, 1] == TIE


def test_resistance_grows_with_length_gauge_and_heat() -> None:
    assert awg_diameter(8) > awg_diameter(10)
    assert conductor_resistance(8, 4.0) == pytest.approx(2.0 * conductor_resistance(8, 2.0))
    warm = conductor_resistance(8, 2.0, 293.15 + 25.4) / conductor_resistance(8, 2.0)
    assert warm == pytest.approx(1.1, abs=5e-4)  # 0.393 % a kelvin, annealed copper, IEC 60028
