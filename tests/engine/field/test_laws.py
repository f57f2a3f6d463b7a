"""Laws that hold for every field: charge, reciprocity, images, and one answer by several ways."""

from __future__ import annotations

import math
import sys

import numpy as np
import pytest

from course.engine import transfer_matrix
from course.engine.errors import Array
from course.engine.field import (
    Basin,
    Field,
    Panels,
    box,
    even,
    join,
    plain,
    plane_map,
    plate,
    sphere,
    water_field,
    with_moved,
)
from course.engine.field.water_field import extent, kernels

from .conftest import BED, barge_with_fittings

TO_MACHINE = 1e-12


def test_no_charge_is_lost(barge: Field) -> None:
    """All sources together are the current that was sent, whatever the hull's panels are like."""
    np.testing.assert_allclose(barge.strength.sum(axis=0), 1.0, atol=TO_MACHINE)


def test_flux_of_charge_through_far_water() -> None:
    """Gauss: the potential far away is that of one ampere, 1/(4 pi r), in water without end."""
    ball = sphere([0, 0, 0], 0.1, 6)
    field = water_field(ball.numbered((ball.centre[:, 2] > 0).astype(int)), Basin(surface=False))
    far = field.to_points([[0.0, 3000.0, 0.0], [0.0, 0.0, -3000.0]])
    np.testing.assert_allclose(far, 1.0 / (4.0 * math.pi * 3000.0), rtol=1e-4)


def test_reciprocity(barge: Field) -> None:
    """R_ij = R_ji; what the two ways differ by before they are averaged is reported, and falls with the panels."""
    np.testing.assert_array_equal(barge.transfer, barge.transfer.T)
    coarse, fine = (cap_and_band(n).asymmetry for n in (6, 12))
    assert 0.0 < fine < 0.6 * coarse < 0.03
    assert barge.asymmetry < 0.03
    assert barge.smallest_eigenvalue > 0.0


def cap_and_band(rings: int) -> Field:
    ball = sphere([0, 0, -0.4], 0.3, rings)
    z = ball.centre[:, 2] + 0.4
    return water_field(ball.numbered(np.where(z > 0.2, 0, np.where(z < -0.05, 1, -1))), BED)


def test_a_hull_closed_at_the_waterline_is_half_of_a_hull_with_its_mirror_image() -> None:
    """The method of images, as a solve: a whole box in unbounded water, its fittings doubled."""
    cuts = (even(6), even(3))
    lower = box([0, -0.5, -0.41], [2.03, 0.57, 0], (*cuts, even(2)), lid=False)
    whole = box([0, -0.5, -0.41], [2.03, 0.57, 0.41], (*cuts, even(4)))
    blade = [plate([0.8, 0.9, z], [0.3, 0, 0], [0, 0, 0.2], (even(2), even(2))) for z in (-0.5, 0.3)]

    def metal(hull: Panels) -> Panels:
        bow = np.abs(hull.centre[:, 0] - 2.03) < 1e-9
        return hull.numbered(np.where(bow, 0, -1))

    afloat = water_field(join(metal(lower), blade[0].numbered(1)), Basin())
    doubled = water_field(
        join(metal(whole), blade[0].numbered(1), blade[1].numbered(1)), Basin(surface=False)
    )
    np.testing.assert_allclose(afloat.transfer, 2.0 * doubled.transfer, rtol=1e-9)


def test_the_surface_lets_no_current_through(barge: Field) -> None:
    at = np.array([[-1.0, 0.3, 0.0], [2.0, 1.2, 0.0], [5.0, -1.0, 0.0]])
    step = 1e-4
    below, above = (barge.to_points(at - np.array([0, 0, d])) for d in (2 * step, 0.0))
    aside = barge.to_points(at + np.array([step, 0, 0]))
    assert np.abs(below - above).max() < 1e-3 * np.abs(aside - above).max()


def test_far_images_add_up() -> None:
    """The bed's images by the series, beside two thousand of them added up one by one."""
    basin = Basin(True, 1.2, 0.95)
    ball = sphere([0, 0, -0.6], 0.1, 3).numbered(0)
    shape = plain.shape_of(ball, basin, 20.0)
    points = np.random.default_rng(1).uniform([-8, -8, -1.2], [8, 8, 0], (20, 3))
    found = plain.rest_at_points(points, shape)
    total = np.zeros_like(found)
    level = ((points[:, None, :2] - ball.centre[None, :, :2]) ** 2).sum(axis=2)
    for n in range(-1000, 1001):
        for sign in (1, -1):
            if (n, sign) in ((0, 1), (0, -1), (-1, -1)):  # itself, the surface's mirror, the bed's mirror
                continue
            height = points[:, None, 2] - (sign * ball.centre[None, :, 2] + 2 * n * 1.2)
            total += 0.95 ** abs(n) / np.sqrt(level + height**2)
    np.testing.assert_allclose(found, total, rtol=3e-6)


