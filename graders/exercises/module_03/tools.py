"""03.8 and 03.9: doubting the tool before the boat."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import convert
from graders.exercise import Exercise, Table
from graders.exercises.module_03.common import MODULE
from graders.metals import SEA_CELL
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

AILMENTS = (
    ("good", "nothing: the boat really reads so"),
    ("dry", "the cell was stored dry and is still settling"),
    ("contaminated", "the cell is contaminated: off by a constant amount"),
    ("kind", "the cell is of another kind than its label says"),
    ("meter", "the meter draws current from the cell"),
    ("paint", "the clip sits on paint"),
)
NAMED = dict(AILMENTS)
PROOFS = {
    "good": "nothing more: write it down with place, water and cell",
    "dry": "leave it hanging, and read again until two readings ten minutes apart agree",
    "contaminated": "read fresh zinc with it in the same water, and renew the cell's filling or the cell",
    "kind": "see whether the difference from the good cell is that of a known pair of cells, and read the label under the grime",
    "meter": "read again with a meter of ten megohm, and trust that one",
    "paint": "scrape or move the clip to bright metal, and read again",
}


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "ailment": draw.choice("ailment", tuple(NAMED)),
        "base": draw.number("base", -980, -820, 0),
        "drift": draw.number("drift", 45, 85, 0),
        "shift": draw.number("shift", 24, 42, 0) * (1 if draw.choice("way", ("up", "down")) == "up" else -1),
        "share": draw.number("loading", 0.72, 0.88, 2),
        "wobble": draw.number("wobble", 6, 30, 0),
    }


def _shown(task: Task) -> tuple[float, float, float, float, float]:
    """What the logbook holds [mV]: at once, 10 and 20 minutes later, with a good cell, with a ten-megohm meter."""
    base, ailment = task.number("base"), task.word("ailment")
    if ailment == "dry":
        drift = task.number("drift")
        return base - drift, base - drift / 2, base - drift / 4, base, base - drift / 5
    if ailment == "contaminated":
        off = base + task.number("shift")
        return off, off + 1, off, base, off
    if ailment == "kind":
        off = round(1000 * convert(base / 1000, SEA_CELL, "copper_sulphate"))
        return off, off, off + 1, base, off
    if ailment == "meter":
        low = round(base * task.number("share"))
        return low, low + 1, low, low + 4, base
    if ailment == "paint":
        wobble = task.number("wobble")
        return -wobble, wobble / 2, -wobble / 3, wobble / 4, -wobble / 2
    return base, base - 1, base, base + 2, base


def _log(task: Task) -> Table:
    first, ten, twenty, second, good = (f"{value:.0f}" for value in _shown(task))
    lines = (
        ("0 min", "our cell, our meter", first),
        ("10 min", "the same", ten),
        ("20 min", "the same", twenty),
        ("22 min", "a second cell of the kind on the label, known to be good, beside it; our meter", second),
        ("24 min", "our cell again, a ten-megohm meter", good),
    )
    return Table(
        "Somebody's logbook: clip on the common bonding point, mV (invented)",
        ("time", "with", "display"),
        lines,
    )


def _against(guess: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        first, ten, twenty, second, good = _shown(task)
        signs = {
            "good": f"A good tool agrees with a second cell and with another meter. Here they say {twenty:.0f}, {second:.0f} and "
            f"{good:.0f} mV.",
            "dry": f"A dry cell comes to rest: its readings would draw nearer to the second cell's. Here they go {first:.0f}, "
            f"{ten:.0f}, {twenty:.0f}.",
            "contaminated": f"A contaminated cell is off by a constant amount from a good one, and with every meter. Here: {twenty:.0f}, "
            f"{second:.0f} with the good cell, {good:.0f} with the other meter.",
            "kind": f"A cell of another kind is off by exactly what lies between the two kinds, 66 or 53 mV or a volt. Here the "
            f"two cells say "
            f"{twenty:.0f} and {second:.0f} mV.",
            "meter": f"A meter that loads the cell shows too little with any cell, and the ten-megohm meter shows more. It shows "
            f"{good:.0f} mV.",
            "paint": f"Through paint nothing is connected: the display wanders around zero. It shows {twenty:.0f} mV.",
        }
        return signs[guess]

    return says


def _not_that_proof(proof: str) -> Callable[[Task], str]:
    return lambda task: (
        f"That tests another suspicion: {NAMED[proof]}. Yours is: {NAMED[task.chosen('ailment')]}. "
        "What would come out differently if you were wrong?"
    )


TOOLS = Exercise(
    id="03.8",
    module=MODULE,
    title="What is wrong with the tool",
    kind="diagnose",
    objectives=("03.doubt",),
    prompt="This is a colleague's logbook of a bonded fibreglass boat at {marina}. Before you believe a reading, look at the tool.",
    draw=_draw,
    tables=(_log,),
    parts=(
        ChoicePart(
            "ailment",
            "What is wrong",
            3,
            AILMENTS,
            lambda t: t.word("ailment"),
            {ailment: _against(ailment) for ailment in NAMED},
            how="Compare three things: the first three rows with one another, the two cells, the two meters.",
            why="The rows, the two cells and the two meters together leave only this.",
        ),
        ChoicePart(
            "proof",
            "What would you do next",
            3,
            tuple(PROOFS.items()),
            lambda t: t.chosen("ailment"),
            {proof: _not_that_proof(proof) for proof in PROOFS},
            how="Do what would show you if your suspicion were wrong.",
            why="It would come out differently if you were wrong.",
        ),
    ),
    method=lambda t: (
        "Three comparisons: with itself later, with a second cell, with another meter.",
        f"Here it is: {NAMED[t.word('ailment')]}.",
        f"Next: {PROOFS[t.word('ailment')]}.",
    ),
    hints=(
        "Do the first three rows agree with one another, do they drift, or do they jump?",
        "Does the good cell agree with ours? If not, by how much? Does the ten-megohm meter show what ours shows?",
        "Drifting towards the good cell: dry. Off from it by a constant: contaminated, or another kind if the difference is 66, "
        "53 or about 1030 mV. Only the other meter differs: the meter. Around zero: the clip.",
    ),
)

KOHM_EACH_VOLT = 20.0  # an analogue meter's input resistance for each volt of its range


def _draw_load(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "range_V": float(draw.choice("range", ("2.5", "3", "5"))),
        "cell_kohm": draw.number("cell", 4, 16, 1),
        "true_mV": draw.number("reading", -980, -780, 0),
    }


def _input_kohm(task: Task) -> float:
    return KOHM_EACH_VOLT * task.number("range_V")


def _shown_mV(task: Task) -> int:
    return round(task.number("true_mV") * _input_kohm(task) / (_input_kohm(task) + task.number("cell_kohm")))


def _unloaded(task: Task) -> float:
    ohm = task.earlier("input")
    return _shown_mV(task) * (ohm + task.number("cell_kohm")) / ohm


LOADING = Exercise(
    id="03.9",
    module=MODULE,
    title="A meter that drinks",
    kind="convert",
    objectives=("03.doubt",),
    prompt="An old analogue meter, marked 20 kohm for each volt of range, stands on its {range_V:g} V range and shows {shown:.0f} "
    "mV on a cell whose own "
    "resistance is {cell_kohm:g} kohm. What would a meter that draws no current show?",
    draw=_draw_load,
    words=lambda t: {
        "shown": float(_shown_mV(t)),
        "input_kohm": f"{_input_kohm(t):g}",
        "cell_name": row("reference_cells", SEA_CELL)["label"],
    },
    parts=(
        NumberPart(
            "input",
            "The meter's resistance on that range",
            "kohm",
            1,
            _input_kohm,
            (
                Wrong(
                    "one_volt",
                    lambda _t: KOHM_EACH_VOLT,
                    "That is for each volt of range. The range is {range_V:g} V: multiply.",
                ),
                Wrong(
                    "divided",
                    lambda t: KOHM_EACH_VOLT / t.number("range_V"),
                    "You divided by {range_V:g}. A larger range has more resistance: multiply.",
                ),
                Wrong(
                    "by_the_display",
                    lambda t: KOHM_EACH_VOLT * abs(_shown_mV(t)) / 1000,
                    "The range counts, {range_V:g} V, and not what is shown on it.",
                ),
            ),
            how="20 kohm times the volts of the range.",
            share=0.01,
            decimals=0,
        ),
        NumberPart(
            "unloaded",
            "Without the load it would show",
            "mV",
            3,
            _unloaded,
            (
                Wrong(
                    "divided_again",
                    lambda t: (
                        _shown_mV(t) * t.earlier("input") / (t.earlier("input") + t.number("cell_kohm"))
                    ),
                    "You loaded it a second time. {shown:.0f} mV is what the load has left. Without the load the reading is more negative.",
                ),
                Wrong(
                    "as_shown",
                    lambda t: float(_shown_mV(t)),
                    "{given} mV is what the loaded cell shows. Part of the voltage "
                    "is lost in the cell itself.",
                ),
                Wrong(
                    "cell_over_meter",
                    lambda t: _shown_mV(t) * (1 - t.number("cell_kohm") / t.earlier("input")),
                    "The loss in the cell goes on top of what is shown. It does not come off it.",
                ),
            ),
            how="The current through the meter also flows through the cell's {cell_kohm:g} kohm: both resistances together over "
            "the meter's alone.",
            within=2.5,
        ),
    ),
    method=lambda t: (
        f"20 kohm x {t.number('range_V'):g} V is {_input_kohm(t):g} kohm.",
        f"{_shown_mV(t):.0f} mV x ({_input_kohm(t):g} + {t.number('cell_kohm'):g}) / {_input_kohm(t):g} = "
        f"{t.earlier('unloaded'):.0f} mV. "
        "A ten-megohm meter loses a thousandth of that.",
    ),
    hints=(
        "The meter and the cell are in series: the same current flows through both.",
        "What the meter shows is its own share of the voltage.",
        "Meter = 20 kohm x {range_V:g}. Whole voltage = {shown:.0f} x (meter + {cell_kohm:g}) / meter.",
    ),
)
