"""02.1: a metal's place in the series, for the cell one has in hand."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import convert
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import LESS_NOBLE, MODULE, NOBLER
from graders.metals import label, pick
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

CELLS = ("copper_sulphate", "silver_chloride_saturated", "silver_chloride_sea_water")


def _draw(draw: Draw, plan: SlipPlan) -> Mapping[str, Value]:
    metal, *others = pick(draw, "metal", (*LESS_NOBLE, *NOBLER), 5)
    return {"metal": metal, "others": tuple(others), "cell": draw.choice("cell", CELLS)}


def _words(task: Task) -> Mapping[str, Value]:
    low, high = row("metals", task.word("metal"))["flowing_range_mV_SCE"]
    here, there = (row("reference_cells", name) for name in (task.word("cell"), "saturated_calomel"))
    return {
        "its_name": label(task.word("metal")),
        "its_cell": here["label"],
        "calomel_mV": f"{1000 * there['potential_V_SHE']:+.0f}",
        "cell_mV": f"{1000 * here['potential_V_SHE']:+.0f}",
        "nobler": "more" if convert(0.0, "saturated_calomel", task.word("cell")) < 0 else "less",
        "middle": f"{(low + high) / 2:.0f}",
    }


def _series(task: Task) -> Table:
    metals = sorted(
        (task.word("metal"), *task.words("others")),
        key=lambda m: -row("metals", m)["flowing_range_mV_SCE"][1],
    )
    ranges = (row("metals", metal)["flowing_range_mV_SCE"] for metal in metals)
    lines = tuple(
        (label(metal), f"{low} to {high}") for metal, (low, high) in zip(metals, ranges, strict=True)
    )
    return Table("Flowing sea water, mV against the saturated calomel cell", ("metal", "range"), lines)


def _cells(task: Task) -> Table:
    known = ("saturated_calomel", *CELLS)
    cells = [row("reference_cells", name) for name in known]
    lines = tuple((cell["label"], f"{1000 * cell['potential_V_SHE']:+.0f}") for cell in cells)
    return Table("Cells, mV against the hydrogen scale at 25 °C", ("cell", "potential"), lines)


def _middle(task: Task) -> float:
    low, high = row("metals", task.word("metal"))["flowing_range_mV_SCE"]
    return (float(low) + float(high)) / 2


def _between(task: Task) -> float:
    """How much more positive a reading is against the cell in hand than against calomel [mV]."""
    return 1000 * convert(0.0, "saturated_calomel", task.word("cell"))


def _own_potential_added(task: Task) -> float:
    return _middle(task) + 1000 * float(row("reference_cells", task.word("cell"))["potential_V_SHE"])


LOOK_UP = Exercise(
    id="02.1",
    module=MODULE,
    title="The same metal, another cell",
    kind="convert",
    objectives=("02.look_up",),
    prompt="The list gives what metals read in flowing sea water against a saturated calomel cell. The cell in "
    "your hand is another: {its_cell}. Which reading lies in the middle of the range for {its_name}, against your cell?",
    draw=_draw,
    words=_words,
    tables=(_series, _cells),
    parts=(
        NumberPart(
            "middle",
            "Middle of the range as listed",
            "mV",
            1,
            _middle,
            (
                Wrong(
                    "least_negative_end",
                    lambda t: float(row("metals", t.word("metal"))["flowing_range_mV_SCE"][1]),
                    "That is the least negative end of the range for {its_name}. The middle is half-way between both ends.",
                ),
                Wrong(
                    "most_negative_end",
                    lambda t: float(row("metals", t.word("metal"))["flowing_range_mV_SCE"][0]),
                    "That is the most negative end of the range for {its_name}. The middle is half-way between both ends.",
                ),
            ),
            how="Find {its_name} in the list, add the two ends of its range, and halve.",
            within=1.0,
        ),
        NumberPart(
            "reading",
            "Reading against your cell",
            "mV",
            3,
            lambda t: t.earlier("middle") + _between(t),
            (
                Wrong(
                    "wrong_way",
                    lambda t: t.earlier("middle") - _between(t),
                    "You moved it the wrong way. On the hydrogen scale your cell stands at {cell_mV} mV and calomel at {calomel_mV} mV; "
                    "against the more positive cell the same metal reads more negative.",
                ),
                Wrong(
                    "cell_forgotten",
                    lambda t: t.earlier("middle"),
                    "{given} mV is the reading against calomel. Your cell stands at {cell_mV} mV and calomel at {calomel_mV} mV, so the "
                    "same metal reads {nobler} negative by the difference.",
                ),
                Wrong(
                    "hydrogen_scale",
                    lambda t: (
                        _middle(t)
                        + 1000 * float(row("reference_cells", "saturated_calomel")["potential_V_SHE"])
                    ),
                    "That is on the hydrogen scale, which is half of the way. Now take your own cell's {cell_mV} mV off.",
                ),
                Wrong(
                    "own_potential_added",
                    _own_potential_added,
                    "You added your cell's whole {cell_mV} mV, which would give the hydrogen scale if the list were against your cell. "
                    "The list "
                    "is against calomel: only the difference between the two cells counts.",
                ),
            ),
            how="Take calomel's {calomel_mV} mV less your cell's {cell_mV} mV, and add that, with its sign, to the listed reading.",
            within=1.0,
        ),
        ChoicePart(
            "direction",
            "Against the more positive of two cells, the same metal reads",
            1,
            (("negative", "more negative"), ("positive", "less negative"), ("same", "the same")),
            lambda t: "negative",
            {
                "positive": "The other way: a meter shows metal less cell, so a cell that stands higher takes more away.",
                "same": "The metal is the same, the reading is not: a reading is a difference from the cell. That is why a "
                "reading without "
                "its cell's name says little.",
            },
            how="A meter shows metal less cell.",
            why="A meter shows metal less cell, so a cell that stands higher takes more away.",
        ),
    ),
    method=(
        "{its_name} is listed with the middle of its range at {middle} mV against calomel.",
        "Calomel stands at {calomel_mV} mV and your cell at {cell_mV} mV on the hydrogen scale; add calomel less your cell.",
    ),
    hints=(
        "A reading is always metal less cell. With another cell, another amount is taken away.",
        "Both cells stand in the second table on one scale. How far apart are they?",
        "Middle = half of both ends added. New reading = middle + (({calomel_mV}) - ({cell_mV})). A higher cell makes the "
        "reading more negative.",
    ),
)
