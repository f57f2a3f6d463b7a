"""02.5: how fast a small anode goes when oxygen at a large cathode sets the current.

The law of areas: Tsujino and Miyase, Corrosion 38 (1982) 226.
"""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import eaten_mm_per_year, label
from graders.parts import NumberPart, Wrong
from graders.task import Task

SMALL = ("mild_steel", "aluminium_5083", "cast_iron")
LARGE = ("stainless_316_passive", "silicon_bronze", "nickel_aluminium_bronze", "titanium")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "small": draw.choice("small", SMALL),
        "large": draw.choice("large", LARGE),
        "small_cm2": draw.number("small area", 40, 320, -1),
        "large_m2": draw.number("large area", 0.15, 0.9, 2),
        "limit": draw.number("oxygen", 0.06, 0.2, 2),
    }


def _words(task: Task) -> Mapping[str, Value]:
    return {
        "small_name": label(task.word("small")),
        "large_name": label(task.word("large")),
        "one": f"{eaten_mm_per_year(task.word('small'), 1.0):.2f}",
    }


def _given(task: Task) -> Table:
    words = _words(task)
    return Table(
        "What is known (invented)",
        ("thing", "value"),
        (
            (f"wet area of the {words['large_name']}", f"{task.number('large_m2'):g} m²"),
            (f"wet area of the {words['small_name']}", f"{task.number('small_cm2'):.0f} cm²"),
            ("what oxygen lets each m² of the nobler metal pass", f"{task.number('limit'):g} A"),
            (f"1 A/m² eats into {words['small_name']}", f"{words['one']} mm/yr"),
        ),
    )


def _current(task: Task) -> float:
    return 1000 * task.number("large_m2") * task.number("limit")


def _small_m2(task: Task) -> float:
    return task.number("small_cm2") * 1e-4


CATCHMENT = Exercise(
    id="02.5",
    module=MODULE,
    title="A large cathode on a small anode",
    kind="forecast",
    objectives=("02.area_ratio", "02.predict"),
    prompt="Under {boat} a bracket of {small_name} holds a plate of {large_name}. Neither is painted. How fast will the bracket go?",
    draw=_draw,
    words=_words,
    tables=(_given,),
    parts=(
        NumberPart(
            "current",
            "The current that the plate passes",
            "mA",
            2,
            _current,
            (
                Wrong(
                    "bracket_area",
                    lambda t: 1000 * _small_m2(t) * t.number("limit"),
                    "You took the bracket's area. Oxygen works at the nobler metal, {large_name}: its area sets the current.",
                ),
                Wrong(
                    "divided",
                    lambda t: 1000 * t.number("limit") / t.number("large_m2"),
                    "You divided by the plate's area. Each square metre passes {limit:g} A, so a larger plate passes more: multiply.",
                ),
                Wrong(
                    "both_areas",
                    lambda t: 1000 * (t.number("large_m2") + 10 * _small_m2(t)) * t.number("limit"),
                    "You added both areas. Only the nobler metal's counts for the current. And mind the zeros: 10 000 cm² are a "
                    "square metre.",
                ),
            ),
            how="Area of the {large_name} times {limit:g} A for each square metre, in milliamperes.",
            share=0.01,
            decimals=1,
        ),
        NumberPart(
            "density",
            "What leaves each square metre of the bracket",
            "A/m²",
            2,
            lambda t: t.earlier("current") / 1000 / _small_m2(t),
            (
                Wrong(
                    "over_the_plate",
                    lambda t: t.earlier("current") / 1000 / t.number("large_m2"),
                    "You spread it over the plate. The current leaves from the bracket: divide by {small_cm2:.0f} cm².",
                ),
                Wrong(
                    "milliamperes_left",
                    lambda t: t.earlier("current") / _small_m2(t),
                    "That is in milliamperes from each square metre. The field wants amperes: divide by 1000.",
                ),
                Wrong(
                    "square_metre_is_100_cm2",
                    lambda t: t.earlier("current") / 1000 / (100 * _small_m2(t)),
                    "You counted 100 cm² to the square metre; it is 10 000.",
                ),
            ),
            how="Your current in amperes, divided by {small_cm2:.0f} cm² in square metres.",
            share=0.01,
            decimals=3,
        ),
        NumberPart(
            "rate",
            "How fast the bracket is eaten",
            "mm/yr",
            2,
            lambda t: t.earlier("density") * eaten_mm_per_year(t.word("small"), 1.0),
            (
                Wrong(
                    "divided_by_factor",
                    lambda t: t.earlier("density") / eaten_mm_per_year(t.word("small"), 1.0),
                    "You divided by {one}. 1 A/m² eats {one} mm in a year; more eats more: multiply.",
                ),
                Wrong(
                    "oxygen_limit",
                    lambda t: t.number("limit") * eaten_mm_per_year(t.word("small"), 1.0),
                    "You used {limit:g} A/m², which is what each square metre of the plate passes. On the small bracket it is "
                    "many times that.",
                ),
                Wrong(
                    "ratio_upside_down",
                    lambda t: (
                        t.number("limit")
                        * _small_m2(t)
                        / t.number("large_m2")
                        * eaten_mm_per_year(t.word("small"), 1.0)
                    ),
                    "The ratio of areas is upside down. A large cathode on a small anode makes it faster, not slower.",
                ),
            ),
            how="Multiply your A/m² by {one} mm/yr.",
            share=0.02,
            decimals=2,
        ),
    ),
    method=lambda t: (
        f"The plate passes {t.number('large_m2'):g} m² x {t.number('limit'):g} A/m² = {_current(t):.1f} mA.",
        f"From {t.number('small_cm2'):.0f} cm² of bracket that is {t.earlier('density'):.2f} A/m².",
        f"at {_words(t)['one']} mm/yr for each, {t.earlier('rate'):.1f} mm a year; a real one by tens of per cent more or less.",
    ),
    hints=(
        "The nobler metal sets the current: its area times what oxygen lets through.",
        "All of it leaves from the small piece: divide by that area, in square metres.",
        "Current = area of {large_name} x {limit:g} A. From each m² = that current / ({small_cm2:.0f} / 10 000). Rate = that x {one}.",
    ),
)
