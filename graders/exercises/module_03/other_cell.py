"""03.4: a reading taken with another cell, converted and judged by the limit for steel."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import convert
from graders.exercise import Exercise, Table
from graders.exercises.module_03.common import MODULE
from graders.metals import SEA_CELL
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

CELLS = ("copper_sulphate", "silver_chloride_saturated", "zinc_sea_water")
WINDOW = row("criteria", "steel_small_craft")
MARGIN_mV = 50.0  # from any limit, as one end of the window is from memory
STATES = {"bare": (-740, -660), "protected": (-1020, -860), "over": (-1260, -1160)}


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    cell = draw.choice("cell", CELLS)
    state = draw.choice("state", tuple(STATES))
    silver = draw.number("reading", *STATES[state], 0)
    return {"cell": cell, "read_mV": round(1000 * convert(silver / 1000, SEA_CELL, cell))}


def _between(task: Task) -> float:
    """How much more positive the reading is against silver/silver-chloride in sea water [mV]."""
    return 1000 * convert(0.0, task.word("cell"), SEA_CELL)


def _cells(task: Task) -> Table:
    cells = [row("reference_cells", name) for name in (SEA_CELL, *CELLS)]
    lines = tuple((cell["label"], f"{1000 * cell['potential_V_SHE']:+.0f}") for cell in cells)
    return Table("Cells, mV against the hydrogen scale at 25 °C", ("cell", "potential"), lines)


def _silver(task: Task) -> float:
    return task.number("read_mV") + _between(task)


def _verdict(task: Task) -> str:
    reading = task.earlier("silver")
    if reading > WINDOW["protected_below_mV"]:
        return "under"
    return "over" if reading < WINDOW["protected_above_mV"] else "protected"


def _words(task: Task) -> Mapping[str, Value]:
    own = row("reference_cells", task.word("cell"))
    return {
        "its_cell": own["label"],
        "cell_mV": f"{1000 * own['potential_V_SHE']:+.0f}",
        "silver_mV": f"{1000 * row('reference_cells', SEA_CELL)['potential_V_SHE']:+.0f}",
    }


OTHER_CELL = Exercise(
    id="03.4",
    module=MODULE,
    title="Somebody else's cell",
    kind="convert",
    objectives=("03.convert", "03.judge"),
    prompt="Somebody else measured a steel boat in the sea and wrote: {read_mV:.0f} mV, {its_cell}. Protected steel in sea water reads "
    "to read "
    "-800 mV or more negative against silver/silver-chloride in sea water, and not past -1050 mV.",
    draw=_draw,
    words=_words,
    tables=(_cells,),
    teaches=lambda t: all(abs(_silver(t) - limit) > MARGIN_mV for limit in (-800, -1100, -1050)),
    parts=(
        NumberPart(
            "silver",
            "The same reading against silver/silver-chloride in sea water",
            "mV",
            2,
            _silver,
            (
                Wrong(
                    "wrong_way",
                    lambda t: t.number("read_mV") - _between(t),
                    "You moved it the wrong way. A meter shows metal less cell; theirs stands at {cell_mV} mV and yours at "
                    "{silver_mV} mV.",
                ),
                Wrong(
                    "not_converted",
                    lambda t: t.number("read_mV"),
                    "{given} mV is what they read. Their cell stands at {cell_mV} mV on the hydrogen scale, yours at "
                    "{silver_mV} mV: convert.",
                ),
                Wrong(
                    "hydrogen_scale",
                    lambda t: (
                        t.number("read_mV")
                        + 1000 * float(row("reference_cells", t.word("cell"))["potential_V_SHE"])
                    ),
                    "That is on the hydrogen scale, which is half of the way. Now take your own cell's {silver_mV} mV off.",
                ),
            ),
            how="Reading plus their cell's {cell_mV} mV less your cell's {silver_mV} mV, with signs.",
            within=2.0,
        ),
        ChoicePart(
            "verdict",
            "So the steel is",
            2,
            (("under", "not protected"), ("protected", "protected"), ("over", "overprotected")),
            _verdict,
            {
                "under": "{read_mV:.0f} mV is against another cell. Convert first, then hold it against -800 mV.",
                "protected": "Hold the converted reading against both limits: -800 mV on one side, -1050 mV on the other.",
                "over": "Overprotected would be past -1050 mV against your own cell. Convert first, then compare.",
            },
            how="Convert first; the limits are against silver/silver-chloride in sea water.",
        ),
    ),
    method=lambda t: (
        f"Their cell stands at {_words(t)['cell_mV']} mV, yours at {_words(t)['silver_mV']} mV: "
        f"{t.number('read_mV'):.0f} mV becomes {_silver(t):.0f} mV.",
        "Protected steel in sea water lies between -800 mV (DNV-RP-B401) and -1050 mV (small-craft practice, from memory).",
    ),
    hints=(
        "A limit is worth nothing without its cell. Bring the reading to the limit's cell first.",
        "Go over the hydrogen scale: add their cell, take yours off.",
        "{read_mV:.0f} + ({cell_mV}) - ({silver_mV}). Less negative than -800: not protected. More negative than -1050: too much.",
    ),
)
