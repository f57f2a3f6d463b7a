"""05.1: what shortens an anode's life, told from two years of one boat."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_05.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart, Listed
from graders.task import Task

# what changed: words of year one, words of year two, why it does or does not shorten their life
EATS = {
    "flow": (
        "in a still basin",
        "at the river end, in the tide",
        "Moving water brings oxygen to the metals, and they ask for more.",
    ),
    "use": (
        "out six times",
        "out every week-end",
        "Under way the propellers take many times the current of metals at rest.",
    ),
    "salt": (
        "brackish water, salinity 12",
        "sea water, salinity 34",
        "Saltier water carries the anode's current more easily.",
    ),
    "paint": (
        "fresh underwater paint",
        "the same paint, two years old",
        "Every spot where paint is gone asks for its share.",
    ),
    "shore": (
        "never plugged in",
        "plugged in all year, no isolator",
        "The safety earth joins the anodes to the neighbours, and they work for them as well.",
    ),
    "acid": (
        "clean water",
        "below a drain, the water sour",
        "Sour water takes the film off and adds a demand of its own.",
    ),
}
IDLE = {
    "name": (
        "painted blue above the water",
        "painted white above the water",
        "What is above the water takes no current from an anode.",
    ),
    "battery": (
        "a 70 Ah battery",
        "a 120 Ah battery on the same sound wiring",
        "A battery takes no part while its wiring is sound.",
    ),
    "fuel": (
        "diesel from the quay",
        "diesel from the farm",
        "Fuel has no part in the cell. Water, metals and wires have.",
    ),
    "radio": (
        "an old radio",
        "a new radio on its own sound circuit",
        "A sound circuit sends nothing through the water.",
    ),
}


def _things(changes: Mapping[str, tuple[str, str, str]]) -> Mapping[str, tuple[str, str]]:
    return {name: (f"{before}, then {after}", why) for name, (before, after, why) in changes.items()}


CHANGES = Listed("changes", _things(EATS), _things(IDLE))


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    count = 2 if draw.choice("count", ("two", "three")) == "two" else 3
    chosen = (
        *pick(draw, "true", tuple(EATS), count),
        *pick(draw, "false", tuple(IDLE), CHANGES.size - count),
    )
    return {"changes": pick(draw, "order", chosen, CHANGES.size)}


def _log(task: Task) -> Table:
    changed = zip(CHANGES.letters, task.words("changes"), strict=True)
    lines = tuple((letter, *{**EATS, **IDLE}[name][:2]) for letter, name in changed)
    return Table("Two years of one boat (invented)", ("", "the year before", "this year"), lines)


DRIVERS = Exercise(
    id="05.1",
    module=MODULE,
    title="What ate them",
    kind="diagnose",
    objectives=("05.what_eats",),
    prompt="The owner of {boat} fitted the same anodes two years running. In the first year a third of them went, this year all "
    "of them. Five things "
    "are different this year.",
    draw=_draw,
    words=CHANGES.words,
    tables=(_log,),
    parts=(
        CHANGES.part(
            "shorter",
            "Which of them shortened their life",
            3,
            "{why} So {letter} did not shorten their life.",
            "You left out {letter}. {why}",
        ),
        ChoicePart(
            "then",
            "The first thing to do",
            1,
            (
                ("measure", "measure the hull potential now, and again with one thing changed back"),
                ("double", "fit twice as many anodes and say no more"),
                ("none", "leave the anodes off, as they only get eaten"),
            ),
            lambda t: "measure",
            {
                "double": "Twice as many may overprotect her. And if a neighbour eats them, he eats twice as many. Find the cause first.",
                "none": "Without anodes the boat herself is eaten. Find the cause first.",
            },
            how="Find out which of them did it before you spend money.",
        ),
    ),
    method=lambda t: tuple(f"{letter}: {CHANGES.at(t, letter)[1]}" for letter in CHANGES.letters),
    hints=(
        "An anode gives what the other metals ask for. What makes them ask for more?",
        "More oxygen, more salt, sour water, more bare metal, more metal on the same wire: each asks for more.",
        "Go line by line. Flow, use, salt, sour water, old paint and a shore lead shorten it. What is above the water, in the "
        "tank or on a sound circuit asks for nothing. Then measure before you buy.",
    ),
)
