"""Parts at the bench: judged by a function of the whole case, its logbook among it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from dataclasses import field as set_to

from course.boats.afloat import Afloat, Setting
from graders.case import Case
from graders.exercise import Field
from graders.judging import reading_part
from graders.marks import PartMark
from graders.task import Task
from graders.truth import span


def _as_found(afloat: Afloat) -> Setting:
    return afloat.start


@dataclass(frozen=True)
class JudgedPart:
    """One or more parts judged by a function of the case. ``names`` are the mistakes it can tell.

    ``truths`` gives the true values of fields that later parts build on. How it is done rightly, and how its mistakes are made,
    is said by the exercise's ``hands`` and ``examples``.
    """

    fields: tuple[Field, ...]
    out_of: float
    judging: Callable[[Case], tuple[PartMark, ...]]
    mistakes: tuple[str, ...]
    truths: Mapping[str, Callable[[Task], float | str]] = set_to(default_factory=dict)

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the marks."""
        return self.judging(case)

    def apart(self, task: Task) -> bool:
        """Return True: separation is for the exercise's ``teaches`` to say."""
        return True

    def truth_of(self, field: str, task: Task) -> float | str:
        """Return the true value of a field. Raises KeyError for one that has none."""
        return self.truths[field](task)

    def right(self, task: Task) -> Mapping[str, str]:
        """Return nothing: hands at the bench find it."""
        return {}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return nothing: hands at the bench make them."""
        return {}


# what graders.judging and graders.method can say of a hull potential
READING_MISTAKES = (
    "rounded_too_far",
    "not_recorded",
    "does_not_replay",
    "unit",
    "sign_dropped",
    "no_circuit",
    "cell_dry",
    "leads_swapped",
    "no_metal",
    "wrong_point",
    "cell_on_bottom",
    "cell_too_shallow",
    "cell_too_deep",
    "cell_off_boat",
    "coarse_range",
    "overload",
    "cell_not_settled",
    "anode_lead_closed",
    "anode_in_water",
    "anode_lead_open",
    "anode_lifted",
    "metal_not_settled",
)


def ReadingPart(
    name: str, label: str, points: float, setting: Callable[[Afloat], Setting] = _as_found
) -> JudgedPart:
    """Return a part for a hull potential [mV] taken soundly and recorded, in a setting of links and anodes."""

    def judging(case: Case) -> tuple[PartMark, ...]:
        return (reading_part(case, name, label, points, setting(case.afloat)),)

    def truth(task: Task) -> float:
        return span(task.afloat, task.afloat.steady(setting(task.afloat))).middle

    return JudgedPart((Field(name, label, "mV"),), points, judging, READING_MISTAKES, {name: truth})
