"""What goes wrong with whom: an exercise is as hard as it is, a person as able; and four things are planted.

The report is read to find them again: group B has not understood area ratio; hardly anybody reads again after a
repair; exercise 02.8 is answered otherwise by those who know most, in a way that has no name; and whoever is least able
needs help. All by lot with SHA-256, so each rehearsal is the same.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from course.boats.draws import Draw, seed_for
from instructor.rehearsal.people import COHORT, Person

if TYPE_CHECKING:
    from graders.exercise import Exercise, Part
    from graders.hands import Example
    from graders.task import Known, Task

STEEP = 9.0  # how sharply skill decides
USUAL = 0.40  # the skill at which an exercise is got wrong every other time
HARDNESS: Mapping[str, float] = {
    "02.1": 0.30,
    "02.5": 0.50,
    "03.7": 0.55,
    "03.5": 0.50,
    "07.1": 0.30,
    "07.4": 0.50,
}
AREA_RATIO, UNTAUGHT_GROUP = frozenset({"02.3", "02.5", "02.9"}), "B"
HUNTS, UNVERIFIED, UNVERIFIED_SHARE = frozenset({"07.5", "07.6", "07.7"}), "repair_not_verified", 0.7
MISREAD, MISREAD_FIELD, MISREAD_BY = (
    "02.8",
    "lake_ohm",
    1.37,
)  # a question that those who know most read otherwise
FAVOURITES: Mapping[str, str] = {"02.3": "upside_down"}  # where a mistake has one main cause
CARELESS = 0.25  # of wrong answers


def draw_of(person: Person, exercise: str) -> Draw:
    """Return the lot of one learner at one exercise."""
    return Draw(seed_for("practice", COHORT, person.id, exercise, 0))


def goes_wrong(person: Person, exercise: str, draw: Draw) -> bool:
    """Return whether a learner gets an exercise wrong at first."""
    if exercise == MISREAD:
        return person.skill > 0.6
    hard = HARDNESS.get(exercise, USUAL)
    if exercise in AREA_RATIO and person.learner.group == UNTAUGHT_GROUP:
        hard = 0.85
    return draw.number("goes wrong", 0, 1, 6) < 1 / (1 + math.exp(STEEP * (person.skill - hard)))


def answers(exercise: Exercise, task: Task, wrong: bool, draw: Draw) -> dict[str, str]:
    """Return what is answered on paper: rightly, or with one part wrong and the later ones worked from it."""
    from graders.simulated_class.learners import known

    able = [k for k, part in enumerate(exercise.parts) if part.examples(task)]
    place = able[int(draw.number("part", 0, len(able) - 1e-6, 6))] if wrong and able else -1
    if wrong and exercise.id in FAVOURITES:
        place = able[0]
    found: dict[str, str] = {}
    for number, part in enumerate(exercise.parts):
        seen: Known = known(task, found)
        on = task.on(seen)
        if wrong and exercise.id == MISREAD and part.fields[0].name == MISREAD_FIELD:
            found[MISREAD_FIELD] = f"{MISREAD_BY * float(part.right(on)[MISREAD_FIELD]):.0f}"
        else:
            made = _spoilt(exercise, part, on, draw) if number == place and exercise.id != MISREAD else {}
            found.update(made or part.right(on))
    return found


def _spoilt(exercise: Exercise, part: Part, task: Task, draw: Draw) -> Mapping[str, str]:
    from graders.simulated_class.pens import careless

    if draw.number("careless", 0, 1, 6) < CARELESS:
        slip = careless(part, task, draw)
        return slip.values if slip else {}
    named = part.examples(task)
    favourite = FAVOURITES.get(exercise.id, "")
    if not named:
        return {}
    return named[favourite if favourite in named else draw.choice("mistake", tuple(named))]


def example_of(exercise: Exercise, task: Task, wrong: bool, draw: Draw) -> Example | None:
    """Return the mistake that the hands make at the bench, or None for hands that do it rightly."""
    able = {example.mistake: example for example in exercise.examples if example.when(task)}
    if exercise.id in HUNTS and draw.number("unverified", 0, 1, 6) < UNVERIFIED_SHARE and UNVERIFIED in able:
        return able[UNVERIFIED]
    return able[draw.choice("at the bench", tuple(able))] if wrong and able else None
