"""What a module says to one invented learner, as prose a person can read: every prompt, hint, message and method."""

from __future__ import annotations

from collections.abc import Iterator

from graders.exercise import Exercise, Table
from graders.exercises import MODULES
from graders.personal import plan_for
from graders.trial import Trial, mistakes, right

LEARNER, COHORT = "maud", "GOLD"  # invented


def _table(table: Table) -> Iterator[str]:
    yield f"*{table.title}*"
    yield ""
    yield "| " + " | ".join(table.columns) + " |"
    yield "|" + "---|" * len(table.columns)
    yield from ("| " + " | ".join(line) + " |" for line in table.rows)
    yield ""


def _tries(right_try: Trial, told: Iterator[str]) -> Iterator[str]:
    yield "Right:"
    yield ""
    for name, value in right_try.values.items():
        yield f"- `{name}` = {value}"
    for part in right_try.mark.parts:
        yield f"- {part.title} ({part.points:g} of {part.out_of + part.pending:g}): {part.reason}"
    yield ""
    yield from told


def _mistakes(tries: Iterator[Trial]) -> Iterator[str]:
    yield "Wrong:"
    yield ""
    for one in tries:
        told = one.told
        named = one.mistake if one.recognised else f"{one.mistake}, TAKEN FOR {told.mistake}"
        yield f"- {told.title} = {told.given or 'nothing'}: **{named}** ({told.points:g} of {told.out_of:g}). {told.reason}"
    yield ""


def exercise_prose(exercise: Exercise) -> Iterator[str]:
    """Yield the lines of one exercise."""
    plan = plan_for(exercise, LEARNER, COHORT)
    task = exercise.task(plan)
    yield f"## {exercise.id} {exercise.title} ({exercise.kind})"
    yield ""
    yield f"Asks: {', '.join(exercise.objectives)}"
    yield ""
    yield exercise.asked(task)
    yield ""
    yield from (f"- {name}: {text}" for name, text in plan.record_card.items())
    for make in exercise.tables:
        yield from _table(make(task))
    for field in (field.for_task(task) for field in exercise.fields):
        yield f"- {field.label}" + (f" [{field.unit}]" if field.unit else "")
        yield from (f"  - {value}: {words}" for value, words in field.choices)
    yield ""
    yield "Hints:"
    yield ""
    yield from (f"{step}. {exercise.hint(task, step)}" for step in range(1, len(exercise.hints) + 1))
    yield ""
    yield from _tries(right(task), _mistakes(mistakes(task)))
    yield "Method:"
    yield ""
    yield from (f"- {step}" for step in exercise.method_for(task))
    yield ""


def sections(prose: str) -> dict[str, str]:
    """Return the text of each exercise of a golden file, by its id."""
    _, *parts = prose.split("\n## ")
    return {part.split(" ", 1)[0]: part.strip() for part in parts}


def exercise_section(exercise: Exercise) -> str:
    """Return what one exercise says, as it stands in the golden file of its module."""
    return "\n".join(exercise_prose(exercise)).removeprefix("## ").strip()


def module_prose(module: str) -> str:
    """Return everything a module's exercises say, as one text. Raises KeyError for a module that has none."""
    lines = [f"# What module {module} says to one invented learner", ""]
    for exercise in MODULES[module]:
        lines += exercise_prose(exercise)
    return "\n".join(lines).rstrip() + "\n"
