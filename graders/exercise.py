"""What an exercise is: data, one function that judges its parts, and one that says whether a slip teaches it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from graders.case import Case
from graders.marks import PartMark


@dataclass(frozen=True)
class Field:
    """One thing the learner fills in. ``choices`` are (value, words) pairs for a choice."""

    name: str
    label: str
    unit: str = ""
    kind: Literal["number", "choice"] = "number"
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Exercise:
    """One exercise of a module.

    ``judge`` returns the marks of the parts; ``teaches`` says whether a drawn slip has an answer that is unique and separated
    from every named mistake; ``method`` tells what a good method finds on a slip; ``card`` writes the boat's record card.
    """

    id: str
    module: str
    title: str
    objective: str
    prompt: str
    instruments: tuple[str, ...]
    family: str
    fields: tuple[Field, ...]
    points: float
    judge: Callable[[Case], tuple[PartMark, ...]]
    teaches: Callable[[Afloat], bool]
    method: Callable[[Afloat], tuple[str, ...]]
    card: Callable[[SlipPlan], dict[str, str]] = lambda _plan: {}

    @property
    def grade_id(self) -> str:
        """Return the name of the exercise's check cell in the notebook."""
        return f"check-{self.id.replace('.', '-')}"
