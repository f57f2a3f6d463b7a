"""The same sphere in the engine: rings of panels whose edges are those of the metal."""

from __future__ import annotations

import itertools

import numpy as np

from course.engine import Law, Network, System, solve
from course.engine.field import Basin, revolved, water_field

from .axisymmetric import Answer, Bands


def _crowded(low: float, high: float, count: float) -> np.ndarray:
    """Cuts from low to high, closing in like a cosine on edges of metal, where the current crowds."""
    parts = max(2, round(count * (high - low) / (np.pi / 6)))
    x = np.linspace(0.0, 1.0, parts + 1)
    if low > 0.0 and high < np.pi:
        x = 0.5 - 0.5 * np.cos(np.pi * x)
    elif low > 0.0:
        x = 1.0 - np.cos(0.5 * np.pi * x)
    else:
        x = np.sin(0.5 * np.pi * x)
    return low + (high - low) * x


def sphere_system(
    bands: Bands, law: Law, conductivity: float, count: int, around: int
) -> tuple[System, np.ndarray, int]:
    """The system, the metal of each patch, and the number of panels.

    `count` rings in 30 degrees of metal, somewhat fewer on bare hull; each ring of metal is a patch, of the true area
    of its zone.
    """
    marks = sorted({0.0, np.pi, *(a for pair in bands.edges for a in pair)})
    pieces = itertools.pairwise(marks)
    cut = [_crowded(a, b, count if (a, b) in bands.edges else 0.75 * count) for a, b in pieces]
    angle = np.unique(np.concatenate(cut).round(13))
    half = 0.5 * np.diff(angle)
    chord = half / np.sin(half)
    widen = np.concatenate([[chord[0]], 0.5 * (chord[:-1] + chord[1:]), [chord[-1]]]) * bands.radius
    profile = np.stack([widen * np.sin(angle), widen * np.cos(angle)], axis=1)
    profile[[0, -1], 0] = 0.0
    ball = revolved(profile, around)
    middle = 0.5 * (angle[:-1] + angle[1:])
    metal = np.full(middle.size, -1)
    for number, (low, high) in enumerate(bands.edges):
        metal[(middle > low) & (middle < high)] = number
    rings = np.nonzero(metal >= 0)[0]
    patch = np.full(middle.size, -1)
    patch[rings] = np.arange(rings.size)
    field = water_field(ball.numbered(np.repeat(patch, around)), Basin(surface=False))
    zone = 2.0 * np.pi * bands.radius**2 * (np.cos(angle[:-1]) - np.cos(angle[1:]))
    which = metal[rings]
    laws = Law(
        law.centre[:, which],
        law.inverse_slope[:, which],
        law.amplitude[:, which],
        law.floor[which],
        law.floor_potential[which],
    )
    system = System(
        field.transfer / conductivity, zone[rings], laws, np.zeros(rings.size, dtype=int), Network(1)
    )
    return system, which, ball.size


def solve_by_panels(bands: Bands, law: Law, conductivity: float, count: int, around: int) -> Answer:
    """The engine's answer."""
    system, which, size = sphere_system(bands, law, conductivity, count, around)
    found = solve(system)
    current = np.array([found.current[which == k].sum() for k in range(len(bands.edges))])
    return Answer(current, float(found.node_voltage[0]), size)
