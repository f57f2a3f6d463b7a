"""03.6 and 03.7: which window counts, and what the reading says in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_03.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

MARGIN_mV = 50.0  # from any limit that is from memory
HULLS = {
    "steel": ("steel_small_craft", "a steel hull"),
    "fibreglass": ("fibreglass_mixed_metals", "a fibreglass hull with bonded bronze and stainless fittings"),
    "aluminium": ("aluminium_sea_water", "an aluminium hull"),
    "wood": ("wood_mixed_metals", "a wooden hull, read at its bonded bronze"),
}
VERDICTS = (("under", "not protected enough"), ("right", "protected"), ("over", "overprotected"))
ASKS = {
    "under": "what goes on at metal that gets too little protection?",
    "right": "is there anything left that suffers?",
    "over": "what does too much protection make at the metal?",
}
HARM = {
    "under": "its metal goes on corroding",
    "right": "nothing: leave it as it is, and write it down",
    "over": "paint lifts, and alkali attacks aluminium and wood",
}


def _limits(hull: str) -> tuple[float, float]:
    """Return the more negative and the less negative limit [mV]."""
    found = row("criteria", HULLS[hull][0])
    return float(found["protected_above_mV"]), float(found["protected_below_mV"])


def _verdict_on(reading: float, limits: tuple[float, float]) -> str:
    if reading > limits[1]:
        return "under"
    return "over" if reading < limits[0] else "right"


def _windows(_task: Task) -> Table:
    lines = tuple(
        (words, f"{_limits(hull)[1]:.0f} to {_limits(hull)[0]:.0f}") for hull, (_, words) in HULLS.items()
    )
    return Table(
        "Windows, mV against silver/silver-chloride in sea water (small-craft practice, from memory)",
        ("hull", "window"),
        lines,
    )


def _clear(reading: float, hulls: tuple[str, ...]) -> bool:
    return all(abs(reading - limit) >= MARGIN_mV for hull in hulls for limit in _limits(hull))


def _draw_hull(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {"hull": draw.choice("hull", tuple(HULLS)), "read_mV": draw.number("reading", -1240, -440, 0)}


def _other(verdict: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        low, high = _limits(task.word("hull"))
        side = {
            "under": f"less negative than {high:.0f} mV",
            "over": f"more negative than {low:.0f} mV",
            "right": "between its two limits",
        }
        name = HULLS[task.word("hull")][1]
        return (
            f"That would be {side[verdict]} for {name}. She reads {task.number('read_mV'):.0f} mV: find the row of her hull, "
            "and compare with both its ends."
        )

    return says


def _other_harm(harm: str) -> Callable[[Task], str]:
    return lambda task: (
        f"That follows when she is {dict(VERDICTS)[harm]}. You found her {dict(VERDICTS)[task.chosen('verdict')]}: "
        f"{ASKS[task.chosen('verdict')]}"
    )


HULL_WINDOW = Exercise(
    id="03.6",
    module=MODULE,
    title="The window of her hull",
    kind="judge",
    objectives=("03.judge",),
    prompt="A boat at {marina} has {hull_words}. Soundly measured, she reads {read_mV:.0f} mV against silver/silver-chloride in "
    "sea water.",
    draw=_draw_hull,
    words=lambda t: {"hull_words": HULLS[t.word("hull")][1]},
    tables=(_windows,),
    teaches=lambda t: _clear(t.number("read_mV"), (t.word("hull"),)),
    parts=(
        ChoicePart(
            "verdict",
            "She is",
            2,
            VERDICTS,
            lambda t: _verdict_on(t.number("read_mV"), _limits(t.word("hull"))),
            {verdict: _other(verdict) for verdict, _ in VERDICTS},
            how="Find her hull in the table; more negative than both ends is too much, less negative than both is too little.",
        ),
        ChoicePart(
            "harm",
            "If she is left so",
            2,
            tuple(HARM.items()),
            lambda t: t.chosen("verdict"),
            {harm: _other_harm(harm) for harm in HARM},
            how="Too little: the metal pays. Too much: what is around it pays.",
            why="Too little: the metal pays. Too much: paint, wood and aluminium pay. In between nobody does.",
        ),
    ),
    method=lambda t: (
        f"For {HULLS[t.word('hull')][1]} the window is {_limits(t.word('hull'))[1]:.0f} to {_limits(t.word('hull'))[0]:.0f} mV "
        f"(from memory).",
        f"{t.number('read_mV'):.0f} mV: {dict(VERDICTS)[_verdict_on(t.number('read_mV'), _limits(t.word('hull')))]}.",
    ),
    hints=(
        "Each hull has its own window. Find its row.",
        "More negative means more protected, until it is too much.",
        "Less negative than both ends: not protected enough, and the metal pays. More negative than both ends: too much, and "
        "paint, wood and aluminium pay. In between: protected.",
    ),
)


def _draw_several(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "bonded": pick(draw, "bonded", tuple(HULLS), 3),
        "read_mV": draw.number("reading", -1200, -480, 0),
    }


def _common(task: Task) -> tuple[float, float]:
    limits = [_limits(hull) for hull in task.words("bonded")]
    return max(low for low, _ in limits), min(high for _, high in limits)


def _some(task: Task) -> Table:
    lines = tuple(
        (HULLS[hull][1], f"{_limits(hull)[1]:.0f} to {_limits(hull)[0]:.0f}") for hull in task.words("bonded")
    )
    return Table(
        "Bonded together: windows in mV against silver/silver-chloride in sea water (from memory)",
        ("metal of", "window"),
        lines,
    )


def _possible(task: Task) -> bool:
    low, high = _common(task)
    return low < high - 40 and len({low, high} & {e for h in task.words("bonded") for e in _limits(h)}) == 2


NARROWEST = Exercise(
    id="03.7",
    module=MODULE,
    title="The narrowest window",
    kind="judge",
    objectives=("03.judge",),
    prompt="Three boats lie side by side, plugged in without isolators. The safety earth joins them, and they read "
    "{read_mV:.0f} mV against silver/silver-chloride "
    "in sea water as "
    "one. Each is safe only within its own window.",
    draw=_draw_several,
    tables=(_some,),
    teaches=lambda t: _possible(t) and _clear(t.number("read_mV"), t.words("bonded")),
    parts=(
        NumberPart(
            "less",
            "The less negative end of the window that suits all three",
            "mV",
            1,
            lambda t: _common(t)[1],
            (
                Wrong(
                    "widest_less",
                    lambda t: max(_limits(h)[1] for h in t.words("bonded")),
                    "At {given} mV one of the three is protected, and another is not yet. All three must be: take the end of "
                    "the one that needs most.",
                ),
                Wrong(
                    "other_end",
                    lambda t: _common(t)[0],
                    "That is the more negative end. Here the less negative one is asked.",
                ),
            ),
            how="Of the three less negative ends, the most negative one: there the last of them is protected.",
            within=2.0,
        ),
        NumberPart(
            "more",
            "The more negative end of it",
            "mV",
            1,
            lambda t: _common(t)[0],
            (
                Wrong(
                    "widest_more",
                    lambda t: min(_limits(h)[0] for h in t.words("bonded")),
                    "At {given} mV one of the three is overprotected already. The one that bears least sets the end.",
                ),
                Wrong(
                    "other_end",
                    lambda t: _common(t)[1],
                    "That is the less negative end. Here the more negative one is asked.",
                ),
            ),
            how="Of the three more negative ends, the least negative one: there the first of them suffers.",
            within=2.0,
        ),
        ChoicePart(
            "verdict",
            "So at {read_mV:.0f} mV",
            2,
            (
                ("under", "at least one is not protected"),
                ("right", "all three are protected, and none too much"),
                ("over", "at least one is overprotected"),
            ),
            lambda t: _verdict_on(t.number("read_mV"), (t.earlier("more"), t.earlier("less"))),
            {
                "under": "{read_mV:.0f} mV is not on the less negative side of the common window.",
                "right": "{read_mV:.0f} mV suits some of the three, not all. Compare it with each row.",
                "over": "{read_mV:.0f} mV is not past the more negative end of the common window.",
            },
            how="Hold {read_mV:.0f} mV against the two ends you found.",
        ),
    ),
    method=lambda t: (
        f"All three agree only between {_common(t)[1]:.0f} and {_common(t)[0]:.0f} mV.",
        f"{t.number('read_mV'):.0f} mV is then judged by that narrow window, as on one boat with three bonded metals.",
    ),
    hints=(
        "A window that suits all is where the three windows overlap.",
        "The boat that needs most sets one end. The boat that bears least sets the other.",
        "Of the three ends on the left take the most negative. Of the three on the right take the least negative. Then compare "
        "{read_mV:.0f} mV with the two.",
    ),
)
