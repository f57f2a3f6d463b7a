"""Shapes have the areas, volumes and outward sides that geometry says."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine.field import (
    Panels,
    box,
    cuts,
    disk,
    even,
    graded,
    hull,
    join,
    plate,
    sector,
    sphere,
    spheroid,
    tube,
)


def volume(body: Panels) -> float:
    """Gauss: a third of the sum of area times distance along the normal; a lid at z = 0 would add nothing."""
    return float((body.area * np.einsum("mk,mk->m", body.normal, body.centre)).sum() / 3.0)


@pytest.mark.parametrize(
    ("body", "area", "error"),
    [
        (sphere([0, 0, 0], 0.5, 16), math.pi, 1e-3),
        (disk([0, 0, 0], 0.5, even(3), 24), math.pi / 4, 1e-12),
        (tube([0, 0, 0], [0, 1, 1], 0.1, even(4), 8), 2 * math.pi * 0.1 * math.sqrt(2), 1e-12),
        (sector([0, 0, 0], (0.1, 0.5), (0.3, 1.1), (2, 2)), 0.5 * 0.8 * 0.24, 1e-12),
        (plate([0, 0, 0], [1, 0, 0], [0.3, 2, 0], (even(3), graded(5))), 2.0, 1e-12),
        (box([0, 0, -1], [2, 1, 0], (even(3), even(2), even(2)), lid=False), 8.0, 1e-12),
        (box([0, 0, -1], [2, 1, 0], (even(3), even(2), even(2))), 10.0, 1e-12),
    ],
    ids=["sphere", "disk", "tube", "sector", "plate", "barge", "box"],
)
def test_areas(body: Panels, area: float, error: float) -> None:
    assert float(body.area.sum()) == pytest.approx(area, rel=error)


@pytest.mark.parametrize(
    ("body", "content", "error"),
    [
        (sphere([3, 1, -2], 0.5, 24), math.pi / 6, 3e-3),
        (spheroid([0, 0, 0], 0.5, 0.2, 24), 4 / 3 * math.pi * 0.5 * 0.04, 3e-3),
        (box([0, 0, -1], [2, 1, 0], (even(3), even(2), even(2)), lid=False), 2.0, 1e-12),
    ],
    ids=["sphere", "spheroid", "barge"],
)
def test_volumes_are_positive_so_normals_point_outward(body: Panels, content: float, error: float) -> None:
    """Chords of 24 rings leave 2 in a thousand of a round body's volume."""
    assert volume(body) == pytest.approx(content, rel=error)


def test_a_wall_sided_hull_is_a_barge() -> None:
    outline = np.array([[1, 0], [1, -0.5], [0, -0.5], [-1, -0.5], [-1, 0]], dtype=float)
    afloat = hull([0.0, 1.0, 3.0], [outline] * 3, even(2))
    assert volume(afloat) == pytest.approx(3.0, rel=1e-12)
    assert float(afloat.area.sum()) == pytest.approx(3 * 2 + 2 * 3 * 0.5 + 2 * 2 * 0.5, rel=1e-12)
    np.testing.assert_allclose((afloat.area[:, None] * afloat.normal).sum(axis=0), [0, 0, -6], atol=1e-12)


def test_a_hull_may_end_in_a_stem() -> None:
    """A wedge: half of the barge's volume; the stem is a line that no panel needs to close."""
    outline = np.array([[1, 0], [1, -0.5], [0, -0.5], [-1, -0.5], [-1, 0]], dtype=float)
    stations = np.linspace(0.0, 3.0, 13)
    scale = 1.0 - stations / 3.0
    wedge = hull(stations, outline[None] * scale[:, None, None], even(2))
    assert volume(wedge) == pytest.approx(1.0, rel=0.01)  # a pyramid of base 1 m2 and height 3 m
    assert np.abs((wedge.area[:, None] * wedge.normal).sum(axis=0)[:2]).max() < 0.01


def test_cuts_keep_what_they_are_told_to() -> None:
    found = cuts(0.0, 10.0, 10, [3.2, 3.9, 10.0])
    assert {3.2, 3.9, 0.0, 10.0} <= set(found.tolist())
    assert (np.diff(found) > 0.4).all()


def test_second_moments() -> None:
    """a^2/12 along each side of a rectangle."""
    slab = plate([0, 0, 0], [0.6, 0, 0], [0, 0.2, 0], ([0.0, 1.0], [0.0, 1.0]))
    np.testing.assert_allclose(np.diag(slab.spread[0]), [0.03, 0.2**2 / 12, 0.0], atol=1e-15)


def test_joined_bodies_stay_apart() -> None:
    both = join(sphere([0, 0, 0], 1, 3), sphere([5, 0, 0], 1, 3))
    assert sorted(set(both.body.tolist())) == [0, 1]
