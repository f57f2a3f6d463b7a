"""Small boats in panels for the field's tests."""

from __future__ import annotations

import numpy as np
import pytest

from course.engine.field import Basin, Field, box, even, graded, join, plate, tube, water_field

BED = Basin(True, 2.5, 0.6)


def barge_with_fittings():
    """A barge with two flush plates in her bottom, a blade and a rod beside and below her."""
    sides = (graded(8), graded(5), even(2))
    barge = box([0, -0.8, -0.5], [4, 0.8, 0], sides, lid=False)
    x, y, z = barge.centre.T
    bottom = np.abs(z + 0.5) < 1e-9
    patch = np.full(barge.size, -1)
    patch[bottom & (x < 1.5) & (np.abs(y) < 0.3)] = 0
    patch[bottom & (x > 2.5) & (np.abs(y) < 0.3)] = 1
    blade = plate([-0.6, -0.1, -0.6], [0.4, 0, 0], [0, 0, 0.4], (even(2), even(2)))
    rod = tube([0.5, 0.4, -0.8], [1.5, 0.4, -0.7], 0.03, even(4))
    return join(barge.numbered(patch), blade.numbered(2), rod.numbered(3 + np.arange(rod.size) // 12))


@pytest.fixture(scope="session")
def barge() -> Field:
    return water_field(barge_with_fittings(), BED)
