"""What the course sets out to teach, held against what its exercises ask."""

from __future__ import annotations

from collections.abc import Iterable

from graders.exercise import Exercise
from graders.exercises import MODULES, objectives_of


def without_exercise(modules: Iterable[str] | None = None) -> tuple[str, ...]:
    """Return the objectives no exercise asks."""
    names = list(modules or MODULES)
    asked = {objective for name in MODULES for exercise in MODULES[name] for objective in exercise.objectives}
    return tuple(o.id for name in names for o in objectives_of(name) if o.id not in asked)


def without_objective(modules: Iterable[str] | None = None) -> tuple[str, ...]:
    """Return the exercises that ask no objective of any module."""
    known = {o.id for name in MODULES for o in objectives_of(name)}
    exercises: list[Exercise] = [e for name in (modules or MODULES) for e in MODULES[name]]
    return tuple(e.id for e in exercises if not e.objectives or not set(e.objectives) <= known)
