"""The exercises: ``module_NN``, a file or a package for each module, found by its number and loaded on first use."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from functools import cache

from course.boats.datasets import nearest
from graders.exercise import Exercise, Objective


@cache
def _numbers() -> tuple[str, ...]:
    found = (info.name for info in pkgutil.iter_modules(__path__))
    return tuple(sorted(name.removeprefix("module_") for name in found if name.startswith("module_")))


@cache
def _loaded(number: str) -> tuple[str, tuple[Objective, ...], tuple[Exercise, ...]]:
    file = importlib.import_module(f"{__name__}.module_{number}")
    return str(file.MODULE), tuple(file.OBJECTIVES), tuple(file.EXERCISES)


Known = tuple[tuple[Objective, ...], tuple[Exercise, ...]]
_OWN: dict[str, Known] = {}  # modules of an instructor's own, by name: see graders.own


def add_own(module: str, objectives: tuple[Objective, ...], exercises: tuple[Exercise, ...]) -> None:
    """Make a module of an instructor's own known; one of the same name takes the other's place."""
    _OWN[module] = (objectives, exercises)


class _Modules(Mapping[str, tuple[Exercise, ...]]):
    """Each module's exercises by the module's name; only the module asked for is loaded."""

    def __getitem__(self, name: str) -> tuple[Exercise, ...]:
        if name in _OWN:
            return _OWN[name][1]
        number = name[:2] if isinstance(name, str) else ""
        if number in _numbers() and _loaded(number)[0] == name:
            return _loaded(number)[2]
        raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        yield from (_loaded(number)[0] for number in _numbers())
        yield from _OWN

    def __len__(self) -> int:
        return len(_numbers()) + len(_OWN)


class _Exercises(Mapping[str, Exercise]):
    """Each exercise by its id."""

    def __getitem__(self, name: str) -> Exercise:
        number = name[:2] if isinstance(name, str) else ""
        own = [exercise for _, exercises in _OWN.values() for exercise in exercises]
        for exercise in (*(_loaded(number)[2] if number in _numbers() else ()), *own):
            if exercise.id == name:
                return exercise
        raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        yield from (exercise.id for number in _numbers() for exercise in _loaded(number)[2])
        yield from (exercise.id for _, exercises in _OWN.values() for exercise in exercises)

    def __len__(self) -> int:
        return sum(1 for _ in self)


MODULES: Mapping[str, tuple[Exercise, ...]] = _Modules()
EXERCISES: Mapping[str, Exercise] = _Exercises()


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


def objectives_of(module: str) -> tuple[Objective, ...]:
    """Return the objectives of a module. Raises UnknownExercise for another name."""
    module_named(module)
    return _OWN[module][0] if module in _OWN else _loaded(module[:2])[1]
