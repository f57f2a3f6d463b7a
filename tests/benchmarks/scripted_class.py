"""A class of scripted learners of mixed ability, each with slips of their own, worked through all modules.

    python tests/benchmarks/scripted_class.py FOLDER FIRST LAST

makes the work of learners FIRST to LAST (the last not among them) and keeps it in FOLDER, a folder a learner; those that
are there are passed over, so it may be stopped and begun again. What they get wrong is the simulated class's declared mix
(`graders/simulated_class`); three in ten try again, rightly. No two learners share a slip, a row or an answer.
"""

from __future__ import annotations

import contextlib
import json
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from course.boats.draws import Draw, seed_for
from course.boats.plan import SlipPlan
from course.instruments.slip import Slip
from graders.answers import Unanswerable, record_answer
from graders.exercise import Exercise
from graders.exercises import MODULES
from graders.hands import Hands
from graders.personal import plan_for
from graders.simulated_class.at_bench import Bench
from graders.simulated_class.learners import MIX, answers
from graders.simulated_class.made import weighed
from graders.task import Task

COHORT, LOGBOOK, PLANS = "scale", "logbook.jsonl", "slips.json"
TRIES_AGAIN = 0.3


def learner_id(number: int) -> str:
    """Name a learner by number."""
    return f"l{number:04d}"


def module_names() -> list[str]:
    """The modules of the course, an instructor's own left out."""
    return [name for name in MODULES if name[:2].isdigit()]


def make(folder: Path, learner: str, modules: Sequence[str] = ()) -> None:
    """Work some modules, or all, as one learner; the folder appears when everything is done."""
    if (folder / learner).exists():
        return
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".making-") as place:
        for module in modules or module_names():
            work = Path(place) / learner / module
            work.mkdir(parents=True)
            plans = {exercise.id: plan_for(exercise, learner, COHORT) for exercise in MODULES[module]}
            for exercise in MODULES[module]:
                _work(work, exercise, plans[exercise.id], learner)
            kept = {name: plan.canonical_json() for name, plan in plans.items()}
            (work / PLANS).write_text(json.dumps(kept), encoding="utf-8")
        (Path(place) / learner).rename(folder / learner)


def _work(folder: Path, exercise: Exercise, plan: SlipPlan, learner: str) -> None:
    task, draw = exercise.task(plan), Draw(seed_for("simulated class", COHORT, learner, exercise.id, 0))
    if exercise.bench:
        values, right = _at_bench(folder, task, draw)
    else:
        values, right = answers(task, draw).values, exercise.right_values(task, {})
    tries = [values, right] if draw.number("tries again", 0, 1, 6) < TRIES_AGAIN else [values]
    for each in tries:
        with contextlib.suppress(Unanswerable):  # all blank: nothing is handed in
            record_answer(folder, exercise, plan.digest, learner, each)


def _at_bench(folder: Path, task: Task, draw: Draw) -> tuple[dict[str, str], dict[str, str]]:
    """Work at a fresh bench and add its rows to the module's logbook; return what is answered, and what would be right."""
    bench = Bench(task, draw)
    way = weighed(draw, "way", MIX)
    act = bench.by_hand() if way in ("one mistake", "combined") else bench.rightly()
    act = bench.and_named(act) if way == "combined" else bench.and_slip(act) if way == "careless" else act
    with tempfile.TemporaryDirectory() as place:
        hands = Hands(task, Slip(task.plan, Path(place), task.exercise.title))
        values = task.exercise.right_values(task, act(hands))
        written = Path(place) / LOGBOOK
        rows = written.read_bytes() if written.exists() else b""  # some lay no hand on anything
    with (folder / LOGBOOK).open("ab") as stream:
        stream.write(rows)
    found = {name: value for name, value in values.items() if name in {f.name for f in task.exercise.fields}}
    return found, found


def main() -> None:
    """Make the learners that the command line names."""
    folder, first, last = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    for number in range(first, last):
        make(folder, learner_id(number))


if __name__ == "__main__":
    main()
