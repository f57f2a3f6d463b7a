"""02.7: does this set of metals need protection at all."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import label, pick
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

ALIKE_mV = (
    100.0  # metals within some 50 to 100 mV may be joined without more ado (common practice, no source)
)
CLEAR_mV = 30.0  # a variant keeps this far from the rule
BRONZES = (
    "silicon_bronze",
    "manganese_bronze",
    "copper_nickel_90_10",
    "tin_bronze",
    "gunmetal",
    "copper_nickel_80_20",
)
ODD = (
    "mild_steel",
    "alloy_400",
    "naval_brass",
    "aluminium_5083",
    "stainless_316_passive",
    "galvanised_steel",
)


def _middle(metal: str) -> float:
    low, high = row("metals", metal)["flowing_range_mV_SCE"]
    return (float(low) + float(high)) / 2


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    bronzes = pick(draw, "bronze", BRONZES, 3)
    odd = draw.choice("with", ("none", "one"))
    return {
        "metals": (*bronzes, draw.choice("odd", ODD))
        if odd == "one"
        else (*bronzes, draw.choice("fourth", BRONZES))
    }


def _spread(task: Task) -> float:
    middles = [_middle(metal) for metal in task.words("metals")]
    return max(middles) - min(middles)


def _given(task: Task) -> Table:
    metals = sorted(task.words("metals"), key=_middle, reverse=True)
    lines = tuple((label(metal), f"{_middle(metal):.0f}") for metal in metals)
    return Table(
        "All bare metal below the water",
        ("metal", "middle of its range, mV against the saturated calomel cell"),
        lines,
    )


def _teaches(task: Task) -> bool:
    return len(set(task.words("metals"))) == 4 and abs(_spread(task) - ALIKE_mV) > CLEAR_mV


UNPROTECTED = Exercise(
    id="02.7",
    module=MODULE,
    title="Does she need anodes",
    kind="judge",
    objectives=("02.choose", "02.predict"),
    prompt="A fibreglass boat has these four metals below the water, all bonded, and no shore lead. The rule of the trade: metals within "
    "some 100 mV of one another can live together (common practice, no source).",
    draw=_draw,
    tables=(_given,),
    teaches=_teaches,
    parts=(
        NumberPart(
            "spread",
            "From the noblest to the least noble",
            "mV",
            2,
            _spread,
            (
                Wrong(
                    "neighbours",
                    lambda t: (
                        min(b - a for a, b in zip(_ordered(t)[:-1], _ordered(t)[1:], strict=True)) or None
                    ),
                    "That is between two neighbours in the list. All four are bonded together, so the two outermost count.",
                ),
                Wrong(
                    "added",
                    lambda t: abs(_ordered(t)[0] + _ordered(t)[-1]),
                    "You added the two. How far apart they stand is their difference.",
                ),
                Wrong(
                    "mean",
                    lambda t: abs(sum(_ordered(t)) / 4),
                    "That is their mean. What drives a current is how far apart they stand.",
                ),
            ),
            how="The top of the list less the bottom of the list, with signs.",
            within=2.0,
            signed=False,
        ),
        ChoicePart(
            "verdict",
            "So",
            2,
            (
                ("none", "no anode is needed: leave her in peace, and look again when something is changed"),
                ("anodes", "she needs anodes, or the odd metal must be isolated"),
                ("more", "the more anodes the better, whatever the metals"),
            ),
            lambda t: "none" if t.earlier("spread") <= ALIKE_mV else "anodes",
            {
                "none": "They stand too far apart to be joined without protection: the least noble would pay for all the others.",
                "anodes": "These metals stand near enough to one another. Anodes would cost money and could lift paint.",
                "more": "Too much protection lifts paint, softens wood and eats aluminium. Fit as much as is needed, and here the "
                "question is whether "
                "any is.",
            },
            how="Hold the spread against the rule of 100 mV.",
            why="That is what the spread says when you compare it with the 100 mV of the rule.",
        ),
        ChoicePart(
            "stays",
            "What would change the answer",
            1,
            (
                ("shore", "plugging in beside other boats, or fitting a new metal"),
                ("colour", "another colour of antifouling"),
                ("engine", "a larger battery on the same wiring"),
            ),
            lambda t: "shore",
            {
                "colour": "Colour does not conduct. What counts is which metals share the water and a wire.",
                "engine": "A battery takes no part while its wiring is sound. What counts is which metals share the water and a wire.",
            },
            how="Ask what would bring another metal into the cell.",
            why="It brings another metal into the cell, and what is true of four metals need not be true of five.",
        ),
    ),
    method=lambda t: (
        f"The outermost two stand {_spread(t):.0f} mV apart.",
        "Within 100 mV they can live together without anodes; a shore lead or a new fitting would change that.",
    ),
    hints=(
        "Only the two outermost of the list count for the spread.",
        "Up to 100 mV apart they can live together. Beyond that the least noble pays.",
        "Spread = top of the list less bottom, with signs. Under 100 mV: leave her in peace. Over: anodes, or isolate the odd "
        "metal. A new metal in the cell, by wire or fitting, changes the answer.",
    ),
)


def _ordered(task: Task) -> list[float]:
    """The middles from least noble to noblest [mV]."""
    return sorted(_middle(metal) for metal in task.words("metals"))
