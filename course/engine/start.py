"""A first guess: every bonded group at the potential where its patches balance with no drop in the water."""

from __future__ import annotations

import numpy as np

from course.engine.errors import Array
from course.engine.system import System

SECTIONS = 25
ROUNDS = 2
MARGIN = 0.1  # V past the outermost rest potentials
FRACTIONS = np.linspace(0.0, 1.0, SECTIONS)[:, None]


def no_drop_start(system: System) -> Array:
    """Polarisation [V SHE] (n,) by sectioning sum(A j(E)) = 0 in each group joined by over 1 mS."""
    member, weights = system.groups
    rest, inside = system.law.floor_potential, weights > 0.0
    low = np.where(inside, rest[:, None], np.inf).min(axis=0) - MARGIN
    high = np.where(inside, rest[:, None], -np.inf).max(axis=0) + MARGIN
    lanes = np.arange(low.shape[0])
    for _ in range(ROUNDS):
        trial = low + FRACTIONS * (high - low)
        total = system.law.evaluate(trial[:, member])[0] @ weights
        below = np.clip((total < 0.0).sum(axis=0) - 1, 0, SECTIONS - 2)
        low, high = trial[below, lanes], trial[below + 1, lanes]
    return np.asarray((0.5 * (low + high))[member])
