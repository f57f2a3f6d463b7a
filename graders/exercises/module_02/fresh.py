"""02.8: the same couple in another water: the water as a resistance."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import sea_water
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "degC": draw.number("temperature", 8, 20, 0),
        "sea_salinity": draw.number("sea", 30, 36, 1),
        "lake_salinity": draw.number("lake", 0.08, 0.3, 2),
        "ohm": draw.number("resistance", 0.4, 2.5, 1),
    }


def _conductivity(task: Task, water: str) -> float:
    return float(sea_water(task.number("degC"), task.number(f"{water}_salinity")).conductivity)


def _ratio(task: Task) -> float:
    sea, lake = (float(f"{_conductivity(task, water):.3g}") for water in ("sea", "lake"))
    return sea / lake


def _given(task: Task) -> Table:
    return Table(
        "The two waters, at {:.0f} °C".format(task.number("degC")),
        ("water", "conductivity"),
        (
            ("sea water", f"{_conductivity(task, 'sea'):.3g} S/m"),
            ("mountain lake", f"{_conductivity(task, 'lake'):.3g} S/m"),
        ),
    )


FRESH = Exercise(
    id="02.8",
    module=MODULE,
    title="The same pair in a lake",
    kind="judge",
    objectives=("02.look_up", "02.predict"),
    prompt="Between two fittings of different metal the sea water has a resistance of {ohm:g} ohm. The boat is trailed to a lake and the "
    "fittings hang in the water as before.",
    draw=_draw,
    tables=(_given,),
    parts=(
        NumberPart(
            "lake_ohm",
            "Resistance between the two fittings in the lake",
            "ohm",
            2,
            lambda t: t.number("ohm") * _ratio(t),
            (
                Wrong(
                    "upside_down",
                    lambda t: t.number("ohm") / _ratio(t),
                    "Upside down. The lake conducts worse, so its resistance is larger than {ohm:g} ohm.",
                ),
                Wrong(
                    "unchanged",
                    lambda t: t.number("ohm"),
                    "The places are the same, the water is not. Ten times less conductivity is ten times more resistance.",
                ),
                Wrong(
                    "ratio_itself",
                    _ratio,
                    "That is how many times worse the lake conducts. The sea water had {ohm:g} ohm: multiply.",
                ),
            ),
            how="Divide the two conductivities, the sea's by the lake's, and multiply the {ohm:g} ohm.",
            share=0.02,
            decimals=0,
        ),
        ChoicePart(
            "so",
            "So in the lake",
            2,
            (
                (
                    "far_less",
                    "far less current flows: the pair is harmed less, and an anode reaches less far",
                ),
                ("same", "the same current flows, for the two metals are the same"),
                ("more", "more current flows, for fresh water is more aggressive"),
                ("no_volts", "the voltage between the metals is gone"),
            ),
            lambda t: "far_less",
            {
                "same": "The two metals push about as before, but now through many times the resistance.",
                "more": "Fresh water can be hard on metals in other ways. But a galvanic current passes it less easily than the sea.",
                "no_volts": "The metals still differ by some tenths of a volt. It is the current that the water holds back.",
            },
            how="Same push, more resistance: Ohm's law.",
            why="The same push through more resistance: Ohm's law.",
        ),
    ),
    method=lambda t: (
        f"The lake conducts {_ratio(t):.0f} times worse, so {t.number('ohm'):g} ohm become {t.earlier('lake_ohm'):.0f} ohm.",
        "Galvanic current is far smaller; and so is the reach of an anode, which is why magnesium is used there.",
    ),
    hints=(
        "Only the water has changed. The metals and the distance are the same.",
        "The worse the water conducts, the larger the resistance: ten times worse, ten times larger.",
        "Ohms in the lake = {ohm:g} ohm x sea's S/m / lake's S/m. The same voltage through more ohms drives less current.",
    ),
)
