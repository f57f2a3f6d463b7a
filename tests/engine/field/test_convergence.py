"""The field against closed forms, with the rates at which it gets there.

Resistances at 5 S/m of bodies of 0.1 m; each number's source stands beside it. Errors of flat panels with
constant sources are of second order in the panel's size, and the tests hold the rate as well as the error.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest

from course.engine.field import Basin, Panels, disk, join, sphere, spheroid, water_field

KAPPA = 5.0  # S/m
UNBOUNDED = Basin(surface=False)


def each_a_patch(body: Panels) -> Panels:
    return body.numbered(np.arange(body.size))


def equipotential(body: Panels, basin: Basin) -> float:
    """Resistance [ohm] of a body all of whose patches are at one potential."""
    field = water_field(body, basin)
    return float(1.0 / np.linalg.inv(field.transfer).sum() / KAPPA)


def rates(found: Sequence[float], exact: float) -> list[float]:
    """Orders of convergence between successive halvings of the panels."""
    errors = [abs(value / exact - 1.0) for value in found]
    return [math.log2(a / b) for a, b in itertools.pairwise(errors)]


def ring_disk(rings: int) -> Panels:
    """A disk in the plane of the surface; rings finer towards the edge, where the current crowds."""
    radii = np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, rings + 1))
    around = 6 * rings
    body = disk([0, 0, 0], 0.1, radii, around)
    return body.numbered(np.arange(body.size) // around)


def test_disk_in_an_insulating_plane() -> None:
    """0.5 ohm: 1/(4 k a); Newman, J. Electrochem. Soc. 113 (1966) 501 (from memory)."""
    found = [equipotential(ring_disk(n), Basin()) for n in (3, 6, 12)]
    assert found[-1] == pytest.approx(0.5, rel=1.5e-3)
    assert all(1.7 < rate < 2.4 for rate in rates(found, 0.5)), rates(found, 0.5)


def test_current_of_the_disk_crowds_to_its_edge() -> None:
    """i/mean = 0.5/sqrt(1 - (r/a)^2): Newman (1966), from memory; here as the current inside each radius."""
    edge, half = [], []
    for rings in (6, 12):
        current = np.linalg.solve(water_field(ring_disk(rings), Basin()).transfer, np.ones(rings))
        radii = np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, rings + 1))
        inside = np.cumsum(current) / current.sum()
        error = np.abs(inside - (1.0 - np.sqrt(1.0 - radii[1:] ** 2)))
        edge.append(float(error.max()))
        half.append(float(error[rings // 2 - 1]))  # at 0.707 a
    assert (
        edge[1] < 5e-3
    )  # beside the edge the density has no bound, and a constant follows it to first order
    assert half[1] < 1e-3
    assert 0.8 < math.log2(edge[0] / edge[1]) < 1.3
    assert math.log2(half[0] / half[1]) > 1.5


def test_disk_of_uniform_current() -> None:
    """Mean potential 0.54038 ohm, 8/(3 pi^2 k a): derived, 1.0808 times the primary (reference table, derived).

    Edge over centre: 2/pi (from memory).
    """
    field = water_field(ring_disk(12).numbered(0), Basin())
    assert float(field.transfer[0, 0]) / KAPPA == pytest.approx(0.54038, rel=5e-4)
    centre, edge = field.to_points([[0, 0, 0], [0.1, 0, 0]])[:, 0] / KAPPA
    assert centre == pytest.approx(1.0 / (math.pi * 0.1 * KAPPA), rel=2e-3)  # i a/k, i = 1/(pi a^2)
    assert edge / centre == pytest.approx(2.0 / math.pi, rel=2e-3)


@pytest.mark.parametrize(
    ("shape", "ohm"),
    [
        (lambda n: sphere([0, 0, 0], 0.1, n), 0.159155),  # 1/(4 pi k a), classical
        (
            lambda n: spheroid([0, 0, 0], 0.1, 0.02, n, n),
            0.372375,
        ),  # prolate, ln((1+e)/(1-e))/(8 pi k a e): Smythe, Sunde (from memory)
        (
            lambda n: spheroid([0, 0, 0], 0.02, 0.1, n),
            0.222447,
        ),  # oblate, asin(e)/(4 pi k a e): Smythe, Sunde (from memory)
    ],
    ids=["sphere", "prolate", "oblate"],
)
def test_bodies_in_unbounded_water(shape: Callable[[int], Panels], ohm: float) -> None:
    found = [equipotential(each_a_patch(shape(n)), UNBOUNDED) for n in (4, 8, 16)]
    assert found[-1] == pytest.approx(ohm, rel=4e-3)
    assert all(1.5 < rate < 2.5 for rate in rates(found, ohm)), rates(found, ohm)


def test_half_a_sphere_on_the_surface() -> None:
    """0.31831 ohm: 1/(2 pi k a), classical; the hull's mirror image closes it at the waterline."""
    found = []
    for n in (4, 8, 16):
        whole = sphere([0, 0, 0], 0.1, n)
        half = whole.take(whole.centre[:, 2] < 0.0)
        found.append(equipotential(each_a_patch(half), Basin()))
    assert found[-1] == pytest.approx(0.31831, rel=2e-3)
    assert all(1.7 < rate < 2.3 for rate in rates(found, 0.31831))


def two_spheres(rings: int) -> float:
    """Resistance [ohm] from one sphere of 0.05 m to another 1 m away, both equipotential."""
    one = each_a_patch(sphere([0, 0, 0], 0.05, rings))
    other = sphere([1, 0, 0], 0.05, rings)
    field = water_field(join(one, other.numbered(one.size + np.arange(other.size))), UNBOUNDED)
    side = np.where(np.arange(field.patches) < one.size, 0.5, -0.5)
    current = np.linalg.solve(field.transfer / KAPPA, side)
    return float(1.0 / current[: one.size].sum())


def test_two_spheres() -> None:
    """0.604789 ohm, first order in a/d: (1/a + 1/b - 2/d)/(4 pi k), its own error below 1e-5 here."""
    found = [two_spheres(n) for n in (4, 8, 12)]
    assert found[-1] == pytest.approx(0.604789, rel=4e-3)
    errors = np.array(found) / 0.604789 - 1.0
    orders = np.log(errors[:-1] / errors[1:]) / np.log([2.0, 1.5])
    assert ((orders > 1.7) & (orders < 2.3)).all(), orders
