"""What cannot be is refused in one sentence."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from course.engine import EngineError
from course.engine.field import (
    Basin,
    Field,
    Panels,
    box,
    even,
    graded,
    hull,
    join,
    panels,
    plane_map,
    plate,
    revolved,
    sphere,
    water_field,
    with_moved,
)

BALL = sphere([0, 0, -1], 0.5, 4)
OPEN = np.stack([np.linspace(1, -1, 5), [0, -0.5, -0.6, -0.5, 0]], axis=1)


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: Basin(True, 3.0, 0.99), "bed reflection is 0.99"),
        (lambda: Basin(True, -1.0), "water depth is -1 m"),
        (lambda: Basin(False, 3.0, 0.5), "needs its surface"),
        (lambda: panels(np.zeros((2, 3, 3)), True), "expected is four corners"),
        (lambda: panels(np.zeros((1, 4, 3)), True), "has no area"),
        (lambda: panels(np.full((1, 4, 3), np.nan), True), "is nan"),
        (lambda: Panels(BALL.corners, np.zeros(3, int), BALL.body), "one patch number"),
        (lambda: water_field(BALL.numbered(1), Basin()), "patch 0 has no panels"),
        (lambda: water_field(BALL.numbered(0).moved([0, 0, 2]), Basin()), "allowed is -inf m"),
        (lambda: water_field(BALL.numbered(0), Basin(True, 1.2)), "allowed is -1.2 m"),
        (lambda: water_field(_turned(BALL).numbered(0), Basin()), "clockwise"),
        (lambda: water_field(_sheet(), Basin()), "a sheet must be metal"),
        (
            lambda: water_field(join(BALL, _sheet().numbered(0).moved([0, 0, -1])), Basin()),
            "stands inside closed body 0",
        ),
        (lambda: box([0, 0, 0], [1, -1, 1], (even(1),) * 3), "high corner"),
        (lambda: plate([0, 0, 0], [1, 0, 0], [0, 1, 0], ([0.0, 0.5, 0.4], even(2))), "must increase"),
        (lambda: graded(0), "number of parts is 0"),
        (lambda: sphere([0, 0, 0], -1.0, 4), "radius is -1 m"),
        (lambda: revolved([[-1, 0], [1, 1]], 8), "a profile"),
        (lambda: hull([0.0], [OPEN]), "two or more stations"),
        (lambda: hull([0.0, 1.0], [OPEN - [0, 0.1]] * 2), "z = 0"),
        (lambda: hull([0.0, 1.0], [OPEN[::-1]] * 2), "port to starboard"),
    ],
)
def test_shapes_that_cannot_be(act: Callable[[], object], words: str) -> None:
    with pytest.raises(EngineError, match=words.replace("(", r"\(")) as caught:
        act()
    assert str(caught.value).count(".") >= 1
    assert "\n" not in str(caught.value)


def _turned(body: Panels) -> Panels:
    return Panels(body.corners[:, ::-1], body.patch, body.body)


def _sheet() -> Panels:
    return plate([0, 0, -0.1], [0.2, 0, 0], [0, 0.2, 0], (even(2), even(2)))


@pytest.mark.parametrize(
    ("points", "words"),
    [([[0, 0, 0.5]], "point is at z = 0.5 m"), ([0, 0, 0], "one row"), ([[0, 0, np.nan]], "is nan")],
)
def test_probes_out_of_the_water(barge: Field, points: object, words: str) -> None:
    with pytest.raises(EngineError, match=words):
        barge.to_points(points)  # type: ignore[arg-type]


def test_maps_out_of_the_water(barge: Field) -> None:
    with pytest.raises(EngineError, match="point of the map"):
        plane_map(barge, [0, 2, 0], [1, 0, 0], [0, 0, -9])
    drawn = plane_map(barge, [0, 2, 0], [1, 0, 0], [0, 0, -1], 4, 3)
    with pytest.raises(EngineError, match="shape"):
        drawn.potential(np.ones(2), 1.0)
    with pytest.raises(EngineError, match="conductivity is 0 S/m"):
        drawn.potential(np.ones(barge.patches), 0.0)


def test_moves_that_cannot_be(barge: Field) -> None:
    blade = _sheet().moved([0, 0, -0.2])  # inside the barge
    for patch, sheet, words in (
        (0, blade, "patch 0 is not a sheet"),
        (99, blade, "patch 99 is not a sheet"),
        (2, sphere([9, 0, -1], 0.1, 3), "must be a sheet"),
        (2, blade.moved([0.5, 0, 0]), "inside closed body 0"),
        (2, blade.moved([0, 0, 1.0]), "allowed is -2.5 m"),
    ):
        with pytest.raises(EngineError, match=words):
            with_moved(barge, patch, sheet)
