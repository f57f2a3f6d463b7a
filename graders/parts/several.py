"""All that hold, out of a list: credit for each that is ticked rightly, a sentence for each that is not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from graders.case import Case
from graders.exercise import Field
from graders.marks import PartMark
from graders.mistake import NO_CHOICE, NOT_TICKED, Mistake
from graders.task import Task, Tell, said, told


def split(text: str) -> tuple[str, ...]:
    """Return the values in an answer written with commas between, in order."""
    return tuple(value for raw in text.replace(";", ",").split(",") if (value := raw.strip()))


@dataclass(frozen=True)
class SeveralPart:
    """A field for all choices that hold.

    ``wrong`` has a sentence for each choice ticked although it does not hold (mistake ``<field>_not_<value>``), ``missed`` for
    each that holds and was left out (``<field>_missed_<value>``). Every choice needs the one or the other, or both when it
    depends on the plan. Points go by right ticks less wrong ones.
    """

    field: str
    label: str
    points: float
    choices: tuple[tuple[str, str], ...]
    truth: Callable[[Task], frozenset[str]]
    wrong: Mapping[str, Tell]
    missed: Mapping[str, Tell]
    why: Tell = "Those and no others."

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the one field."""
        return (Field(self.field, self.label, kind="several", choices=self.choices),)

    @property
    def out_of(self) -> float:
        """Return the points."""
        return self.points

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        ticked = (f"{self.field}_not_{value}" for value in self.wrong)
        return (*ticked, *(f"{self.field}_missed_{value}" for value in self.missed))

    def truth_of(self, field: str, task: Task) -> str:
        """Return the right answer as it is written."""
        holds = self.truth(task)
        return ", ".join(value for value, _ in self.choices if value in holds)

    def apart(self, task: Task) -> bool:
        """Return whether some choices hold, and every one is explained."""
        holds, all_of_them = self.truth(task), {value for value, _ in self.choices}
        told = holds <= set(self.missed) and all_of_them - holds <= set(self.wrong)
        return bool(holds) and holds <= all_of_them and told

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the right answer."""
        return {self.field: self.truth_of(self.field, task)}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return each choice ticked wrongly, and each one left out (where something else is left)."""
        holds = self.truth(task)
        made: dict[str, set[str]] = {
            f"{self.field}_not_{value}": set(holds) | {value} for value in self.wrong if value not in holds
        }
        if len(holds) > 1:
            made |= {
                f"{self.field}_missed_{value}": set(holds) - {value}
                for value in self.missed
                if value in holds
            }
        return {name: {self.field: ", ".join(sorted(ticked))} for name, ticked in made.items()}

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the mark."""
        label = said(self.label, case.task)
        ticked = [v for v in split(case.given(self.field) or "") if v in dict(self.choices)]
        if not ticked:
            blank = NO_CHOICE if case.given(self.field) else NOT_TICKED
            return (PartMark(self.field, label, 0.0, self.points, None, blank.name, blank.sentence),)
        holds = self.truth(case.task)
        words = dict(self.choices)
        given = "; ".join(said(words[value], case.task) for value in words if value in ticked)
        extra = [value for value in words if value in ticked and value not in holds]
        left = [value for value in words if value in holds and value not in ticked]
        if not extra and not left:
            why = told(self.why, case.task)
            return (PartMark(self.field, label, self.points, self.points, given, None, why),)
        share = max(0.0, (len(holds) - len(left) - len(extra)) / len(holds))
        found = self._first(case.task, extra, left)
        return (
            PartMark(
                self.field,
                label,
                round(self.points * share, 2),
                self.points,
                given,
                found.name,
                found.sentence,
            ),
        )

    def _first(self, task: Task, extra: list[str], left: list[str]) -> Mistake:
        """Return the first thing that is wrong, and say how many more there are."""
        name = f"{self.field}_not_{extra[0]}" if extra else f"{self.field}_missed_{left[0]}"
        sentence = told(self.wrong[extra[0]] if extra else self.missed[left[0]], task)
        others = len(extra) + len(left) - 1
        return Mistake(
            name,
            sentence
            + (f" And {others} more of your ticks or blanks is not right." if others == 1 else "")
            + (f" And {others} more of your ticks or blanks are not right." if others > 1 else ""),
        )
