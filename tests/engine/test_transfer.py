"""The field of many patches: images, shells, symmetry, and the tail of the image sum."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine import sphere_resistance, transfer_matrix, transfer_to_points
from course.engine.transfer import _shells

AT = np.array([[0.0, 0.0, -1.0], [3.0, 0.5, -0.8], [8.0, -0.5, -1.2]])
RADII = np.array([0.1, 0.2, 0.05])
ALONE = np.array([sphere_resistance(float(r)) for r in RADII])


@pytest.mark.parametrize("reflection", [-1.0, -0.4, 0.0, 0.7, 0.95])
def test_symmetric_and_positive_definite(reflection: float) -> None:
    matrix = transfer_matrix(AT, ALONE, RADII, 3.0, reflection)
    np.testing.assert_array_equal(matrix, matrix.T)
    assert np.linalg.eigvalsh(matrix)[0] > 0.0


def test_far_from_everything_it_is_the_sphere() -> None:
    matrix = transfer_matrix([[0.0, 0.0, -1e5]], ALONE[:1], RADII[:1])
    assert matrix[0, 0] == pytest.approx(ALONE[0], rel=1e-6)


def test_a_patch_at_the_surface_sees_half_the_water() -> None:
    matrix = transfer_matrix([[0.0, 0.0, 0.0]], ALONE[:1], RADII[:1])
    assert matrix[0, 0] == pytest.approx(2.0 * ALONE[0])


def test_shells_against_a_sampled_sphere() -> None:
    """The mean of 1/max(r, a) over 400,000 points of a Fibonacci sphere of radius b."""
    count = 400_000
    z = 1.0 - (2.0 * np.arange(count) + 1.0) / count
    turn = math.pi * (3.0 - math.sqrt(5.0)) * np.arange(count)
    ring = np.sqrt(1.0 - z * z)
    unit = np.stack([ring * np.cos(turn), ring * np.sin(turn), z], axis=1)
    for a, b, d in ((0.3, 0.2, 0.4), (0.3, 0.2, 0.05), (0.3, 0.3, 0.1), (0.1, 0.4, 0.35), (0.2, 0.1, 1.0)):
        r = np.linalg.norm(b * unit + np.array([d, 0.0, 0.0]), axis=1)
        sampled = float((1.0 / np.maximum(r, a)).mean())
        mean = _shells(np.array([d]), np.array([max(a, b)]), np.array([min(a, b)]))
        assert float(mean[0]) == pytest.approx(sampled, rel=1e-4)


def test_crowded_patches_keep_a_positive_matrix() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        n = 12
        at = np.stack([rng.uniform(0, 1, n), rng.uniform(0, 1, n), -rng.uniform(0.3, 1, n)], axis=1)
        radii = 10.0 ** rng.uniform(-2, -0.5, n)
        matrix = transfer_matrix(at, 1.0 / (4 * math.pi * radii), radii, 2.0, 0.7)
        assert np.linalg.eigvalsh(matrix)[0] > 0.0


def test_points_and_patches_share_one_field() -> None:
    """A probe shrunk to a point reads what a tiny patch there would."""
    probe = np.array([[5.0, 0.3, -0.4]])
    tiny = 1e-4
    many = transfer_matrix(
        np.vstack([AT, probe]), [*ALONE, sphere_resistance(tiny)], [*RADII, tiny], 3.0, 0.7
    )
    points = transfer_to_points(probe, AT, RADII, 3.0, 0.7)
    np.testing.assert_allclose(points[0], many[3, :3], rtol=1e-9)


def test_no_flux_through_the_surface_and_the_bed_s_share() -> None:
    """The surface insulates; across the bed potential and flux are continuous.

    Below the bed the potential of a source is (1 + k) times the upper family of images (two half spaces), so
    the flux down through the bed is that of a conductivity (1 - k)/(1 + k) times the water's.
    """
    depth, k, h = 3.0, 0.6, 1e-4
    source, radius = np.array([[0.0, 0.0, -1.0]]), np.array([0.01])

    def potential(x: float, z: float) -> float:
        return float(transfer_to_points([[x, 0.2, z]], source, radius, depth, k)[0, 0])

    def below(x: float, z: float) -> float:
        total = 0.0
        for n in range(200):
            for z0 in (-1.0 + 2 * n * depth, 1.0 + 2 * n * depth):
                total += k**n / math.sqrt(x * x + 0.04 + (z - z0) ** 2)
        return (1.0 + k) * total / (4 * math.pi)

    for x in (0.5, 2.0, 9.0):
        surface = (potential(x, 0.0) - potential(x, -h)) / h
        assert abs(surface) < 1e-4 * potential(x, 0.0)
        assert potential(x, -depth) == pytest.approx(below(x, -depth), rel=1e-7)
        flux_water = (potential(x, -depth + h) - potential(x, -depth)) / h
        flux_bed = (below(x, -depth) - below(x, -depth - h)) / h * (1.0 - k) / (1.0 + k)
        assert flux_water == pytest.approx(flux_bed, rel=2e-3)


def test_the_tail_is_small_and_summed() -> None:
    """k = 0.95 by brute force over 4,000 rings."""
    depth, k = 2.0, 0.95
    points = transfer_to_points([[10.0, 0.0, -0.5]], [[0.0, 0.0, -1.0]], [0.01], depth, k)
    n = np.arange(-4000, 4001)
    z = np.concatenate([-1.0 + 2 * n * depth, 1.0 + 2 * n * depth])
    weight = np.tile(k ** np.abs(n), 2)
    brute = float((weight / np.sqrt(100.0 + (-0.5 - z) ** 2)).sum() / (4 * math.pi))
    assert points[0, 0] == pytest.approx(brute, rel=1e-9)


def test_a_conducting_bed_is_at_remote_potential() -> None:
    points = transfer_to_points([[2.0, 0.0, -3.0]], [[0.0, 0.0, -1.0]], [0.01], 3.0, -1.0)
    nearby = transfer_to_points([[2.0, 0.0, -1.0]], [[0.0, 0.0, -1.0]], [0.01], 3.0, -1.0)
    assert abs(points[0, 0]) < 1e-4 * nearby[0, 0]
