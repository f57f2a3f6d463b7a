"""One of several answers; every wrong one has its own sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from dataclasses import field as set_to

from graders.case import Case
from graders.exercise import Field
from graders.marks import PartMark
from graders.mistake import FOLLOWS, NO_CHOICE, NOT_CHOSEN, UNNAMED, Mistake
from graders.task import Task, Tell, said, told


@dataclass(frozen=True)
class ChoicePart:
    """A field with choices, of which ``truth`` names the right one for a task.

    ``choices`` are (value, words) pairs; ``wrong`` has a sentence for each value where it is not the answer, and the mistake is
    called ``<field>_<value>``, or as ``named`` says. ``how`` is said after a wrong choice that has no sentence.
    """

    field: str
    label: str
    points: float
    choices: tuple[tuple[str, str], ...]
    truth: Callable[[Task], str]
    wrong: Mapping[str, Tell]
    how: Tell
    why: Tell = "That is right."
    named: Mapping[str, str] = set_to(default_factory=dict)

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the one field."""
        return (Field(self.field, self.label, kind="choice", choices=self.choices),)

    @property
    def out_of(self) -> float:
        """Return the points."""
        return self.points

    def name_of(self, choice: str) -> str:
        """Return what the mistake of a choice is called."""
        return self.named.get(choice, f"{self.field}_{choice}")

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        return tuple(dict.fromkeys(self.name_of(choice) for choice in self.wrong))

    def truth_of(self, field: str, task: Task) -> str:
        """Return the right choice."""
        return self.truth(task)

    def apart(self, task: Task) -> bool:
        """Return whether the right answer is among the choices."""
        return self.truth(task) in dict(self.choices)

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the right answer."""
        return {self.field: self.truth(task)}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return each wrong choice that has a sentence."""
        true = self.truth(task)
        return {self.name_of(choice): {self.field: choice} for choice in self.wrong if choice != true}

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the mark."""
        given = case.given(self.field)
        words = dict(self.choices)
        if given not in words:
            return (self._marked(case, None, NO_CHOICE if given else NOT_CHOSEN),)
        true = self.truth(case.task)
        if given == true:
            return (self._marked(case, given, None),)
        if case.earlier and given == self.truth(case.as_answered):
            says = "It follows rightly from what you found before, so it counts; put the earlier answer right and this changes with it."
            return (self._marked(case, given, Mistake(FOLLOWS, says), share=1.0),)
        if given in self.wrong:
            # to someone who took another turn before, it is said of what they found, not of what they should have found
            task = case.as_answered if case.earlier else case.task
            says = told(self.wrong[given], task, given=said(words[given], task))
            return (self._marked(case, given, Mistake(self.name_of(given), says)),)
        return (self._marked(case, given, Mistake(UNNAMED, "Not that one. " + told(self.how, case.task))),)

    def _marked(
        self, case: Case, choice: str | None, mistake: Mistake | None, share: float = 0.0
    ) -> PartMark:
        label = said(self.label, case.task)
        given = None if choice is None else said(dict(self.choices)[choice], case.task)
        if mistake is None:
            why = told(self.why, case.task)
            return PartMark(self.field, label, self.points, self.points, given, None, why)
        points = self.points * share
        return PartMark(self.field, label, points, self.points, given, mistake.name, mistake.sentence)
