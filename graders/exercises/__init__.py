"""The exercises, a file for each module."""

from __future__ import annotations

from course.boats.datasets import nearest
from graders.exercise import Exercise
from graders.exercises import module_03

MODULES: dict[str, tuple[Exercise, ...]] = {module_03.MODULE: module_03.EXERCISES}
EXERCISES: dict[str, Exercise] = {exercise.id: exercise for module in MODULES.values() for exercise in module}


class UnknownExercise(ValueError):
    """An exercise or module that this course does not have."""

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook shows: the sentence, and no traceback."""
        return [str(self)]


def exercise_named(name: str) -> Exercise:
    """Return an exercise by id. Raises UnknownExercise, offering the nearest, for another name."""
    if name not in EXERCISES:
        raise UnknownExercise(
            f"There is no exercise {name!r}{nearest(name, EXERCISES)}; there are {', '.join(EXERCISES)}."
        )
    return EXERCISES[name]


def module_named(name: str) -> tuple[Exercise, ...]:
    """Return the exercises of a module. Raises UnknownExercise, offering the nearest, for another name."""
    if name not in MODULES:
        raise UnknownExercise(
            f"There is no module {name!r} with exercises{nearest(name, MODULES)}; there are {', '.join(MODULES)}."
        )
    return MODULES[name]
