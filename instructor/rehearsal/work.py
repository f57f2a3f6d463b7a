"""One invented learner at work on one module: acts and answers as a notebook records them, over an evening."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.files import write_text
from instructor.handout.released import Released, read_plans
from instructor.layout import ANSWERS, LOGBOOK, ClassFolder
from instructor.rehearsal.people import Person, person
from instructor.rehearsal.skill import answers, draw_of, example_of, goes_wrong

if TYPE_CHECKING:
    from course.boats.draws import Draw
    from course.boats.plan import SlipPlan
    from course.instruments.slip import Slip
    from graders.exercise import Exercise

ACT_S, ANSWER_S = 25, 150  # between two acts at the screen, and to think about an answer
AGAIN = 0.5  # of those who are told that they are wrong try once more
ODD_PLACES = 16  # cells hung here and there by someone with a way of their own
FINDINGS = (
    "It is bad.",
    "The float switch is cracked. It must be replaced soon, because water gets in. I saw it myself.",
    "Two taped splices lie in the bilge under the engine. The bilge reads 6.1 V over the block with the pump's breaker on "
    "and 0.2 V with it off. The seacock beside them is being eaten and may be through in weeks. Remake them in one "
    "length above the water line, then read again with the breaker on. I did not see the wire behind the tank.",
)  # fmt: skip


@dataclass(frozen=True)
class Evening:
    """What everybody's work has in common: the class, the release, where work is kept, and when it is begun."""

    folder: ClassFolder
    released: Released
    place: Path
    begun: datetime
    better: bool = False


@dataclass(frozen=True)
class Worked:
    """Whose work is done."""

    learner: str


def work(evening: Evening, learner: str) -> Worked:
    """Do a module as one invented learner; answers and logbook lie in place/learner afterwards."""
    from graders.exercises import MODULES

    who, target = person(learner), evening.place / learner
    target.mkdir(parents=True, exist_ok=True)
    plans = read_plans(evening.folder, evening.released, learner)
    for exercise in MODULES[evening.released.module]:
        _do(who, exercise, plans[exercise.id], target, evening.better)
    _date(target, evening.begun, who.slow, [plan.digest for plan in plans.values()])
    return Worked(learner)


def _do(who: Person, exercise: Exercise, plan: SlipPlan, target: Path, better: bool) -> None:
    from graders.answers import record_answer

    draw = draw_of(who, exercise.id)
    wrong = not better and goes_wrong(who, exercise.id, draw)
    if exercise.bench:
        values = _at_bench(who, exercise, plan, target, wrong)
    else:
        values = answers(exercise, exercise.task(plan), wrong, draw)
        values |= _written(who, exercise)
    if any(values.values()):
        record_answer(target, exercise, plan.digest, who.id, values)
    if wrong and not exercise.bench and draw.number("again", 0, 1, 6) < AGAIN:
        right = {**answers(exercise, exercise.task(plan), False, draw), **_written(who, exercise)}
        record_answer(target, exercise, plan.digest, who.id, right)


def _written(who: Person, exercise: Exercise) -> dict[str, str]:
    kinds = [part.fields[0].name for part in exercise.parts if getattr(part, "by_hand", 0.0)]
    return dict.fromkeys(kinds, FINDINGS[min(2, int(3.2 * who.skill))])


def _at_bench(
    who: Person, exercise: Exercise, plan: SlipPlan, target: Path, wrong: bool
) -> Mapping[str, str]:
    from course.instruments.slip import Slip
    from graders.hands import Hands

    task, draw = exercise.task(plan), draw_of(who, exercise.id)
    hands = Hands(task, Slip(plan, target, exercise.title))
    example = example_of(exercise, task, wrong, draw)
    act = example.act if example else exercise.hands
    found = dict(act(hands)) if act else {}
    if exercise.id.startswith("03."):
        _oddly(hands.slip, draw_of(person(who.like), exercise.id) if who.like else draw)
    return exercise.right_values(task, found)


def _oddly(slip: Slip, draw: Draw) -> None:
    """Hang the cell here and there, as nobody taught: somebody's own way, and whoever copied it."""
    for number in range(ODD_PLACES):
        slip.hang_cell(draw.number(f"place {number}", 1, 7, 2), draw.number(f"depth {number}", 0.4, 1.8, 2))
        slip.wait(int(draw.number(f"wait {number}", 1, 9, 0)))


def _date(target: Path, begun: datetime, slow: float, slips: list[str]) -> None:
    """Date the rows as if they were made one after the other, exercise by exercise."""
    rows = {name: _rows(target / name) for name in (LOGBOOK, ANSWERS)}
    now = begun
    for slip in slips:
        for name, seconds in ((LOGBOOK, ACT_S), (ANSWERS, ANSWER_S)):
            for row in rows[name]:
                if row.get("slip") == slip:
                    now += timedelta(seconds=round(slow * seconds))
                    row["at"] = now.isoformat(timespec="seconds")
    for name, own in rows.items():
        if own:
            write_text(target / name, "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in own))


def _rows(path: Path) -> list[dict[str, Any]]:
    if not path.exists():
        return []
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
