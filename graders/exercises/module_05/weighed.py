"""05.2 and 05.7: from two weighings to a date, with a band; and to the current behind it."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_05.common import (
    FASTER,
    HALF,
    HOURS_IN_A_DAY,
    MODULE,
    SLOWER,
    capacity_Ah_kg,
)
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

APART = 0.05  # of a number of days: closer ones are not told apart


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    new = draw.number("new", 1.2, 4.8, 2)
    return {
        "new_kg": new,
        "now_kg": round(new * draw.number("left", 0.58, 0.8, 2), 2),
        "days": draw.number("days", 120, 240, 0),
    }


def _rate(task: Task) -> float:
    """Grams a day."""
    return 1000 * (task.number("new_kg") - task.number("now_kg")) / task.number("days")


def _to_use_g(task: Task) -> float:
    return 1000 * (task.number("now_kg") - HALF * task.number("new_kg"))


def _middle(task: Task) -> float:
    return _to_use_g(task) / task.earlier("rate")


def _half_of_now(task: Task) -> float | None:
    """Days until half of what it weighs now is gone, at the fast rate; none where another answer comes to the same."""
    middle, grams = _middle(task), 500 * task.number("now_kg")
    days = grams / task.earlier("rate") / FASTER
    others = (middle, middle / FASTER, middle / SLOWER, middle * FASTER)
    return days if all(abs(days - other) > APART * other for other in others) else None


WEIGHED = Exercise(
    id="05.2",
    module=MODULE,
    title="Weighed twice",
    kind="forecast",
    objectives=("05.forecast",),
    prompt="An anode of {boat} weighed {new_kg:g} kg when it was new and {now_kg:g} kg after {days:.0f} days. It is to be "
    "replaced when half of it is "
    "gone. The coming rate may be 0.7 to 1.2 of the one so far (common practice, no source).",
    draw=_draw,
    parts=(
        NumberPart(
            "rate",
            "What it lost so far",
            "g/day",
            2,
            _rate,
            (
                Wrong(
                    "what_is_left",
                    lambda t: 1000 * t.number("now_kg") / t.number("days"),
                    "You took what is left. What it lost is the new mass less the mass now.",
                ),
                Wrong(
                    "per_kilogram",
                    lambda t: _rate(t) / 1000,
                    "That is kilograms a day. The field wants grams: multiply by 1000.",
                ),
                Wrong(
                    "upside_down",
                    lambda t: t.number("days") / (1000 * (t.number("new_kg") - t.number("now_kg"))),
                    "That is days for each gram. Turn it round: grams divided by days.",
                ),
            ),
            how="New less now, in grams, divided by {days:.0f} days.",
            share=0.01,
            decimals=2,
        ),
        NumberPart(
            "earliest",
            "Days from now to half, at the earliest",
            "days",
            2,
            lambda t: _middle(t) / FASTER,
            (
                Wrong(
                    "at_this_rate",
                    _middle,
                    "That is at the rate so far. At the earliest it goes 1.2 times as fast.",
                ),
                Wrong(
                    "slow_end",
                    lambda t: _middle(t) / SLOWER,
                    "That is the latest day: a slower rate makes it last longer. The earliest day is that of the fast rate.",
                ),
                Wrong(
                    "to_nothing",
                    lambda t: 1000 * t.number("now_kg") / t.earlier("rate") / FASTER,
                    "That is until nothing is left. It is replaced at half of its new mass.",
                ),
                Wrong(
                    "half_of_now",
                    _half_of_now,
                    "You left half of what it weighs now. It is replaced at half of {new_kg:g} kg, its new mass.",
                ),
                Wrong(
                    "multiplied",
                    lambda t: _middle(t) * FASTER,
                    "You multiplied the days. A rate 1.2 times as fast uses the same grams in fewer days.",
                ),
            ),
            how="What is left above half of {new_kg:g} kg, divided by 1.2 times your rate.",
            share=0.02,
            decimals=0,
        ),
        NumberPart(
            "latest",
            "and at the latest",
            "days",
            1,
            lambda t: _middle(t) / SLOWER,
            (
                Wrong(
                    "at_this_rate",
                    _middle,
                    "That is at the rate so far. At the latest it goes at 0.7 of it: divide by 0.7.",
                ),
                Wrong(
                    "multiplied",
                    lambda t: _middle(t) * SLOWER,
                    "You multiplied the days. At 0.7 of the rate the same grams last longer.",
                ),
                Wrong(
                    "fast_end",
                    lambda t: _middle(t) / FASTER,
                    "That is the earliest day, at the fast rate. The latest is that of the slow rate, 0.7.",
                ),
            ),
            how="The same grams, divided by 0.7 times your rate.",
            share=0.02,
            decimals=0,
        ),
        ChoicePart(
            "diary",
            "Which goes into the diary",
            1,
            (
                ("earliest", "the earliest: look at it then"),
                ("middle", "the middle of the two"),
                ("latest", "the latest: no need before"),
            ),
            lambda t: "earliest",
            {
                "middle": "In one case out of two she would be short of anode by then. Look at the earliest date.",
                "latest": "By then the anode may have been gone for months, and the boat pays.",
            },
            how="Ask which mistake costs more: a look too early, or a look too late.",
        ),
    ),
    method=lambda t: (
        f"{1000 * (t.number('new_kg') - t.number('now_kg')):.0f} g in {t.number('days'):.0f} days: {_rate(t):.2f} g a day.",
        f"{_to_use_g(t):.0f} g are left above half: {t.earlier('earliest'):.0f} to {t.earlier('latest'):.0f} days.",
        "The earliest goes into the diary.",
    ),
    hints=(
        "First the rate: grams lost divided by days.",
        "Only what is left above half of the new mass may still be used.",
        "Grams to use = now - half of new. Earliest = that / (1.2 x rate). Latest = that / (0.7 x rate). A look too early costs least.",
    ),
)

ALLOYS = ("zinc", "aluminium")


def _draw_current(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "alloy": draw.choice("alloy", ALLOYS),
        "lost_kg": draw.number("lost", 0.3, 2.4, 2),
        "days": draw.number("days", 90, 360, 0),
        "was_mA": draw.number("last year", 20, 60, 0),
    }


def _current_mA(task: Task) -> float:
    useful = capacity_Ah_kg(task.word("alloy"))
    return 1000 * task.number("lost_kg") * useful / (task.number("days") * HOURS_IN_A_DAY)


CURRENT = Exercise(
    id="05.7",
    module=MODULE,
    title="The current behind the loss",
    kind="diagnose",
    objectives=("05.forecast", "05.what_eats"),
    prompt="The {alloy_name} anodes of {boat} lost {lost_kg:g} kg in {days:.0f} days. By the paint and metal below the water "
    "you would expect a mean "
    "of {was_mA:.0f} mA. Each kilogram of this alloy gives {capacity} Ah in the sea (DNV-RP-B401).",
    draw=_draw_current,
    words=lambda t: {
        "alloy_name": {"zinc": "zinc", "aluminium": "aluminium-alloy"}[t.word("alloy")],
        "capacity": f"{capacity_Ah_kg(t.word('alloy')):.0f}",
    },
    teaches=lambda t: _current_mA(t) > 3 * t.number("was_mA") or _current_mA(t) < 1.4 * t.number("was_mA"),
    parts=(
        NumberPart(
            "current",
            "The mean current they gave",
            "mA",
            3,
            _current_mA,
            (
                Wrong(
                    "days_for_hours",
                    lambda t: _current_mA(t) * HOURS_IN_A_DAY,
                    "You divided ampere hours by {days:.0f} days. Divide by hours: 24 to the day.",
                ),
                Wrong(
                    "other_alloy",
                    lambda t: (
                        _current_mA(t)
                        * capacity_Ah_kg(next(a for a in ALLOYS if a != t.word("alloy")))
                        / capacity_Ah_kg(t.word("alloy"))
                    ),
                    "You took the charge of the other alloy. These {alloy_name} anodes give {capacity} Ah/kg.",
                ),
                Wrong(
                    "weight_for_charge",
                    lambda t: 1e6 * t.number("lost_kg") / (t.number("days") * HOURS_IN_A_DAY),
                    "That is milligrams an hour. Weight is not charge: each kilogram gives {capacity} Ah, so multiply by that.",
                ),
            ),
            how="{lost_kg:g} kg times {capacity} Ah/kg, divided by the hours of {days:.0f} days.",
            share=0.02,
            decimals=0,
        ),
        ChoicePart(
            "so",
            "So",
            2,
            (
                (
                    "more",
                    "far more than her own metals ask for: something else is being fed; unplug, and measure",
                ),
                ("right", "about what her own metals ask for"),
                ("asleep", "far less than they should: the anodes are asleep or not in contact"),
            ),
            lambda t: (
                "more"
                if t.earlier("current") > 2 * t.number("was_mA")
                else ("asleep" if t.earlier("current") < 0.4 * t.number("was_mA") else "right")
            ),
            {
                "more": "Your current is not far from the {was_mA:.0f} mA that her own metals ask for. Nothing else is being fed.",
                "right": "Your current is far from the {was_mA:.0f} mA that her own metals ask for. Compare the two: more or less?",
                "asleep": "Anodes that sleep lose next to nothing. These lost {lost_kg:g} kg.",
            },
            how="Compare the current with the {was_mA:.0f} mA you would expect.",
        ),
    ),
    method=lambda t: (
        f"{t.number('lost_kg'):g} kg x {capacity_Ah_kg(t.word('alloy')):.0f} Ah/kg in {t.number('days'):.0f} days is "
        f"{_current_mA(t):.0f} mA.",
        f"Expected: {t.number('was_mA'):.0f} mA. More than twice that wants an explanation: a neighbour, a new bare metal, a fault.",
    ),
    hints=(
        "Kilograms to ampere hours, ampere hours to amperes.",
        "Ampere hours = kilograms x {capacity}. Divide by hours, not by days.",
        "Amperes = {lost_kg:g} x {capacity} / ({days:.0f} x 24). More than twice the {was_mA:.0f} mA expected: something else is fed.",
    ),
)
