"""One learner's copy of an exercise: the plan drawn for them, and what the engine says about it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeVar

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan, Value
from course.boats.wording import capital

if TYPE_CHECKING:
    from graders.exercise import Exercise

T = TypeVar("T")
Known = Mapping[str, float | str]


@dataclass(frozen=True)
class Task:
    """An exercise with its personal plan. Truths, mistakes and sentences are functions of it.

    ``given`` holds a learner's own values of earlier fields; in their place ``earlier`` gives them instead of the truth, so that
    one function says both what is right and what follows rightly from an earlier wrong value.
    """

    exercise: Exercise
    plan: SlipPlan
    given: Known = field(default_factory=dict)
    _kept: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, name: str, work: Callable[[], T]) -> T:
        """Return the result of some costly work, done once for this task. It may not depend on what was ``given``."""
        if name not in self._kept:
            self._kept[name] = work()
        result: T = self._kept[name]
        return result

    @property
    def afloat(self) -> Afloat:
        """Return the boat in her water."""
        return self.once("afloat", lambda: Afloat(self.plan))

    def number(self, name: str) -> float:
        """Return a drawn number. Raises KeyError for a name that was not drawn, TypeError when it is no number."""
        value = self.plan.sheet[name]
        if not isinstance(value, float | int):
            raise TypeError(f"{name} of exercise {self.plan.exercise} is {value!r}, no number")
        return float(value)

    def word(self, name: str) -> str:
        """Return a drawn word. Raises KeyError for a name that was not drawn."""
        return str(self.plan.sheet[name])

    def words(self, name: str) -> tuple[str, ...]:
        """Return a drawn list of words. Raises KeyError for a name that was not drawn."""
        value = self.plan.sheet[name]
        return value if isinstance(value, tuple) else (str(value),)

    def earlier(self, name: str) -> float:
        """Return the value of an earlier number field: the learner's own when it is given, else the true one."""
        return float(self._earlier(name))

    def chosen(self, name: str) -> str:
        """Return the choice of an earlier field: the learner's own when it is given, else the true one."""
        return str(self._earlier(name))

    def _earlier(self, name: str) -> float | str:
        if name in self.given:
            return self.given[name]
        return self.exercise.truth_of(name, self)

    def on(self, given: Known) -> Task:
        """Return the same task as it looks to a learner who found these values in earlier fields."""
        return replace(self, given=dict(given))

    def names(self) -> dict[str, Value]:
        """Return everything a text may speak of: drawn values, boat, berth and the exercise's own words."""
        berth, boat = self.plan.berth, self.plan.boat
        known: dict[str, Value] = {
            "boat": boat.name,
            "kind": boat.kind,
            "marina": berth.marina,
            "berth": berth.name,
            "water": berth.water,
            "temperature": berth.temperature_degC,
            "salinity": berth.salinity,
            "depth": berth.depth_m,
        }
        return {**known, **self.plan.sheet, **self.exercise.words(self)}


Tell = str | Callable[[Task], str]


def said(tell: Tell, task: Task, **more: float | str | None) -> str:
    """Return a text as it is said to this learner: a template filled with the task's names, or a function's words."""
    if callable(tell):
        return tell(task)
    return tell.format(**{**task.names(), **more}) if "{" in tell else tell


def told(tell: Tell, task: Task, **more: float | str | None) -> str:
    """Return a text as a sentence said to this learner: as ``said``, and beginning with a capital."""
    return capital(said(tell, task, **more))
