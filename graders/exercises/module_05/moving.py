"""05.4 and 05.8: moving a boat between waters, and a river in flood."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import settled_potential
from graders.exercise import Exercise
from graders.exercises.module_05.common import MODULE
from graders.metals import SEA_CELL, sea_water
from graders.parts import Before, ChoicePart, NumberPart, OrderPart, Wrong
from graders.task import Task

WATERS = {"sea": "the sea", "brackish": "a brackish river mouth", "fresh": "a mountain lake"}
RIGHT = {"sea": ("zinc", "aluminium"), "brackish": ("aluminium",), "fresh": ("magnesium",)}
ALLOYS = (("zinc", "zinc"), ("aluminium", "aluminium alloy"), ("magnesium", "magnesium"))


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    pair = draw.choice("move", ("fresh sea", "sea fresh", "sea brackish", "fresh brackish", "brackish fresh"))
    here, there = pair.split()
    return {"here": here, "there": there, "fitted": draw.choice("fitted", RIGHT[here])}


def _words(task: Task) -> Mapping[str, Value]:
    return {
        "here_name": WATERS[task.word("here")],
        "there_name": WATERS[task.word("there")],
        "fitted_name": dict(ALLOYS)[task.word("fitted")],
    }


FATE = (
    ("asleep", "goes to sleep under a skin and hardly gives anything: she is unprotected"),
    ("short", "gives too little: the water is too great a resistance for it"),
    ("gone", "overprotects her at once and is gone in weeks"),
    ("fine", "works on as before"),
)


def _fate(task: Task) -> str:
    fitted, there = task.word("fitted"), task.word("there")
    if fitted == "magnesium":
        return "gone"
    if fitted == "zinc":
        return "asleep"
    return "short" if there == "fresh" else "fine"


def _not_so(fate: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        words = _words(task)
        by_alloy = {
            "zinc": "Zinc gets a hard skin in fresher water and goes to sleep",
            "aluminium": "Aluminium alloy stays awake in brackish water, but in fresh water its push is too small for so great "
            "a resistance",
            "magnesium": "Magnesium pushes half a volt harder than zinc, and salt water lets all of that through",
        }
        return f"{by_alloy[task.word('fitted')]}. She goes to {words['there_name']} with {words['fitted_name']} on."

    return says


SUITS = (
    ("sea", "zinc, or aluminium alloy"),
    ("brackish", "aluminium alloy, and not zinc"),
    ("fresh", "magnesium"),
)


def _not_that_alloy(suits: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        there = _words(task)["there_name"]
        why = {
            "sea": f"That is for the sea. In {there} zinc gets a skin and goes to sleep.",
            "brackish": "That is for a river mouth. In the sea nothing speaks against zinc: it stays awake there."
            if task.word("there") == "sea"
            else f"In {there} the push of aluminium alloy is too small: the water is a great resistance.",
            "fresh": f"In {there} magnesium would overprotect her and be gone in weeks.",
        }
        return why[suits]

    return says


MOVING = Exercise(
    id="05.4",
    module=MODULE,
    title="To another water",
    kind="choose",
    objectives=("05.move",),
    prompt="A fibreglass boat with anodes of {fitted_name} leaves {here_name} and will lie in {there_name} from now on.",
    draw=_draw,
    words=_words,
    teaches=lambda t: t.word("fitted") not in RIGHT[t.word("there")],
    parts=(
        ChoicePart(
            "fate",
            "If nothing is changed, her {fitted_name}",
            2,
            FATE,
            _fate,
            {fate: _not_so(fate) for fate, _ in FATE},
            how="Think of what this alloy does in that water.",
            named={fate: f"fate_{fate}" for fate, _ in FATE},
        ),
        ChoicePart(
            "alloy",
            "For {there_name} she is given",
            2,
            SUITS,
            lambda t: t.word("there"),
            {suits: _not_that_alloy(suits) for suits, _ in SUITS},
            how="Sea: zinc or aluminium. Brackish: aluminium. Fresh: magnesium (common practice, no source).",
        ),
    ),
    method=lambda t: (
        f"{dict(ALLOYS)[t.word('fitted')]} in {WATERS[t.word('there')]}: {dict(FATE)[_fate(t)]}.",
        f"For {WATERS[t.word('there')]}: {dict(SUITS)[t.word('there')]}.",
    ),
    hints=(
        "How salt is the new water, and so how great a resistance?",
        "Zinc sleeps in fresher water. Magnesium runs wild in salt water. Aluminium alloy is too weak in a lake.",
        "Sea: zinc or aluminium. Brackish: aluminium. Fresh: magnesium.",
    ),
)


def _draw_flood(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "usual": draw.number("usual", 8, 16, 0),
        "flood": draw.number("flood", 0.3, 1.5, 1),
        "degC": draw.number("degrees", 7, 14, 0),
        "read_mV": draw.number("reading", -880, -740, 0),
    }


def _higher(task: Task) -> float:
    """How much higher the open cell itself stands in the flood [mV]."""
    cell = row("reference_cells", SEA_CELL)
    flood, usual = (sea_water(task.number("degC"), task.number(name)) for name in ("flood", "usual"))
    return round(1000 * settled_potential(cell, flood)) - round(1000 * settled_potential(cell, usual))


FLOOD = Exercise(
    id="05.8",
    module=MODULE,
    title="A river in flood",
    kind="judge",
    objectives=("05.move", "05.what_eats"),
    prompt="At the river mouth the water has salinity {usual:.0f} as a rule; today, in flood, {flood:g}. An open "
    "silver/silver-chloride cell stands "
    "{higher:.0f} mV higher in this water than in the usual one. It gives {read_mV:.0f} mV.",
    draw=_draw_flood,
    words=lambda t: {"higher": _higher(t)},
    parts=(
        NumberPart(
            "as_usual",
            "Corrected to the cell in the usual water",
            "mV",
            1,
            lambda t: t.number("read_mV") + _higher(t),
            (
                Wrong(
                    "wrong_way",
                    lambda t: t.number("read_mV") - _higher(t),
                    "The wrong way. A cell that stands higher reads too negative, so the correction makes it less negative.",
                ),
                Wrong(
                    "not_corrected",
                    lambda t: t.number("read_mV"),
                    "That is what was read. {higher:.0f} mV of it belong to the cell: add them.",
                ),
                Wrong(
                    "half_corrected",
                    lambda t: t.number("read_mV") + _higher(t) / 2,
                    "That is half of the correction. The cell stands {higher:.0f} mV higher: add all of it.",
                ),
            ),
            how="Add the {higher:.0f} mV to the reading.",
            within=2.0,
        ),
        ChoicePart(
            "baseline",
            "As a baseline for the coming years it is",
            1,
            (
                (
                    "no",
                    "no good: water and metals are not as usual; come back when the river has fallen",
                ),
                ("yes", "good: a reading is a reading"),
                ("corrected", "good, once the cell is corrected: the metals do not care"),
            ),
            lambda t: "no",
            {
                "yes": "The next reading in the usual water would differ, and you would look for a fault that is not there.",
                "corrected": "The metals do care. In fresher water less current flows, and they read differently.",
            },
            how="Ask whether the same boat would read the same next month.",
        ),
        OrderPart(
            "order",
            "Another boat comes down from the lake with magnesium on and goes to the sea. In which order",
            2,
            (
                ("off", "take the magnesium off, with her ashore and propped"),
                ("fit", "fit anodes for sea water, metal to metal"),
                ("go", "take her down to the sea"),
                ("read", "measure her there, and write down a new baseline"),
            ),
            (
                Before(
                    "go_with_magnesium",
                    "off",
                    "go",
                    "In salt water the magnesium would overprotect her within the hour. It comes off before she goes.",
                ),
                Before(
                    "go_bare",
                    "fit",
                    "go",
                    "On the way and at the new berth she would have no protection at all. Fit the new "
                    "ones while she is ashore.",
                ),
                Before(
                    "read_before",
                    "go",
                    "read",
                    "A baseline belongs to the water she lies in: measure when she is there.",
                ),
            ),
        ),
    ),
    method=lambda t: (
        f"Corrected: {t.number('read_mV'):.0f} + {_higher(t):.0f} = {t.earlier('as_usual'):.0f} mV. It is still no baseline: the "
        f"metals read differently too.",
        "Magnesium off and sea-water anodes on before she goes; a new baseline when she is there.",
    ),
    hints=(
        "In a flood two things are different: the cell and the metals.",
        "A cell that stands higher reads too negative. And a baseline is for comparing like with like.",
        "Corrected = {read_mV:.0f} + {higher:.0f}. A baseline compares like with like, and a flood is not like next month. "
        "Moving: old anodes off, new on, go, measure there.",
    ),
)
