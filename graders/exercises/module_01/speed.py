"""01.8: which is gone first: the kinds by their speed, with this learner's numbers."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_01.common import MODULE
from graders.metals import eaten_mm_per_year, joined, label, sea_water
from graders.parts import Before, NumberPart, OrderPart, Wrong
from graders.task import Task

STEEL = "mild_steel"
NOBLER = ("silicon_bronze", "nickel_aluminium_bronze", "stainless_316_passive")
STEEL_BY_ITSELF_MM = 0.1  # a year, in still sea water: Batt and Robinson (2002)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "nobler": draw.choice("nobler", NOBLER),
        "thick_mm": draw.number("thickness", 4, 10, 0),
        "times": draw.number("ratio", 3, 9, 0),
        "mA": draw.number("stray", 60, 300, 0),
        "cm2": draw.number("fitting", 15, 60, 0),
        "fitting": draw.choice("fitting metal", ("silicon_bronze", "naval_brass", "manganese_bronze")),
    }


def _stray_mm(task: Task) -> float:
    return eaten_mm_per_year(task.word("fitting"), task.number("mA") / 1000 / (task.number("cm2") * 1e-4))


def _couple_mm(task: Task) -> float:
    area = 0.01
    couple = joined(STEEL, task.word("nobler"), sea_water(), area, area * task.number("times"))
    return eaten_mm_per_year(STEEL, float(couple.loss_a[0]))


def _words(task: Task) -> Mapping[str, Value]:
    stray = task.once("stray", lambda: _stray_mm(task))
    return {
        "nobler_name": label(task.word("nobler")),
        "fitting_name": label(task.word("fitting")),
        "one": f"{eaten_mm_per_year(task.word('fitting'), 1.0):.2f}",
        "stray_A_m2": f"{task.number('mA') / 1000 / (task.number('cm2') * 1e-4):.1f}",
        "stray_rate": f"{stray:.0f}",
    }


def _teaches(task: Task) -> bool:
    """Each is several times as fast as the next."""
    return _stray_mm(task) > 5 * _couple_mm(task) > 10 * STEEL_BY_ITSELF_MM


SPEED = Exercise(
    id="01.8",
    module=MODULE,
    title="Which is gone first",
    kind="order",
    objectives=("01.tell_apart", "01.current_to_metal"),
    prompt="Three pieces, each {thick_mm:.0f} mm thick. Steel by itself in still sea water loses 0.1 mm a year; "
    "you can work out how the others compare.",
    draw=_draw,
    words=_words,
    teaches=_teaches,
    parts=(
        OrderPart(
            "gone",
            "Put them in order, the one that is gone first at the top",
            2,
            (
                (
                    "stray",
                    "a {fitting_name} fitting with {cm2:.0f} cm² wet that feeds {mA:.0f} mA of stray current into the water",
                ),
                ("couple", "a steel plate bolted to {times:.0f} times as much {nobler_name}"),
                ("alone", "a steel plate by itself"),
            ),
            (
                Before(
                    "couple_before_stray",
                    "stray",
                    "couple",
                    "A couple is held back by the oxygen its cathode gets; a battery is not. {mA:.0f} mA out of {cm2:.0f} cm² is "
                    "{stray_A_m2} A/m². Oxygen drives no more than a few A/m².",
                ),
                Before(
                    "alone_before_couple",
                    "couple",
                    "alone",
                    "The steel plate by itself feeds only itself. Bolted to {times:.0f} times as much {nobler_name} it feeds that as "
                    "well, and goes faster.",
                ),
            ),
        ),
        NumberPart(
            "years",
            "How long the steel plate by itself would last, at 0.1 mm a year from one side",
            "years",
            2,
            lambda t: t.number("thick_mm") / STEEL_BY_ITSELF_MM,
            (
                Wrong(
                    "multiplied",
                    lambda t: t.number("thick_mm") * STEEL_BY_ITSELF_MM,
                    "You multiplied. At 0.1 mm a year ten years take one millimetre: divide the thickness by the rate.",
                ),
                Wrong(
                    "half_is_gone",
                    lambda t: t.number("thick_mm") / STEEL_BY_ITSELF_MM / 2,
                    "That is when half of it is gone, or when it goes from both sides. Here it goes from one side, until nothing is left.",
                ),
                Wrong(
                    "ten_times",
                    lambda t: t.number("thick_mm") / STEEL_BY_ITSELF_MM / 10,
                    "You lost a factor of ten: a tenth of a millimetre a year means ten years to the millimetre.",
                ),
            ),
            how="Thickness divided by what goes in a year.",
            share=0.01,
        ),
    ),
    method=lambda t: (
        f"The stray: {_words(t)['stray_A_m2']} A/m², about {_stray_mm(t):.0f} mm a year: "
        f"through the wall in {t.number('thick_mm') / _stray_mm(t) * 365:.0f} days.",
        f"The couple, by the engine's middle law: about {_couple_mm(t):.1f} mm a year, give or take some tens of per cent.",
        "The plate by itself: 0.1 mm a year, decades.",
    ),
    hints=(
        "One is driven by a battery, one by two metals, one by itself.",
        "Volts beat tenths of a volt, and tenths of a volt beat a metal alone.",
        "Stray first, in days or weeks; the couple next, in months or years; the plate by itself last, in decades. Its years are "
        "thickness divided by 0.1 mm.",
    ),
)
