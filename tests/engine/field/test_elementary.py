"""The elementary fields against geometry, and against their own differences."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine.field import Basin, elementary, panels, plate
from course.engine.field.panels import flattened
from course.engine.field.plain import gauss_points

IN_PLANE = 1e-8  # relative: the kernel takes a point within 1e-9 m of a panel's plane for one in it
SQUARE = plate([-0.5, -0.5, 0.0], [1, 0, 0], [0, 1, 0], ([0.0, 1.0], [0.0, 1.0]))
KITE = np.array([[0.0, 0.0, 0.0], [1.0, 0.2, 0.1], [1.3, 1.1, 0.5], [0.1, 0.7, 0.29]])


def field_of(corners: np.ndarray, at: np.ndarray) -> np.ndarray:
    normal = np.cross(corners[2] - corners[0], corners[3] - corners[1])
    normal /= np.linalg.norm(normal)
    return np.array(elementary.polygon(*at, corners, normal))


def flat_kite() -> np.ndarray:
    return flattened(KITE[None])[0]


def test_potential_at_the_centre_of_a_square() -> None:
    """4 a ln(1 + sqrt 2): the integral of 1/r over a square, classical."""
    value = field_of(SQUARE.corners[0], np.zeros(3))[0]
    assert value == pytest.approx(4.0 * math.log(1.0 + math.sqrt(2.0)), rel=1e-12)


def test_a_cube_s_face_is_a_sixth_of_all_directions() -> None:
    """Solid angle 4 pi/6 of a face from the middle of its cube; and 2 pi from a point upon the face."""
    from_middle = field_of(SQUARE.corners[0], np.array([0.0, 0.0, 0.5]))[3]
    assert -from_middle == pytest.approx(4.0 * math.pi / 6.0, rel=IN_PLANE)
    from_above = field_of(SQUARE.corners[0], np.array([0.1, -0.2, 1e-6]))[3]
    assert -from_above == pytest.approx(2.0 * math.pi, rel=1e-2)


def test_closed_form_against_many_points() -> None:
    """Twelve Gauss points each way over a skew quadrilateral, from a point beside it."""
    corners, at = flat_kite(), np.array([0.9, 0.4, 1.1])
    points, weights = gauss_points(panels(corners[None], False), 12)
    area = panels(corners[None], False).area[0]
    away = at - points[0]
    r = np.linalg.norm(away, axis=1)
    expected = [
        area * (weights[0] / r).sum(),
        *(-area * (weights[0][:, None] * away / r[:, None] ** 3).sum(axis=0)),
    ]
    np.testing.assert_allclose(field_of(corners, at), expected, rtol=IN_PLANE)


@pytest.mark.parametrize("at", [[0.9, 0.4, 1.1], [-0.5, 0.3, 0.2], [0.6, 0.5, 0.24]])
def test_gradient_is_the_difference_of_potentials(at: list[float]) -> None:
    corners, here, step = flat_kite(), np.array(at), 1e-5
    for axis in range(3):
        by = step * np.eye(3)[axis]
        slope = (field_of(corners, here + by)[0] - field_of(corners, here - by)[0]) / (2 * step)
        assert field_of(corners, here)[1 + axis] == pytest.approx(slope, abs=2e-5)


def test_distant_form_closes_in_with_the_fourth_power() -> None:
    """Halved size over distance, error less by 16 or so: value and gradient beside the closed form."""
    s = SQUARE.spread[0]
    moment = np.array([s[0, 0], s[1, 1], s[2, 2], s[0, 1], s[0, 2], s[1, 2]])
    errors = []
    for far in (2.0, 4.0, 8.0):
        at = far * np.array([0.6, 0.5, 0.62])
        near, other = field_of(SQUARE.corners[0], at), np.array(elementary.distant(*at, moment))
        errors.append(np.abs(other / near - 1.0).max())
    assert errors[0] < 1e-2
    assert errors[0] / errors[1] > 12.0
    assert errors[1] / errors[2] > 12.0


def test_far_images_have_the_slopes_of_their_values() -> None:
    rings = Basin(True, 1.5, 0.7).rings(9.0)
    rho, down, up, step = 2.3, 0.4, -1.1, 1e-5

    def value(r: float, d: float, u: float) -> float:
        return float(elementary.rest(r * r, d, u, rings)[0])

    _, aside, by_down, by_up = elementary.rest(rho * rho, down, up, rings)
    assert rho * aside == pytest.approx(
        (value(rho + step, down, up) - value(rho - step, down, up)) / (2 * step), abs=1e-8
    )
    assert by_down == pytest.approx(
        (value(rho, down + step, up) - value(rho, down - step, up)) / (2 * step), abs=1e-8
    )
    assert by_up == pytest.approx(
        (value(rho, down, up + step) - value(rho, down, up - step)) / (2 * step), abs=1e-8
    )
