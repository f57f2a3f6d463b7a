"""A finding in the learner's own words: marked by a person, by a rubric; marking itself only sees whether it is there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from graders.case import Case
from graders.exercise import Field
from graders.marks import PartMark
from graders.mistake import NOT_ANSWERED
from graders.task import Task, Tell, said


@dataclass(frozen=True)
class WrittenPart:
    """A field for a text. ``by_hand`` points are given by a person; ``rubric`` says for what, a line a point or two."""

    field: str
    label: str
    by_hand: float
    rubric: tuple[Tell, ...]
    model: Tell
    out_of: float = 0.0

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the one field."""
        return (Field(self.field, self.label, kind="text"),)

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return none: a person marks it."""
        return ()

    def truth_of(self, field: str, task: Task) -> str:
        """Return a text that would earn all points."""
        return said(self.model, task)

    def apart(self, task: Task) -> bool:
        """Return whether there is a rubric to mark by."""
        return bool(self.rubric)

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the model text."""
        return {self.field: said(self.model, task)}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return none."""
        return {}

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return a mark that waits for a person."""
        label, given = said(self.label, case.task), case.given(self.field)
        if given is None:
            blank = NOT_ANSWERED
            return (PartMark(self.field, label, 0.0, 0.0, None, blank.name, blank.sentence, self.by_hand),)
        lines = " ".join(f"({k}) {said(line, case.task)}" for k, line in enumerate(self.rubric, start=1))
        says = (
            f"Kept. An instructor marks it out of {self.by_hand:g} by these points. "
            f"If you learn alone, compare your text with them: {lines}"
        )
        return (PartMark(self.field, label, 0.0, 0.0, given, None, says, self.by_hand),)
