"""05.3: what is left of an anode, judged by its size."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_05.common import MODULE
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

SIDES = ("length", "width", "thick")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    shrunk = {side: draw.number(f"{side} left", 0.62, 0.95, 2) for side in SIDES}
    new = {
        "length": draw.number("length", 180, 320, -1),
        "width": draw.number("width", 70, 150, -1),
        "thick": draw.number("thick", 22, 40, 0),
    }
    now = {f"{side}_now": float(round(new[side] * shrunk[side])) for side in SIDES}
    litres = new["length"] * new["width"] * new["thick"] / 1e6
    return {**new, **now, "new_kg": round(litres * row("metals", "zinc_anode")["density_kg_m3"] / 1000, 1)}


def _ratio(task: Task, side: str) -> float:
    return task.number(f"{side}_now") / task.number(side)


def _share(task: Task) -> float:
    return 100 * _ratio(task, "length") * _ratio(task, "width") * _ratio(task, "thick")


SHAPE = Exercise(
    id="05.3",
    module=MODULE,
    title="How much is left",
    kind="size",
    objectives=("05.forecast",),
    prompt="A zinc plate anode of {new_kg:g} kg was new at {length:.0f} x {width:.0f} x {thick:.0f} mm. A diver, who is qualified for "
    "it, measures "
    "{length_now:.0f} x {width_now:.0f} x {thick_now:.0f} mm.",
    draw=_draw,
    parts=(
        NumberPart(
            "share",
            "What is left of it",
            "%",
            2,
            _share,
            (
                Wrong(
                    "length_only",
                    lambda t: 100 * _ratio(t, "length"),
                    "You compared the lengths alone. It shrank in all three directions.",
                ),
                Wrong(
                    "mean_of_sides",
                    lambda t: 100 * sum(_ratio(t, side) for side in SIDES) / 3,
                    "You took the mean of the three shares. Volume goes with their product.",
                ),
                Wrong("what_is_gone", lambda t: 100 - _share(t), "That is what is gone."),
                Wrong(
                    "face_only",
                    lambda t: 100 * _ratio(t, "length") * _ratio(t, "width"),
                    "You left out the thickness.",
                ),
            ),
            how="Length by width by thickness now, over the same when it was new.",
            within=0.6,
            share=0.005,
            decimals=0,
        ),
        NumberPart(
            "mass",
            "So its mass is about",
            "kg",
            2,
            lambda t: t.number("new_kg") * t.earlier("share") / 100,
            (
                Wrong(
                    "gone_mass",
                    lambda t: t.number("new_kg") * (1 - t.earlier("share") / 100),
                    "That is the mass that is gone.",
                ),
                Wrong(
                    "unchanged_mass", lambda t: t.number("new_kg"), "That is what it weighed when it was new."
                ),
                Wrong(
                    "half_mass",
                    lambda t: t.number("new_kg") / 2,
                    "Half of new is when to replace it; here you found another share.",
                ),
            ),
            how="{new_kg:g} kg times the share you found.",
            share=0.02,
            decimals=2,
        ),
        ChoicePart(
            "then",
            "So",
            2,
            (
                ("replace", "half or less: replace it"),
                ("keep", "more than half: keep it, and forecast the date"),
            ),
            lambda t: "replace" if t.earlier("share") <= 50 else "keep",
            {
                "replace": "More than half of it is left. Write the share down and forecast.",
                "keep": "Half of it or more is gone, though it looks large: three sides, each a little shorter, make a great deal.",
            },
            how="Compare the share with a half.",
        ),
    ),
    teaches=lambda t: abs(_share(t) - 50) > 4,
    method=lambda t: (
        f"{_ratio(t, 'length'):.2f} x {_ratio(t, 'width'):.2f} x {_ratio(t, 'thick'):.2f} = {_share(t):.0f} %.",
        f"Of {t.number('new_kg'):g} kg that is {t.earlier('mass'):.1f} kg.",
    ),
    hints=(
        "Mass goes with volume.",
        "Volume is length times width times thickness.",
        "New volume below, present volume above.",
    ),
)
