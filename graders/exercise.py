"""What an exercise is: data and small functions of the learner's own copy of it (a Task)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal, Protocol, get_args

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.boats.wording import capital
from graders.case import Case
from graders.hands import Example, Hands
from graders.marks import PartMark, check_cell
from graders.task import Known, Task, Tell, said, told

Kind = Literal[
    "read", "convert", "judge", "choose", "order", "size", "forecast", "diagnose", "hunt", "verify", "write"
]
KINDS: tuple[str, ...] = get_args(Kind)


@dataclass(frozen=True)
class Objective:
    """One thing a learner of a module will be able to do; ``says`` ends the sentence "By the end you can ..."."""

    id: str
    says: str


@dataclass(frozen=True)
class Field:
    """One thing the learner fills in.

    ``choices`` are (value, words) pairs for the kinds choice, several and order; label and words may be templates. An answer
    to several choices is the values with commas between; to an order, all values in order with commas between. ``personal`` makes
    the choices for one learner, where they depend on the boat.
    """

    name: str
    label: str
    unit: str = ""
    kind: Literal["number", "choice", "several", "order", "text"] = "number"
    choices: tuple[tuple[str, str], ...] = ()
    personal: Callable[[Task], tuple[tuple[str, str], ...]] | None = None

    def for_task(self, task: Task) -> Field:
        """Return the field with its words filled in for one learner."""
        chosen = self.choices if self.personal is None else self.personal(task)
        words = tuple((value, said(text, task)) for value, text in chosen)
        return replace(self, label=said(self.label, task), choices=words, personal=None)


@dataclass(frozen=True)
class Table:
    """Something given on paper: a logbook someone else kept, a list of metals, a price list."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Part(Protocol):
    """One marked step of an exercise."""

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the fields that belong to it."""

    @property
    def out_of(self) -> float:
        """Return the points that marking itself gives for it."""

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes it recognises."""

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return its marks."""

    def apart(self, task: Task) -> bool:
        """Return whether the truth and every mistake stand clear of one another on this plan."""

    def truth_of(self, field: str, task: Task) -> float | str:
        """Return the true value of a field."""

    def right(self, task: Task) -> Mapping[str, str]:
        """Return right answers, as one would type them; empty where only hands at the bench can find them."""

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return for each mistake that can be made on this plan the answers that make it, by mistake."""


def _no_words(_task: Task) -> Mapping[str, Value]:
    return {}


@dataclass(frozen=True, eq=False)
class Exercise:
    """One exercise of a module.

    ``draw`` draws the personal sheet; ``words`` are further names for the texts; ``tables`` what is given on paper; ``teaches``
    says whether a plan teaches the point, beyond the parts' own separation; ``finish`` is what is worked out once and stored
    with the plan; ``method`` how a good method goes on this plan; ``hints`` are three steps. With ``bench`` the learner works
    on a slip drawn from ``family``, and ``hands`` says how it is done rightly and ``examples`` how each mistake at the bench is
    made (both for testing the marking itself).
    """

    id: str
    module: str
    title: str
    kind: Kind
    objectives: tuple[str, ...]
    prompt: Tell
    parts: tuple[Part, ...]
    method: tuple[Tell, ...] | Callable[[Task], tuple[str, ...]]
    hints: tuple[Tell, Tell, Tell]
    draw: Callable[[Draw, SlipPlan], Mapping[str, Value]] = lambda _draw, _plan: {}
    words: Callable[[Task], Mapping[str, Value]] = _no_words
    tables: tuple[Callable[[Task], Table], ...] = ()
    teaches: Callable[[Task], bool] = lambda _task: True
    finish: Callable[[Task], Mapping[str, Value]] = _no_words
    family: str = "desk"
    bench: bool = False
    instruments: tuple[str, ...] = ()
    card: Callable[[SlipPlan], dict[str, str]] = lambda _plan: {}
    hands: Callable[[Hands], Mapping[str, object]] | None = None
    examples: tuple[Example, ...] = ()
    score_card: Callable[[Case], Mapping[str, float]] = lambda _case: {}

    @property
    def grade_id(self) -> str:
        """Return the name of the exercise's check cell in the notebook."""
        return check_cell(self.id)

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the fields of all parts."""
        return tuple(field for part in self.parts for field in part.fields)

    @property
    def points(self) -> float:
        """Return the points that marking itself gives; what a person marks by hand comes on top."""
        return float(sum(part.out_of for part in self.parts))

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of all mistakes the exercise recognises, each once."""
        return tuple(dict.fromkeys(name for part in self.parts for name in part.mistakes))

    def task(self, plan: SlipPlan) -> Task:
        """Return one learner's copy."""
        return Task(self, plan)

    def truth_of(self, field: str, task: Task) -> float | str:
        """Return the true value of a field. Raises KeyError for a name that is no field."""
        for part in self.parts:
            if field in {own.name for own in part.fields}:
                return part.truth_of(field, task)
        raise KeyError(f"exercise {self.id} has no field {field!r}")

    def fit(self, task: Task) -> bool:
        """Return whether a drawn plan has an answer that is separated from every mistake, and teaches the point."""
        return all(part.apart(task) for part in self.parts) and self.teaches(task)

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the marks of all parts; each part sees what was answered and earned before it."""
        marks: list[PartMark] = []
        earlier: dict[str, float | str] = {}
        for part in self.parts:
            so_far = replace(case, earlier=dict(earlier), sound_so_far=all(mark.right for mark in marks))
            marks.extend(part.judge(so_far))
            earlier |= _answered(part, case)
        return tuple(marks)

    def method_for(self, task: Task) -> tuple[str, ...]:
        """Return how a good method goes on this plan, a sentence a step."""
        if callable(self.method):
            return tuple(step if step[1:2] == ":" else capital(step) for step in self.method(task))
        return tuple(told(step, task) for step in self.method)

    def asked(self, task: Task) -> str:
        """Return what is asked of this learner."""
        return told(self.prompt, task)

    def hint(self, task: Task, step: int) -> str:
        """Return a hint, step 1 to 3."""
        return told(self.hints[step - 1], task)

    def right_values(self, task: Task, found: Mapping[str, object]) -> dict[str, str]:
        """Return right answers to all fields, given what was found at the bench."""
        values = {name: str(value) for name, value in found.items()}
        for part in self.parts:
            known = _answered_values(self.parts, values)
            if not {field.name for field in part.fields} & set(values):
                values |= part.right(task.on(known))
        return values


def _answered(part: Part, case: Case) -> Known:
    known: dict[str, float | str] = {}
    for field in part.fields:
        value = case.number(field.name, field.unit) if field.kind == "number" else case.given(field.name)
        if value is not None:
            known[field.name] = value
    return known


def _answered_values(parts: tuple[Part, ...], values: Mapping[str, str]) -> Known:
    kinds = {field.name: field.kind for part in parts for field in part.fields}
    return {
        name: float(v) if kinds[name] == "number" else v for name, v in values.items() if v and name in kinds
    }
