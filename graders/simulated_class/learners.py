"""What a simulated learner answers to an exercise on paper, by a declared mix; drawn with SHA-256, so that each run is the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from course.boats.draws import Draw
from graders.exercise import Part
from graders.parts import NumberPart
from graders.simulated_class.made import Made, weighed, whole
from graders.simulated_class.pens import SLIPS, careless, in_steps
from graders.task import Known, Task

__all__ = ["MIX", "SLIPS", "Answers", "answers", "known"]

MIX: Mapping[str, float] = {"right": 40, "one mistake": 25, "combined": 15, "careless": 20}  # declared by us


@dataclass(frozen=True)
class Answers:
    """One learner's answers; ``made`` says for each part that was got wrong on purpose what was made."""

    way: str
    values: dict[str, str] = field(default_factory=dict)
    made: dict[str, Made] = field(default_factory=dict)


def answers(task: Task, draw: Draw) -> Answers:
    """Return what a learner answers: each part worked from that learner's own earlier answers, rightly or wrongly."""
    way = weighed(draw, "way", MIX)
    wrong = _spoilt(task, draw, way)
    found = Answers(way)
    for place, part in enumerate(task.exercise.parts):
        seen = task.on(known(task, found.values))
        chance = Draw(f"{draw.seed}|{place}")
        made = _made(part, seen, chance, way) if place in wrong else None
        if made is None:
            found.values.update(in_steps(part, part.right(seen), chance))
            continue
        found.values.update(made.values if way == "careless" else in_steps(part, made.values, chance))
        found.made[part.fields[0].name] = made
    return found


def _spoilt(task: Task, draw: Draw, way: str) -> frozenset[int]:
    """Return the places of the parts that are got wrong: none, one, or (combined) two where there are two."""
    able = [k for k, part in enumerate(task.exercise.parts) if part.examples(task)]
    wanted = {"right": 0, "one mistake": 1, "combined": 2, "careless": 1}[way]
    chosen: set[int] = set()
    while able and len(chosen) < wanted:
        chosen.add(able.pop(whole(draw, f"part {len(chosen)}", len(able))))
    return frozenset(chosen)


def known(task: Task, values: Mapping[str, str]) -> Known:
    """Return earlier answers as later parts see them; one that cannot be read is worked on as if it were right."""
    kinds = {each.name: each.kind for each in task.exercise.fields}
    return {name: float(text) if kinds[name] == "number" else text for name, text in values.items() if text}


def _made(part: Part, task: Task, draw: Draw, way: str) -> Made | None:
    if way == "careless":
        return careless(part, task, draw)
    named = part.examples(task)
    if not named:
        return None
    name = draw.choice("mistake", tuple(named))
    made = Made(named[name], name, frozenset({name}))
    return _and_sign(part, made) if way == "combined" and draw.number("and sign", 0, 1, 6) < 0.2 else made


def _and_sign(part: Part, made: Made) -> Made:
    """Lose the sign on top of a mistake in a number."""
    if not isinstance(part, NumberPart) or float(made.values[part.field]) == 0:
        return made
    turned = f"{-float(made.values[part.field]):.10g}"
    return Made({part.field: turned}, f"{made.called} + sign", made.names | {"sign"})
