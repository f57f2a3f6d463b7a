"""Marking: a pure function of exercise, slip, answers and logbook. No learner's code is ever run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from course.instruments.replay import Reading, Replay, replay
from course.instruments.rows import Row
from course.instruments.words import clock_text, labels
from graders.case import Case
from graders.exercise import Exercise
from graders.marks import Mark, PartMark
from graders.versions import frozen_versions

MOST_NOTICES = 3
MOST_TRAIL = 40
LONGEST_ANSWER = 200
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
    afloat: Afloat | None = None,
) -> Mark:
    """Return the mark of one exercise.

    ``answers`` and ``logbook`` are the rows of ``answers.jsonl`` and ``logbook.jsonl``; rows of other slips are passed over.
    The last answer counts. Never raises for anything the rows hold.
    """
    afloat = afloat or Afloat(plan)
    mine, foreign = _own_answers(exercise, plan, answers)
    taken_again = replay(afloat, logbook)
    case = Case(afloat, _values(exercise, mine[-1] if mine else {}), taken_again)
    parts = exercise.judge(case)
    notices = list(taken_again.problems[:MOST_NOTICES])
    if len(taken_again.problems) > MOST_NOTICES:
        notices.append(
            f"{len(taken_again.problems) - MOST_NOTICES} more rows of the logbook have problems like these."
        )
    if not mine:
        parts = tuple(_unanswered(part, foreign or NO_ANSWER, bool(foreign)) for part in parts)
        notices.insert(0, foreign or NO_ANSWER)
    return Mark(
        exercise=exercise.id,
        title=exercise.title,
        points=round(float(sum(part.points for part in parts)), 2),
        out_of=float(sum(part.out_of for part in parts)),
        parts=parts,
        notices=tuple(notices),
        method=exercise.method(afloat),
        trail=_trail(afloat, taken_again),
        tries=len(mine),
    )


def _own_answers(exercise: Exercise, plan: SlipPlan, answers: Iterable[Row]) -> tuple[list[Row], str]:
    """Return the answers written for this slip, and, when there are only others, a sentence about them."""
    rows = [row for row in answers if row.get("exercise") == exercise.id]
    mine = [row for row in rows if row.get("slip") == plan.digest]
    if mine or not rows:
        return mine, ""
    other_version = all(row.get("physics") != frozen_versions()["physics"] for row in rows)
    return [], OTHER_VERSION if other_version else FOREIGN


def _values(exercise: Exercise, row: Mapping[str, object]) -> dict[str, str]:
    values = row.get("values")
    if not isinstance(values, dict):
        return {}
    named = ((field.name, values.get(field.name)) for field in exercise.fields)
    return {name: value[:LONGEST_ANSWER] for name, value in named if isinstance(value, str)}


def _unanswered(part: PartMark, reason: str, foreign: bool) -> PartMark:
    return PartMark(
        part.part, part.title, 0.0, part.out_of, None, "another_boat" if foreign else "blank", reason
    )


def _trail(afloat: Afloat, taken_again: Replay) -> tuple[str, ...]:
    named = labels(afloat)
    lines = [_reading_line(reading, named) for reading in taken_again.readings[:MOST_TRAIL]]
    if len(taken_again.readings) > MOST_TRAIL:
        lines.append(f"... and {len(taken_again.readings) - MOST_TRAIL} more readings.")
    return tuple(lines) or ("The logbook holds no reading of this boat.",)


def _reading_line(reading: Reading, named: Mapping[str, str]) -> str:
    state = reading.state
    cell = (
        f"cell {state.cell.x_m:.2f} m forward and {state.cell.depth_m:.2f} m deep"
        if state.cell
        else "cell out of the water"
    )
    point = f"clip on the {named.get(state.point, state.point)}" if state.point else "clip on nothing"
    end = "" if reading.replays else "; this reading does not come out when taken again"
    shown = str(reading.display).strip() or "a blank display"
    leads = f"cell lead in {state.cell_jack or 'nothing'}, test lead in {state.test_jack or 'nothing'}"
    return (
        f"{clock_text(state.minute)}: wrote down {shown}, dial {state.dial}, {leads}, {cell}, {point}{end}."
    )


def by_part(marked: Mark) -> Sequence[str]:
    """Return each part of a mark as one line of text."""
    return [f"{'right' if part.right else 'not yet'}: {part.title}. {part.reason}" for part in marked.parts]
