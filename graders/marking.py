"""Marking: a pure function of exercise, slip, answers and logbook. No learner's code is ever run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from course.instruments.replay import Replay, replay
from course.instruments.rows import Row
from course.instruments.words import reading_names
from graders.answers import LONGEST_TEXT, hints_taken
from graders.case import NO_LOGBOOK, Case
from graders.exercise import Exercise
from graders.marks import Mark, PartMark
from graders.task import Task
from graders.trail import reading_line
from graders.versions import frozen_versions

MOST_NOTICES = 3
MOST_TRAIL = 40
LONGEST_ANSWER = 400
HINT_COST = 0.1  # of the points, each, in assignments
FOREIGN = (
    "The answers handed in were written for another boat, not this learner's, so none of them counts here. Open your own copy of "
    "the module and answer for your own boat."
)
OTHER_VERSION = (
    "The answers were written with another version of Wetslip than the one that marks them, so the boats differ. Mark them with the "
    "version that released the module."
)
NO_ANSWER = "No answer was handed in for this exercise."


def mark(
    exercise: Exercise,
    plan: SlipPlan,
    answers: Iterable[Row],
    logbook: Iterable[Row],
    task: Task | None = None,
    hints_cost: bool = False,
) -> Mark:
    """Return the mark of one exercise.

    ``answers`` and ``logbook`` are the rows of ``answers.jsonl`` and ``logbook.jsonl``; rows of other slips are passed over.
    The last answer counts. ``hints_cost`` in assignments: each hint taken costs a part of the points. ``task`` may be handed in
    to save solving the boat anew. Never raises for anything the rows hold.
    """
    task, rows = task or exercise.task(plan), list(answers)
    mine, foreign = _own_answers(exercise, plan, rows)
    taken_again = replay(task.afloat, logbook) if exercise.bench else NO_LOGBOOK
    last = Case(task, _values(exercise, mine[-1] if mine else {}), taken_again)
    parts = exercise.judge(last)
    first = exercise.judge(Case(task, _values(exercise, mine[0]), taken_again)) if len(mine) > 1 else ()
    notices = _problems(taken_again)
    if not mine:
        parts = tuple(_unanswered(part, foreign or NO_ANSWER, bool(foreign)) for part in parts)
        notices.insert(0, foreign or NO_ANSWER)
    hints = hints_taken(rows, exercise, plan.digest)
    cost = exercise.points * HINT_COST * hints if hints_cost else 0.0
    if cost:
        notices.append(f"Hints taken: {hints}, at {exercise.points * HINT_COST:g} points each.")
    return Mark(
        exercise=exercise.id,
        title=exercise.title,
        points=round(max(0.0, float(sum(part.points for part in parts)) - cost), 2),
        out_of=exercise.points,
        parts=parts,
        notices=tuple(notices),
        method=exercise.method_for(task),
        trail=_trail(task.afloat, taken_again) if exercise.bench else (),
        tries=len(mine),
        hints=hints,
        first=first,
        par=_par(plan),
        card=exercise.score_card(last) if mine else {},
    )


def _problems(taken_again: Replay) -> list[str]:
    more = len(taken_again.problems) - MOST_NOTICES
    told = [f"{more} more rows of the logbook have problems like these."] if more > 0 else []
    return [*taken_again.problems[:MOST_NOTICES], *told]


def _par(plan: SlipPlan) -> float | None:
    """Return the measurements the reference hunter needed on a plan, kept with it when it was drawn."""
    found = plan.sheet.get("par_measurements")
    return float(found) if isinstance(found, int | float) else None


def _own_answers(exercise: Exercise, plan: SlipPlan, answers: Iterable[Row]) -> tuple[list[Row], str]:
    """Return the answers written for this slip, and, when there are only others, a sentence about them."""
    rows = [row for row in answers if row.get("exercise") == exercise.id and "values" in row]
    mine = [row for row in rows if row.get("slip") == plan.digest]
    if mine or not rows:
        return mine, ""
    other_version = all(row.get("physics") != frozen_versions()["physics"] for row in rows)
    return [], OTHER_VERSION if other_version else FOREIGN


def _values(exercise: Exercise, row: Mapping[str, object]) -> dict[str, str]:
    values = row.get("values")
    if not isinstance(values, dict):
        return {}
    typed = ((field, values.get(field.name)) for field in exercise.fields)
    longest = {"text": LONGEST_TEXT}
    return {
        field.name: value[: longest.get(field.kind, LONGEST_ANSWER)]
        for field, value in typed
        if isinstance(value, str)
    }


def _unanswered(part: PartMark, reason: str, foreign: bool) -> PartMark:
    return replace(
        part, points=0.0, given=None, mistake="another_boat" if foreign else "blank", reason=reason
    )


def _trail(afloat: Afloat, taken_again: Replay) -> tuple[str, ...]:
    named = reading_names(afloat)
    lines = [reading_line(reading, named) for reading in taken_again.readings[:MOST_TRAIL]]
    if len(taken_again.readings) > MOST_TRAIL:
        lines.append(f"... and {len(taken_again.readings) - MOST_TRAIL} more readings.")
    return tuple(lines) or ("The logbook holds no reading of this boat.",)


def by_part(marked: Mark) -> Sequence[str]:
    """Return each part of a mark as one line of text."""
    return [f"{'right' if part.right else 'not yet'}: {part.title}. {part.reason}" for part in marked.parts]
