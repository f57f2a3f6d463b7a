"""04.5: the alloy for a boat in her water."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_04.common import MODULE
from graders.parts import ChoicePart
from graders.task import Task

WATERS = {
    "sea": "in the sea, salinity {salinity_there:g}",
    "brackish": "in a brackish river mouth, salinity {salinity_there:g}",
    "fresh": "on a mountain lake, salinity {salinity_there:g}",
}
SALINITY = {"sea": (30.0, 36.0, 0), "brackish": (4.0, 12.0, 0), "fresh": (0.05, 0.3, 2)}
CHOICES = (
    ("sea", "zinc, or aluminium alloy"),
    ("brackish", "aluminium alloy, and not zinc"),
    ("fresh", "magnesium"),
)
REASONS = (
    ("sea", "salt water carries the current easily, and zinc stays awake in it"),
    ("brackish", "zinc would get a hard skin and go to sleep, and magnesium would soon be gone"),
    ("fresh", "the water is so great a resistance that only the largest push gets through"),
)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    water = draw.choice("water", tuple(WATERS))
    low, high, decimals = SALINITY[water]
    return {
        "there": water,
        "salinity_there": draw.number("salinity", low, high, decimals),
        "what": draw.choice(
            "what",
            (
                "an aluminium saildrive",
                "a steel hull",
                "bronze shafts and struts",
                "a stern drive of cast aluminium",
            ),
        ),
    }


def _other(choice: str) -> Callable[[Task], str]:
    says = {
        "sea": "Zinc goes to sleep in water of salinity {salinity_there:g}. It then protects nothing, and it looks like "
        "new.",
        "brackish": "That is for river mouths. Water of salinity {salinity_there:g} is something else: how hard must an anode "
        "push there, and does zinc sleep in it?",
        "fresh": "Magnesium pushes {what} far past -1100 mV in water of salinity {salinity_there:g}, and is gone in weeks.",
    }
    return lambda task: says[choice].format(**task.names())


def _other_reason(reason: str) -> Callable[[Task], str]:
    return lambda task: (
        f"That speaks for {dict(CHOICES)[reason]}. You chose {dict(CHOICES)[task.chosen('alloy')]}: "
        "which of these says why?"
    )


ALLOY = Exercise(
    id="04.5",
    module=MODULE,
    title="Which alloy",
    kind="choose",
    objectives=("04.alloy",),
    prompt="A boat with {what} lies {there_words}. Which alloy should her anodes be of, and why?",
    draw=_draw,
    words=lambda t: {
        "there_words": WATERS[t.word("there")].format(salinity_there=t.number("salinity_there"))
    },
    parts=(
        ChoicePart(
            "alloy",
            "Alloy",
            2,
            CHOICES,
            lambda t: t.word("there"),
            {choice: _other(choice) for choice, _ in CHOICES},
            how="Salt, brackish, fresh: which of them is salinity {salinity_there:g}?",
            named={choice: f"alloy_for_{choice}" for choice, _ in CHOICES},
        ),
        ChoicePart(
            "reason",
            "Because",
            2,
            REASONS,
            lambda t: t.chosen("alloy"),
            {reason: _other_reason(reason) for reason, _ in REASONS},
            how="Think of the water as a resistance, and of the skin that zinc makes.",
            named={reason: f"reason_for_{reason}" for reason, _ in REASONS},
        ),
    ),
    method=lambda t: (
        f"Salinity {t.number('salinity_there'):g}: {dict(CHOICES)[t.word('there')]}.",
        f"{dict(REASONS)[t.word('there')]} (common practice, no source).",
    ),
    hints=(
        "First name the water by its salinity: sea about 35, river mouth 1 to 20, lake some tenths or less.",
        "The fresher the water, the harder an anode must push, and the sooner zinc gets a skin and sleeps.",
        "Sea: zinc or aluminium alloy, because zinc stays awake. Brackish: aluminium alloy, because zinc sleeps and magnesium "
        "is soon gone. Fresh: magnesium, because the water resists.",
    ),
)
