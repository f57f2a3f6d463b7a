"""A module on paper, for a day without batteries: a sheet to fill in, and a key for the instructor."""

from __future__ import annotations

import io
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import write_text
from instructor.handout.released import check_module, read_plans, read_released
from instructor.layout import ClassFolder
from instructor.pages import module_title, render
from instructor.people.roster import Learner, find, read_roster
from instructor.progress import progress

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan
    from graders.exercise import Exercise, Table
    from graders.task import Task

NOBODY = Learner("paper", "")
LINES = 6  # empty lines of a logbook on paper
LONGEST = 48  # letters of a choice that stands in a row with others


@dataclass(frozen=True)
class Question:
    """One exercise on paper; what is below `logbook` is for the key alone."""

    exercise: Exercise
    asked: str
    card: Mapping[str, str]
    tables: tuple[Table, ...]
    fields: tuple[Any, ...]
    logbook: tuple[str, ...]
    figure: str
    right: tuple[tuple[str, str], ...]
    method: tuple[str, ...]


def write_paper(folder: ClassFolder, module: str, learners: Sequence[str]) -> list[Path]:
    """Write the sheets and their keys and return the files.

    Parameters
    ----------
    folder, module : the class and the module
    learners : those who get a sheet of their own released boats, or nobody: then one sheet, on one boat for all

    Raises
    ------
    ClassError : no such module or learner, or nothing released to them
    """
    from graders.exercises import MODULES
    from graders.personal import plan_for

    check_module(module)
    exercises = MODULES[module]
    roster = read_roster(folder.roster)
    wanted: list[tuple[Learner, Mapping[str, SlipPlan]]] = []
    for name in learners:
        learner = find(roster, name)
        wanted.append((learner, read_plans(folder, read_released(folder, module), learner.id)))
    if not wanted:
        common = {one.id: plan_for(one, NOBODY.id, folder.cohort, "practice") for one in exercises}
        wanted.append((NOBODY, common))
    written: list[Path] = []
    for learner, plans in progress(wanted, f"sheets of {module}"):
        questions = [_question(exercise, exercise.task(plans[exercise.id])) for exercise in exercises]
        for ending, key in (("", False), ("-key", True)):
            name = module + ("" if learner is NOBODY else f"-{learner.id}") + ending
            path = folder.root / "paper" / f"{name}.html"
            page = render(
                "paper.html.j2",
                title=module_title(module),
                learner=learner,
                cohort=folder.cohort,
                questions=questions,
                key=key,
                lines=range(LINES),
                longest=LONGEST,
            )
            write_text(path, page, durable=False)
            written.append(path)
    return written


def _question(exercise: Exercise, task: Task) -> Question:
    from graders.trial import right

    try:
        trial = right(task)
    except ValueError as problem:
        raise ClassError(f"Exercise {exercise.id} cannot be put on paper: {problem}.") from None
    fields = tuple(field.for_task(task) for field in exercise.fields)
    labels = {field.name: (field.label, dict(field.choices), field.unit) for field in fields}
    answers = []
    for name, value in trial.values.items():
        label, choices, unit = labels.get(name, (name, {}, ""))
        words = [choices.get(one.strip(), one.strip()) for one in value.split(",")] if choices else [value]
        words[-1] = f"{words[-1]} {unit if value else ''}".rstrip()
        answers.append((label, ", ".join(words)))
    return Question(
        exercise=exercise,
        asked=exercise.asked(task),
        card={"Boat": f"{task.plan.boat.name}, {task.plan.boat.kind}", **task.plan.record_card}
        if exercise.bench
        else {},
        tables=tuple(table(task) for table in exercise.tables),
        fields=fields,
        logbook=trial.mark.trail if exercise.bench else (),
        figure=_figure(task) if exercise.bench else "",
        right=tuple(answers),
        method=exercise.method_for(task),
    )


def _figure(task: Task) -> str:
    """Return the boat as she is found, as an SVG element."""
    from course.instruments.slip import Slip
    from course.panels.figure.whole import scene_figure

    with tempfile.TemporaryDirectory() as place:
        view = Slip(task.plan, Path(place), task.exercise.title).view()
    stream = io.StringIO()
    scene_figure(view).savefig(stream, format="svg", bbox_inches="tight")
    svg = stream.getvalue()
    return svg[svg.index("<svg") :]
