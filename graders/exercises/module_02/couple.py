"""02.2: which of a pair suffers, and how fast, from the current an ammeter shows."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import eaten_mm_per_year, joined, label, sea_water
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

PLATES = ("mild_steel", "cast_iron", "aluminium_5083")
PARTNERS = ("silicon_bronze", "copper", "naval_brass", "nickel_aluminium_bronze")


def _draw(draw: Draw, plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "plate": draw.choice("plate", PLATES),
        "partner": draw.choice("partner", PARTNERS),
        "plate_cm2": draw.number("plate area", 20, 90, 0),
        "partner_cm2": draw.number("partner area", 150, 900, 0),
        "degC": draw.number("temperature", 10, 20, 0),
    }


def _current_A(task: Task) -> float:
    """The current from plate to partner as an ammeter of no resistance shows it, rounded as its display is [A]."""
    water = sea_water(task.number("degC"))
    areas = task.number("plate_cm2") * 1e-4, task.number("partner_cm2") * 1e-4
    return round(float(joined(task.word("plate"), task.word("partner"), water, *areas).current[0]), 5)


def _words(task: Task) -> Mapping[str, Value]:
    return {
        "its_name": label(task.word("plate")),
        "its_partner": label(task.word("partner")),
        "mA": f"{1000 * _current_A(task):.2f}",
        "one": f"{eaten_mm_per_year(task.word('plate'), 1.0):.2f}",
    }


def _given(task: Task) -> Table:
    words = _words(task)
    return Table(
        "What was measured in a bucket of sea water (invented)",
        ("thing", "value"),
        (
            (f"wet area of the {words['its_name']}", f"{task.number('plate_cm2'):.0f} cm²"),
            (f"wet area of the {words['its_partner']}", f"{task.number('partner_cm2'):.0f} cm²"),
            ("current between them", f"{words['mA']} mA"),
            (f"1 A/m² eats into {words['its_name']}", f"{words['one']} mm/yr"),
        ),
    )


def _rate(task: Task, area_cm2: float) -> float:
    return eaten_mm_per_year(task.word("plate"), _current_A(task) / (area_cm2 * 1e-4))


COUPLE = Exercise(
    id="02.2",
    module=MODULE,
    title="Which one suffers, and how fast",
    kind="judge",
    objectives=("02.predict",),
    prompt="A piece of {its_name} and a piece of {its_partner} are joined by a wire and hung in a bucket of sea water of {degC:g} °C. "
    "An ammeter in the wire shows {mA} mA. Which metal is eaten, and how fast does the joining eat it?",
    draw=_draw,
    words=_words,
    tables=(_given,),
    teaches=lambda t: _current_A(t) > 2e-4,
    parts=(
        ChoicePart(
            "suffers",
            "The metal that is eaten",
            2,
            (("plate", "{its_name}"), ("partner", "{its_partner}"), ("both", "both alike")),
            lambda t: "plate",
            {
                "partner": "{its_partner} is the nobler of the two: it stands higher in the series, and joined "
                "to {its_name} it is protected.",
                "both": "The current leaves one metal into the water and enters the other. Only the one it leaves is "
                "eaten: the less noble.",
            },
            how="The less noble of the two, the more negative in the series, gives metal away.",
            why="{its_name} is the less noble, so it is the one the current leaves into the water.",
        ),
        NumberPart(
            "density",
            "Current over each square metre of it",
            "A/m²",
            2,
            lambda t: _current_A(t) / (t.number("plate_cm2") * 1e-4),
            (
                Wrong(
                    "partners_area",
                    lambda t: _current_A(t) / (t.number("partner_cm2") * 1e-4),
                    "You divided by the area of the {its_partner}, {partner_cm2:.0f} cm². The metal that is lost is {its_name}: "
                    "the current leaves through its {plate_cm2:.0f} cm².",
                ),
                Wrong(
                    "both_areas",
                    lambda t: _current_A(t) / ((t.number("plate_cm2") + t.number("partner_cm2")) * 1e-4),
                    "You divided by both areas together. All of the current leaves through the {its_name}, {plate_cm2:.0f} cm².",
                ),
                Wrong(
                    "per_square_centimetre",
                    lambda t: _current_A(t) / t.number("plate_cm2"),
                    "That is the current over each square centimetre. A square metre has ten thousand of them.",
                ),
            ),
            how="Turn {mA} mA into amperes and {plate_cm2:.0f} cm² into square metres, then divide.",
            share=0.02,
            decimals=4,
        ),
        NumberPart(
            "rate",
            "How fast it is eaten",
            "mm/yr",
            2,
            lambda t: eaten_mm_per_year(t.word("plate"), t.earlier("density")),
            (
                Wrong(
                    "divided",
                    lambda t: t.earlier("density") / eaten_mm_per_year(t.word("plate"), 1.0),
                    "You divided by {one}. 1 A/m² eats {one} mm in a year, so twice the current eats twice as much: multiply.",
                ),
                Wrong(
                    "current_itself",
                    lambda t: eaten_mm_per_year(t.word("plate"), 1000 * _current_A(t)),
                    "You multiplied the current itself, {mA}, by {one}. The factor is for each ampere on a square metre of {its_name}.",
                ),
            ),
            how="Multiply the amperes over each square metre by {one} mm/yr, what 1 A/m² eats in a year.",
            share=0.03,
            decimals=4,
        ),
    ),
    method=lambda t: (
        "The less noble metal is eaten: {its_name}.".format(**_words(t)),
        "{mA} mA over {plate:.0f} cm² is {density:.3g} A/m²; at {one} mm/yr for each, {rate:.2g} mm in a year.".format(
            plate=t.number("plate_cm2"), density=t.earlier("density"), rate=t.earlier("rate"), **_words(t)
        ),
    ),
    hints=(
        "Find both metals in the series. The more negative of the two gives its metal away.",
        "How fast a metal is eaten depends on the current over each square metre of that metal, not of the other.",
        "A/m² = ({mA} / 1000) / (cm² of the metal that is eaten / 10 000). Rate = that x {one}.",
    ),
)
