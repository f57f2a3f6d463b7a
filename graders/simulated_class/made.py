"""What a simulated learner writes into one part, and which names of a mistake would be right for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from course.boats.draws import Draw

NO_NAMES: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Made:
    """Answers to a part. ``called`` is what was done, for the table; ``names`` the mistakes it may rightly be taken for."""

    values: Mapping[str, str]
    called: str
    names: frozenset[str] = NO_NAMES


def whole(draw: Draw, name: str, below: int) -> int:
    """Return a whole number from 0 to below, the last not included."""
    return int(draw.number(name, 0, below - 1e-6, 6))


def weighed(draw: Draw, name: str, weights: Mapping[str, float]) -> str:
    """Return one of several names, each as often as its weight says."""
    left = draw.number(name, 0, sum(weights.values()), 9)
    for chosen, weight in weights.items():
        left -= weight
        if left < 0:
            return chosen
    return list(weights)[-1]