def test_small_spheres_agree_with_the_lumped_matrix() -> None:
    """Two resolutions of one thing: spheres of 50 mm and the charge shells of `transfer_matrix`, over a bed."""
    at = np.array([[0.0, 0.0, -0.5], [1.0, 0.2, -0.8], [3.0, -0.5, -0.4]])
    balls = [sphere(p, 0.05, 8).numbered(k) for k, p in enumerate(at)]
    fine = water_field(join(*balls), BED).transfer
    radii = np.full(3, 0.05)
    lumped = transfer_matrix(at, 1.0 / (4.0 * math.pi * radii), radii, BED.water_depth, BED.bed_reflection)
    np.testing.assert_allclose(fine, lumped, rtol=6e-3)  # 128 panels leave 0.5 % of a sphere's own resistance


def test_probe_is_the_sum_over_the_layer(barge: Field) -> None:
    """A probe far from every panel, against the plain sum over panels and two hundred images of each."""
    panels, points = barge.panels, np.array([[8.0, 3.0, -1.0], [-5.0, -4.0, -2.0]])
    total = np.zeros((2, panels.size))
    level = ((points[:, None, :2] - panels.centre[None, :, :2]) ** 2).sum(axis=2)
    for n in range(-200, 201):
        for sign in (1, -1):
            height = points[:, None, 2] - (sign * panels.centre[None, :, 2] + 2 * n * BED.water_depth)
            total += BED.bed_reflection ** abs(n) / np.sqrt(level + height**2) / (4.0 * math.pi)
    np.testing.assert_allclose(barge.to_points(points), total @ barge.strength, rtol=2e-4)


def test_map_is_the_probes(barge: Field) -> None:
    drawn = plane_map(barge, [-1.5, 0.31, -0.02], [7, 0, 0], [0, 0, -2.4], 40, 20)
    current = np.linspace(-1.0, 1.5, barge.patches)
    probes = barge.to_points(drawn.points.reshape(-1, 3)) @ current / 3.0
    shown = drawn.potential(current, 3.0)
    scale = np.abs(probes).max()
    np.testing.assert_allclose(shown.ravel(), probes, atol=2e-4 * scale)
    assert drawn.error < 1e-4
    assert drawn.rank <= barge.patches
    x, z = drawn.points[..., 0], drawn.points[..., 2]
    np.testing.assert_array_equal(drawn.wet, ~((x > 0) & (x < 4) & (z > -0.5)))


def test_compiled_kernel_and_its_twin() -> None:
    compiled = pytest.importorskip("course.engine.field.compiled")
    panels = barge_with_fittings()
    shape = plain.shape_of(panels, BED, extent(panels))
    for ours, twin in zip(compiled.pairs(shape, shape), plain.pairs(shape, shape), strict=True):
        assert np.abs(ours - twin).max() < 1e-12 * np.abs(twin).max()
    points: Array = np.random.default_rng(2).uniform([-1, -1, -2.4], [5, 1, 0], (50, 3))
    ours, twin = (k.at_points(points, shape) for k in (compiled, plain))
    assert np.abs(ours - twin).max() < 1e-12 * np.abs(twin).max()


def test_conductivity_only_scales(barge: Field) -> None:
    drawn = plane_map(barge, [-1, 1, -0.1], [6, 0, 0], [0, 0, -2], 10, 5)
    one, five = (drawn.potential(np.ones(barge.patches), k) for k in (1.0, 5.0))
    np.testing.assert_allclose(one, 5.0 * five, rtol=1e-12)


def test_a_moved_sheet_is_the_field_made_anew(barge: Field) -> None:
    """The blade, patch 2, farther aft, larger and turned: to rounding the same as reducing everything again."""
    blade = plate([-1.2, 0.2, -0.9], [0.5, 0.2, 0], [0, 0, 0.3], (even(3), even(2))).numbered(2)
    old = barge.panels
    anew = water_field(join(old.take(old.patch != 2), blade), BED)
    quick = with_moved(barge, 2, blade)
    np.testing.assert_allclose(quick.transfer, anew.transfer, rtol=1e-10)
    np.testing.assert_allclose(quick.strength, anew.strength, atol=1e-10)
    back = with_moved(quick, 2, old.take(old.patch == 2))
    np.testing.assert_allclose(back.transfer, barge.transfer, rtol=1e-10)


def test_without_a_compiler_the_twin_does_the_work(monkeypatch: pytest.MonkeyPatch) -> None:
    body = cap_and_band(6)
    monkeypatch.setitem(sys.modules, "course.engine.field.compiled", None)
    monkeypatch.delattr("course.engine.field.compiled", raising=False)
    assert kernels() == (plain.pairs, plain.at_points)
    np.testing.assert_allclose(cap_and_band(6).transfer, body.transfer, rtol=1e-11)
