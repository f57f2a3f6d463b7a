"""Resistances of metal in water against closed forms and a published worked example."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine import (
    compact_resistance,
    disk_resistance,
    flush_plate_resistance,
    hemisphere_resistance,
    oblate_spheroid_resistance,
    prolate_spheroid_resistance,
    short_rod_resistance,
    slender_rod_resistance,
    sphere_resistance,
    transfer_matrix,
)


@pytest.mark.parametrize(
    ("found", "ohm"),
    [
        (
            disk_resistance(0.1, 5.0),
            0.5,
        ),  # 1/(4 k a); Newman, J. Electrochem. Soc. 113 (1966) 501 (from memory)
        (hemisphere_resistance(0.1, 5.0), 0.31831),  # 1/(2 pi k a), classical
        (sphere_resistance(0.1, 5.0), 0.159155),  # 1/(4 pi k a), classical
        (prolate_spheroid_resistance(0.1, 0.02, 5.0), 0.372375),  # Smythe, Sunde (from memory)
        (oblate_spheroid_resistance(0.1, 0.02, 5.0), 0.222447),  # Smythe, Sunde (from memory)
        (oblate_spheroid_resistance(0.1, 1e-6, 5.0), 0.25),  # its limit, a free disk 1/(8 k a)
    ],
)
def test_single_bodies(found: float, ohm: float) -> None:
    assert found == pytest.approx(ohm, rel=2e-5)


def test_prolate_form_as_printed() -> None:
    """ln((1+e)/(1-e))/(8 pi k a e), written out here as in Smythe (from memory)."""
    a, b, k = 0.4, 0.05, 4.3
    e = math.sqrt(1 - (b / a) ** 2)
    printed = math.log((1 + e) / (1 - e)) / (8 * math.pi * k * a * e)
    assert prolate_spheroid_resistance(a, b, k) == pytest.approx(printed, rel=1e-12)


def test_spheroids_end_in_the_sphere() -> None:
    for body in (prolate_spheroid_resistance, oblate_spheroid_resistance):
        assert body(0.1, 0.1 - 1e-9) == pytest.approx(sphere_resistance(0.1), rel=1e-6)
        assert body(0.1, 0.0999) == pytest.approx(sphere_resistance(0.1), rel=1e-3)


def test_two_spheres() -> None:
    """0.604789 ohm, spheres of 0.05 m, 1 m apart, 5 S/m: (1/a + 1/b - 2/d)/(4 pi k), first order."""
    alone = sphere_resistance(0.05)
    at = [[0.0, 0.0, -1e6], [1.0, 0.0, -1e6]]
    r = transfer_matrix(at, [alone, alone], [0.05, 0.05]) / 5.0
    loop = float(r[0, 0] + r[1, 1] - 2.0 * r[0, 1])
    assert loop == pytest.approx(0.604789, rel=2e-6)


def test_two_spheres_against_the_exact_images() -> None:
    """Kelvin's images for two equal spheres at one potential; the shells are first order in a/d, here 0.05.

    Exact by repeated images of a point charge in two conducting spheres (Maxwell, Treatise, chapter XI).
    """
    a, d = 0.05, 1.0
    charge, place, total = a, 0.0, 0.0
    for _ in range(60):
        total += charge
        charge, place = -charge * a / (d - place), a * a / (d - place)
    exact = 1.0 / (4 * math.pi * 2 * total)  # both spheres at 1 V carry 4 pi total each
    alone = sphere_resistance(a)
    r = transfer_matrix([[0.0, 0.0, -1e6], [d, 0.0, -1e6]], [alone, alone], [a, a])
    parallel = 1.0 / float(np.linalg.inv(r).sum())
    assert parallel == pytest.approx(exact, rel=5e-3)


@pytest.mark.parametrize(
    ("found", "ohm"),
    [
        (slender_rod_resistance(2.5, 0.1, 1 / 0.30), 0.068854),  # modified Dwight
        (short_rod_resistance(0.3, 0.1, 1 / 0.30), 0.261755),  # short slender stand-off
        (flush_plate_resistance(0.3, 0.1, 1 / 0.25), 0.625),  # Lloyd
        (compact_resistance(0.08, 1 / 0.25), 0.278423),  # McCoy
    ],
)
def test_anode_formulas(found: float, ohm: float) -> None:
    """Formulas of DNV-RP-B401 (from memory), numbers derived from them apart from this code."""
    assert found == pytest.approx(ohm, abs=0.6e-6)


def test_bracelet_anode_of_a_published_worked_example() -> None:
    """Ra = 0.353 ohm (L 0.432 m, r 0.187 m, 0.8 ohm m): Hartt and Lysogorski, J. Corrosion Sci. Eng. 4,
    preprint 10.

    Table 4; McCoy's form is the paper's own.
    """
    area = 2.0 * math.pi * 0.187 * 0.432
    assert compact_resistance(area, 1 / 0.8) == pytest.approx(0.353, abs=0.001)


def test_a_thin_spheroid_is_nearly_a_thin_rod() -> None:
    """Same order from two published forms: within 10 % at slenderness 50."""
    rod = slender_rod_resistance(1.0, 0.01)
    spheroid = prolate_spheroid_resistance(0.5, 0.01)
    assert spheroid == pytest.approx(rod, rel=0.1)
