"""03.5: an open silver/silver-chloride cell in fresher water."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import settled_potential
from graders.exercise import Exercise, Table
from graders.exercises.module_03.common import MODULE
from graders.metals import SEA_CELL, sea_water
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

LISTED = (35.0, 10.0, 3.5, 1.0, 0.2)
DEGREES = 25.0


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "salinity_there": float(draw.choice("salinity", ("10", "3.5", "1", "0.2"))),
        "read_mV": draw.number("reading", -880, -640, 0),
    }


def _cell_mV(salinity: float) -> int:
    return round(1000 * settled_potential(row("reference_cells", SEA_CELL), sea_water(DEGREES, salinity)))


def _error(task: Task) -> float:
    """How much more negative than in sea water the open cell makes a reading [mV]."""
    return float(_cell_mV(task.number("salinity_there")) - _cell_mV(35.0))


def _table(task: Task) -> Table:
    lines = tuple((f"{s:g}", f"{_cell_mV(s):+d}") for s in LISTED)
    return Table(
        "An open silver/silver-chloride cell at 25 °C",
        ("salinity of the water it hangs in", "mV on the hydrogen scale"),
        lines,
    )


FRESHER = Exercise(
    id="03.5",
    module=MODULE,
    title="The cell in fresher water",
    kind="convert",
    objectives=("03.convert",),
    prompt="Up the river, in water of salinity {salinity_there:g}, an open silver/silver-chloride cell gave {read_mV:.0f} mV. "
    "What would the cell have "
    "shown in sea water (salinity 35), if the metal had been the same?",
    draw=_draw,
    words=lambda t: {
        "error": f"{_error(t):.0f}",
        "here_mV": f"{_cell_mV(t.number('salinity_there')):+d}",
        "sea_mV": f"{_cell_mV(35.0):+d}",
    },
    tables=(_table,),
    parts=(
        NumberPart(
            "corrected",
            "The reading, corrected to the cell in sea water",
            "mV",
            3,
            lambda t: t.number("read_mV") + _error(t),
            (
                Wrong(
                    "wrong_way",
                    lambda t: t.number("read_mV") - _error(t),
                    "The wrong way. In fresher water the cell itself stands higher, so what it shows is too negative. The "
                    "correction makes it "
                    "less negative.",
                ),
                Wrong(
                    "not_corrected",
                    lambda t: t.number("read_mV"),
                    "You corrected nothing. The cell stands at {here_mV} mV there, not at {sea_mV} mV: the difference goes onto "
                    "the reading.",
                ),
                Wrong(
                    "whole_potential",
                    lambda t: t.number("read_mV") + _cell_mV(t.number("salinity_there")),
                    "You added the cell's whole potential, which gives the hydrogen scale. Only the difference from its potential "
                    "in sea water counts.",
                ),
            ),
            how="Take the cell's potential there less its potential in sea water from the table, and add it to the reading.",
            within=2.0,
        ),
        ChoicePart(
            "saturated",
            "A saturated silver/silver-chloride cell in the same place",
            1,
            (
                ("keeps", "would need no such correction: it carries its own chloride"),
                ("same", "would be off by just as much"),
                ("more", "would be off by more, because it is saturated"),
            ),
            lambda t: "keeps",
            {
                "same": "The river cannot reach it: its silver stands in its own saturated solution, behind a plug.",
                "more": "Saturated means it is full of chloride of its own, so the river's {salinity_there:g} does not matter to it.",
            },
            how="Ask where each cell takes its chloride from.",
            why="It brings its own chloride along, so the river does not reach it.",
        ),
    ),
    method=(
        "The open cell stands at {here_mV} mV there and at {sea_mV} mV in sea water: it reads {error} mV too negative.",
        "Corrected: reading plus {error} mV. A saturated cell needs no such correction.",
    ),
    hints=(
        "The cell's own potential depends on the chloride of the water it hangs in.",
        "The table says how high it stands. A cell that stands higher makes every reading more negative.",
        "Corrected = {read_mV:.0f} + ({here_mV} - {sea_mV}). A saturated cell carries its own chloride.",
    ),
)
