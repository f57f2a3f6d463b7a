"""05.1: what shortens an anode's life, told from two years of one boat."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_05.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart, SeveralPart
from graders.task import Task

# what changed: (words of year one, words of year two, shorter or not, why)
CHANGES: dict[str, tuple[str, str, bool, str]] = {
    "flow": (
        "in a still basin",
        "at the river end, in the tide",
        True,
        "Moving water brings oxygen to the metals, and they ask for more.",
    ),
    "use": (
        "out six times",
        "out every week-end",
        True,
        "Under way the propellers take many times the current of metals at rest.",
    ),
    "salt": (
        "brackish water, salinity 12",
        "sea water, salinity 34",
        True,
        "Saltier water carries the anode's current more easily.",
    ),
    "paint": (
        "fresh underwater paint",
        "the same paint, two years old",
        True,
        "Every spot where paint is gone asks for its share.",
    ),
    "shore": (
        "never plugged in",
        "plugged in all year, no isolator",
        True,
        "Over the safety earth the anodes work for the neighbours as well.",
    ),
    "acid": (
        "clean water",
        "below a drain, the water sour",
        True,
        "Sour water takes the film off and adds a demand of its own.",
    ),
    "name": (
        "painted blue above the water",
        "painted white above the water",
        False,
        "What is above the water takes no current from an anode.",
    ),
    "battery": (
        "a 70 Ah battery",
        "a 120 Ah battery on the same sound wiring",
        False,
        "A battery takes no part while its wiring is sound.",
    ),
    "fuel": (
        "diesel from the quay",
        "diesel from the farm",
        False,
        "Fuel has no part in the cell; water, metals and wires have.",
    ),
    "radio": (
        "an old radio",
        "a new radio on its own sound circuit",
        False,
        "A sound circuit sends nothing through the water.",
    ),
}
TRUE = tuple(name for name, change in CHANGES.items() if change[2])
FALSE = tuple(name for name, change in CHANGES.items() if not change[2])
SLOTS = ("a", "b", "c", "d", "e")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    count = 2 if draw.choice("count", ("two", "three")) == "two" else 3
    chosen = (*pick(draw, "true", TRUE, count), *pick(draw, "false", FALSE, len(SLOTS) - count))
    return {"changes": pick(draw, "order", chosen, len(SLOTS))}


def _name(task: Task, slot: str) -> str:
    return task.words("changes")[SLOTS.index(slot)]


def _words(task: Task) -> Mapping[str, Value]:
    words: dict[str, Value] = {}
    for slot in SLOTS:
        before, after, _, _ = CHANGES[_name(task, slot)]
        words[f"change_{slot}"] = f"{before}, then {after}"
    return words


def _shorter(task: Task) -> frozenset[str]:
    return frozenset(slot for slot in SLOTS if CHANGES[_name(task, slot)][2])


def _no_part(slot: str) -> Callable[[Task], str]:
    return lambda task: f"{CHANGES[_name(task, slot)][3]} So {slot} did not shorten their life."


def _left_out(slot: str) -> Callable[[Task], str]:
    return lambda task: f"You left out {slot}. {CHANGES[_name(task, slot)][3]}"


def _log(task: Task) -> Table:
    lines = tuple((slot, *CHANGES[_name(task, slot)][:2]) for slot in SLOTS)
    return Table("Two years of one boat (invented)", ("", "the year before", "this year"), lines)


DRIVERS = Exercise(
    id="05.1",
    module=MODULE,
    title="What ate them",
    kind="diagnose",
    objectives=("05.what_eats",),
    prompt="The owner of {boat} fitted the same anodes two years running. In the first year a third of them went, this year all "
    "of them. Five things "
    "were different.",
    draw=_draw,
    words=_words,
    tables=(_log,),
    parts=(
        SeveralPart(
            "shorter",
            "Which of them shortened their life",
            3,
            tuple((slot, f"{slot}: {{change_{slot}}}") for slot in SLOTS),
            _shorter,
            {slot: _no_part(slot) for slot in SLOTS},
            {slot: _left_out(slot) for slot in SLOTS},
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
                "double": "Twice the mass may last, and may overprotect; and if a neighbour eats them, he eats twice as many.",
                "none": "Without anodes it is the boat that gets eaten.",
            },
            how="Find out which of them did it before you spend money.",
        ),
    ),
    method=lambda t: tuple(f"{slot}: {CHANGES[_name(t, slot)][3]}" for slot in SLOTS),
    hints=(
        "An anode gives what the other metals ask for. What makes them ask for more?",
        "Oxygen, salt, bare metal, more metal on the same wire.",
        "What is above the water, or on a sound circuit, asks for nothing.",
    ),
)
