"""02.4: which of three pairs lies furthest apart in the series, and which of the two suffers."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import label, pick
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

METALS = (
    "zinc_anode",
    "aluminium_5083",
    "mild_steel",
    "naval_brass",
    "silicon_bronze",
    "nickel_aluminium_bronze",
    "alloy_400",
    "stainless_316_passive",
    "titanium",
    "graphite",
)
PAIRS = ("a", "b", "c")
PLAIN_mV = 120.0  # the widest pair is this much wider than the next


def _middle(metal: str) -> float:
    low, high = row("metals", metal)["flowing_range_mV_SCE"]
    return (float(low) + float(high)) / 2


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    drawn = pick(draw, "metals", METALS, 6)
    return {"a": drawn[0:2], "b": drawn[2:4], "c": drawn[4:6]}


def _gap(task: Task, pair: str) -> float:
    one, other = task.words(pair)
    return abs(_middle(one) - _middle(other))


def _widest(task: Task) -> str:
    return max(PAIRS, key=lambda pair: _gap(task, pair))


def _nobler_first(task: Task, pair: str) -> tuple[str, str]:
    one, other = sorted(task.words(pair), key=_middle, reverse=True)
    return one, other


def _teaches(task: Task) -> bool:
    gaps = sorted(_gap(task, pair) for pair in PAIRS)
    return gaps[2] - gaps[1] > PLAIN_mV and gaps[0] > 20


def _words(task: Task) -> Mapping[str, Value]:
    words: dict[str, Value] = {}
    for pair in PAIRS:
        one, other = task.words(pair)
        words[f"pair_{pair}"] = f"{label(one)} with {label(other)}"
    nobler, lesser = _nobler_first(task, _widest(task))
    return {**words, "nobler": label(nobler), "lesser": label(lesser)}


def _series(task: Task) -> Table:
    metals = sorted({metal for pair in PAIRS for metal in task.words(pair)}, key=_middle, reverse=True)
    ranges = {metal: row("metals", metal)["flowing_range_mV_SCE"] for metal in metals}
    lines = tuple((label(m), f"{ranges[m][0]} to {ranges[m][1]}", f"{_middle(m):.0f}") for m in metals)
    return Table(
        "Flowing sea water, mV against the saturated calomel cell", ("metal", "range", "middle"), lines
    )


def _narrower(pair: str) -> Callable[[Task], str]:
    return lambda task: (
        f"Pair {pair}, {_words(task)[f'pair_{pair}']}, lies {_gap(task, pair):.0f} mV apart by the middles of the ranges. "
        "Another pair lies further apart."
    )


PAIR = Exercise(
    id="02.4",
    module=MODULE,
    title="Which pair is pushed hardest",
    kind="judge",
    objectives=("02.predict", "02.look_up"),
    prompt="Three pairs were found joined together under water at {marina}. Use the middles of the ranges.",
    draw=_draw,
    words=_words,
    tables=(_series,),
    teaches=_teaches,
    parts=(
        ChoicePart(
            "pair",
            "Which pair has the most voltage to drive it",
            1,
            tuple((pair, f"{pair}: {{pair_{pair}}}") for pair in PAIRS),
            _widest,
            {pair: _narrower(pair) for pair in PAIRS},
            how="Take the difference of the two middles for each pair.",
            why="The further apart two metals lie in the series, the more voltage drives them.",
        ),
        NumberPart(
            "gap",
            "How far apart the two of that pair lie",
            "mV",
            2,
            lambda t: _gap(t, t.chosen("pair") if t.chosen("pair") in PAIRS else _widest(t)),
            (
                Wrong(
                    "added",
                    lambda t: (
                        abs(sum(_middle(m) for m in t.words(_widest(t))))
                        if _middle(_nobler_first(t, _widest(t))[0]) <= 0
                        else None  # with one of them positive that is what losing the signs gives
                    ),
                    "You added the two. How far apart they lie is their difference; two negative numbers partly cancel in it.",
                ),
                Wrong(
                    "signs_lost",
                    lambda t: (
                        abs(abs(_middle(t.words(_widest(t))[0])) - abs(_middle(t.words(_widest(t))[1])))
                        if _middle(_nobler_first(t, _widest(t))[0]) > 0
                        else None
                    ),
                    "{nobler} stands on the positive side. From there to {lesser} you go through zero, so the two figures add up.",
                ),
                Wrong(
                    "ends_taken",
                    lambda t: float(
                        row("metals", _nobler_first(t, _widest(t))[0])["flowing_range_mV_SCE"][1]
                        - row("metals", _nobler_first(t, _widest(t))[1])["flowing_range_mV_SCE"][0]
                    ),
                    "You went from the outer end of one range to the outer end of the other. Use the middles.",
                ),
            ),
            how="Nobler middle less the other middle, with their signs.",
            within=2.0,
            signed=False,
        ),
        ChoicePart(
            "sufferer",
            "Which of the two suffers",
            1,
            (("lesser", "{lesser}"), ("nobler", "{nobler}"), ("both", "both alike")),
            lambda t: "lesser",
            {
                "nobler": "{nobler} is the nobler one: it takes the current from the water and is protected.",
                "both": "One current joins the two. It leaves the one into the water and goes into the other, so only the one it "
                "leaves is eaten.",
            },
            how="The more negative one gives its metal away.",
            why="The more negative of two joined metals gives its metal away.",
        ),
    ),
    method=lambda t: (
        *(f"Pair {pair}, {_words(t)[f'pair_{pair}']}: {_gap(t, pair):.0f} mV." for pair in PAIRS),
        f"In pair {_widest(t)} {_words(t)['lesser']} suffers. How fast is another question: areas decide it.",
    ),
    hints=(
        "The middles stand in the last column. Take the two of each pair.",
        "Difference is the nobler less the other, with signs: from -50 to -650 is 600, from +50 to -650 is 700.",
        "Work out all three differences and take the largest. In that pair the more negative metal suffers.",
    ),
)
