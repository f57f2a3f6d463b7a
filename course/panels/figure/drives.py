"""Outlines for print of what hangs under or behind a hull, and of what stands in the raw water: as in the scene, plainer.

Unit outlines are for a length of 1: x aft (-) to forward (+), y up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

Points = list[tuple[float, float]]
BAND_M = 0.14  # width on the page of a metal hull's hatched skin
KEEL_LEAST_M, KEEL_MOST_M = 0.12, 1.4


def _round(radius: float, first: float, last: float, steps: int) -> Points:
    turns = [math.radians(first + (last - first) * k / steps) for k in range(steps + 1)]
    return [(radius * math.cos(t), radius * math.sin(t)) for t in turns]


def _bolts() -> Points:
    """Four bolt heads in a row, on a thread of no width."""
    heads: Points = []
    for middle in (-0.45, -0.15, 0.15, 0.45):
        heads += [(middle + x, y) for x, y in _round(0.08, 180.0, -180.0, 12)]
    return heads


UNIT_OUTLINES: dict[str, Points] = {
    "saildrive": [
        (-0.17, 0.5), (0.22, 0.5), (0.17, -0.24), (0.36, -0.28), (0.4, -0.36), (0.34, -0.45), (0.0, -0.5),
        (-0.3, -0.47), (-0.42, -0.36), (-0.3, -0.25), (-0.15, -0.23),
    ],
    "stern_drive": [
        (-0.16, 0.5), (0.14, 0.5), (0.2, 0.3), (0.5, 0.34), (0.5, -0.04), (0.26, -0.1), (0.12, -0.1), (0.09, -0.22),
        (0.24, -0.26), (0.26, -0.31), (0.2, -0.38), (0.06, -0.39), (-0.02, -0.54), (-0.1, -0.54), (-0.1, -0.39),
        (-0.3, -0.36), (-0.3, -0.26), (-0.12, -0.22), (-0.12, -0.1), (-0.5, -0.1), (-0.5, -0.05), (-0.2, -0.02),
    ],
    "outboard": [
        (-0.2, 0.5), (0.0, 0.54), (0.15, 0.46), (0.17, 0.24), (0.2, 0.24), (0.2, 0.02), (0.13, 0.02), (0.13, 0.14),
        (0.07, 0.16), (0.05, -0.2), (0.05, -0.28), (0.16, -0.3), (0.18, -0.34), (0.14, -0.39), (0.02, -0.4), (-0.03, -0.5),
        (-0.08, -0.5), (-0.08, -0.4), (-0.18, -0.37), (-0.18, -0.31), (-0.07, -0.28), (-0.07, -0.2), (-0.22, -0.2),
        (-0.22, -0.17), (-0.08, -0.15), (-0.11, 0.24), (-0.22, 0.24),
    ],
    "pump": [*_round(0.34, 26.0, 334.0, 20), (0.6, -0.15), (0.6, 0.15)],
    "heat_exchanger": [
        (-0.5, 0.0), (-0.47, 0.16), (-0.4, 0.2), (-0.4, 0.16), (0.4, 0.16), (0.4, 0.2), (0.47, 0.16), (0.5, 0.0),
        (0.47, -0.16), (0.4, -0.2), (0.4, -0.16), (-0.4, -0.16), (-0.4, -0.2), (-0.47, -0.16),
    ],
    "fastening": _bolts(),
    "bulb": [
        (-0.5, 0.0), (-0.3, 0.07), (0.0, 0.1), (0.25, 0.1), (0.42, 0.07), (0.5, 0.0), (0.42, -0.07), (0.25, -0.1),
        (0.0, -0.1), (-0.3, -0.07),
    ],
}  # fmt: skip
LEAST_M = {"pump": 0.24, "heat_exchanger": 0.34, "fastening": 0.28, "strainer": 0.2, "saildrive": 0.3}


def bottom_at(profile: Sequence[Sequence[float]], x_m: float) -> float:
    """Return the height [m] of a hull's lower edge at ``x_m``, 0 at most."""
    lowest = 0.0
    for (x1, h1), (x2, h2) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if min(x1, x2) <= x_m <= max(x1, x2):
            lowest = min(lowest, min(h1, h2) if x1 == x2 else h1 + (h2 - h1) * (x_m - x1) / (x2 - x1))
    return lowest


def keel_outline(part: Mapping[str, Any], boat: Mapping[str, Any]) -> Points:
    """Return a keel's outline about its middle [m]: up to the boat's bottom, and down as far as she draws."""
    down = min(max(boat["draft_m"] + part["height_m"], KEEL_LEAST_M), KEEL_MOST_M)
    bottom = bottom_at(boat["profile"], part["x_m"])
    up = min(bottom + 0.03 - part["height_m"], 1.6) if bottom > part["height_m"] else down
    long = part["length_m"]
    if up + down > 0.32 * long:  # a fin
        return [(-0.44 * long, up), (0.5 * long, up), (0.26 * long, -down), (-0.38 * long, -down)]
    return [
        (-0.5 * long, up),
        (0.5 * long, up),
        (0.42 * long, -0.6 * down),
        (0.3 * long, -down),
        (-0.5 * long, -down),
    ]


def hull_band(profile: Sequence[Sequence[float]]) -> Points:
    """Return the wetted skin of a metal hull as a closed band [m] along the inside of her outline."""
    wet: Points = []
    for (x1, h1), (x2, h2) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if h1 <= 0.0:
            wet.append((x1, h1))
        if (h1 < 0.0 < h2) or (h2 < 0.0 < h1):
            wet.append((x1 + (x2 - x1) * h1 / (h1 - h2), 0.0))
    return [*wet, *((x, min(h + BAND_M, 0.0)) for x, h in reversed(wet))]
