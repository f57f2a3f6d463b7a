"""Outlines of metal parts for print, and where a point of the boat stands on the page. Lengths in metres."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.panels.figure import drives

Outline = NDArray[np.float64]
LEAN_X, LEAN_UP, LEAN_MOST = (
    0.25,
    -0.14,
    1.6,
)  # metres on the page for each metre to port; the same as in the scene

# Of a length of 1: x aft (-) to forward (+), y up.
UNIT_OUTLINES: dict[str, list[tuple[float, float]]] = {
    "propeller": [
        (0.14, 0.08), (0.1, 0.08), (0.16, 0.3), (0.02, 0.5), (-0.14, 0.34), (-0.1, 0.08), (-0.24, 0.0),
        (-0.1, -0.08), (-0.16, -0.34), (-0.02, -0.5), (0.14, -0.3), (0.1, -0.08), (0.14, -0.08),
    ],
    "rudder": [
        (-0.32, 0.28), (-0.06, 0.31), (-0.06, 0.62), (0.06, 0.62), (0.06, 0.32), (0.32, 0.34), (0.26, -0.5),
        (-0.22, -0.5),
    ],
    "strut": [
        (-0.1, 0.5), (0.3, 0.5), (0.12, -0.26), (0.3, -0.26), (0.3, -0.5), (-0.3, -0.5), (-0.3, -0.26),
        (-0.1, -0.26),
    ],
    "through_hull": [
        (-0.7, -0.5), (0.0, -0.7), (0.7, -0.5), (0.7, -0.3), (0.3, -0.3), (0.3, 0.5), (0.6, 0.5),
        (0.6, 0.85), (-0.6, 0.85), (-0.6, 0.5), (-0.3, 0.5), (-0.3, -0.3), (-0.7, -0.3),
    ],
    "engine": [
        (-0.5, -0.03), (-0.36, -0.03), (-0.36, 0.21), (-0.28, 0.21), (-0.28, 0.35), (0.3, 0.35), (0.3, 0.21),
        (0.4, 0.21), (0.4, 0.1), (0.46, 0.1), (0.46, -0.15), (0.38, -0.15), (0.28, -0.3), (-0.18, -0.3),
        (-0.28, -0.17), (-0.5, -0.17),
    ],
    "strainer": [
        (-0.32, 0.36), (-0.32, -0.5), (0.32, -0.5), (0.32, 0.36), (0.4, 0.36), (0.4, 0.5), (-0.4, 0.5),
        (-0.4, 0.36),
    ],
    "fitting": [
        (-0.5, -0.3), (-0.5, -0.1), (-0.2, -0.1), (-0.2, 0.5), (0.2, 0.5), (0.2, -0.1), (0.5, -0.1),
        (0.5, -0.3),
    ],
    "plate": [
        (-0.5, 0.05), (0.5, 0.09), (0.5, -0.04), (-0.5, -0.08),
    ],
    "plate_anode": [
        (-0.5, -0.16), (-0.4, -0.24), (0.4, -0.24), (0.5, -0.16), (0.5, 0.16), (0.4, 0.24), (-0.4, 0.24),
        (-0.5, 0.16),
    ],
    "collar_anode": [
        (-0.5, 0.15), (-0.3, 0.42), (0.0, 0.5), (0.3, 0.42), (0.5, 0.15), (0.5, -0.15), (0.3, -0.42),
        (0.0, -0.5), (-0.3, -0.42), (-0.5, -0.15),
    ],
    "hanging_anode": [
        (0.0, 0.5), (0.2, 0.25), (0.24, 0.0), (0.18, -0.3), (0.0, -0.5), (-0.18, -0.3), (-0.24, 0.0),
        (-0.2, 0.25),
    ],
}  # fmt: skip
UNIT_OUTLINES |= drives.UNIT_OUTLINES
LEAST_M = {"through_hull": 0.16, "fitting": 0.16, "collar_anode": 0.18, **drives.LEAST_M}


def page(x_m: float, y_m: float, height_m: float) -> tuple[float, float]:
    """Return a point's place on the page [m], slightly oblique: port nearer, starboard up and aft."""
    lean = min(max(y_m, -LEAN_MOST), LEAN_MOST)
    return x_m + LEAN_X * lean, height_m + LEAN_UP * lean


def is_lifted(part: Mapping[str, Any]) -> bool:
    """Return whether a part that hangs on a line is out of the water."""
    return bool(part["hoistable"]) and not part["lowered"]


def middle(part: Mapping[str, Any]) -> tuple[float, float]:
    """Return the page place [m] of a part's middle; a lifted anode hangs just above the water."""
    height = 0.25 + part["length_m"] / 2 if is_lifted(part) else part["height_m"]
    return page(part["x_m"], part["y_m"], height)


def _near(
    part: Mapping[str, Any], parts: Sequence[Mapping[str, Any]], shape: str
) -> Mapping[str, Any] | None:
    return next(
        (other for other in parts if other["shape"] == shape and abs(other["y_m"] - part["y_m"]) < 0.3), None
    )


def _turn(part: Mapping[str, Any], parts: Sequence[Mapping[str, Any]]) -> float:
    """Return the angle [rad] a part stands at: a shaft points from its propeller through its own middle."""
    if part["shape"] == "plate_anode" and part["x_m"] < 0.15:
        return math.pi / 2
    if part["shape"] not in ("shaft", "collar_anode"):
        return 0.0
    shaft = part if part["shape"] == "shaft" else _near(part, parts, "shaft")
    screw = _near(shaft, parts, "propeller") if shaft else None
    if shaft is None or screw is None or abs(shaft["x_m"] - screw["x_m"]) < 0.1:
        return math.radians(8)
    return math.atan2(shaft["height_m"] - screw["height_m"], shaft["x_m"] - screw["x_m"])


def outline(part: Mapping[str, Any], parts: Sequence[Mapping[str, Any]], share: float = 1.0) -> Outline:
    """Return a part's outline (n, 2) on the page [m]; ``share`` is what is left of a worn anode's area."""
    length = max(part["length_m"], LEAST_M.get(part["shape"], 0.0))
    if part["shape"] == "shaft":
        unit = np.array(
            [(-length / 2, -0.045), (length / 2, -0.045), (length / 2, 0.045), (-length / 2, 0.045)]
        )
    else:
        shape = "bulb" if part["shape"] == "plate" and part["family"] == "lead_tin" else part["shape"]
        unit = np.array(UNIT_OUTLINES.get(shape, UNIT_OUTLINES["plate"])) * length
    angle = _turn(part, parts)
    turned = unit @ np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    worn: Outline = turned * math.sqrt(share) + np.array(middle(part))
    return worn


def on_wire(link: Mapping[str, Any], conductors: Sequence[Mapping[str, Any]]) -> tuple[float, float]:
    """Return where a link stands on the page [m]: on its own conductor, nearest to its stated place."""
    place = np.array(page(link["x_m"], link["y_m"], link["height_m"]))
    best, reach = place, 0.6
    path: list[list[float]] = next((wire["path"] for wire in conductors if wire["id"] == link["id"]), [])
    corners = [np.array(page(*point)) for point in path]
    for a, b in pairwise(corners):
        along = float(np.clip((place - a) @ (b - a) / max(float((b - a) @ (b - a)), 1e-9), 0.0, 1.0))
        at = a + along * (b - a)
        if np.hypot(*(at - place)) < reach:
            best, reach = at, float(np.hypot(*(at - place)))
    return float(best[0]), float(best[1])
