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
                    "You compared the lengths alone. The anode shrank in all three directions: multiply the three shares.",
                ),
                Wrong(
                    "mean_of_sides",
                    lambda t: 100 * sum(_ratio(t, side) for side in SIDES) / 3,
                    "You took the mean of the three shares. Volume goes with their product: multiply them.",
                ),
                Wrong(
                    "what_is_gone",
                    lambda t: 100 - _share(t),
                    "That is what is gone. What is left is the rest of 100 %.",
                ),
                Wrong(
                    "face_only",
                    lambda t: 100 * _ratio(t, "length") * _ratio(t, "width"),
                    "You left out the thickness. It shrank as well: multiply by its share too.",
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
                    "That is the mass that is gone. What is left is {new_kg:g} kg times the share that is left.",
                ),
                Wrong(
                    "unchanged_mass",
                    lambda t: t.number("new_kg"),
                    "That is what it weighed when it was new. Take the share of it that is left.",
                ),
                Wrong(
                    "half_mass",
                    lambda t: t.number("new_kg") / 2,
                    "Half of the new mass is when to replace it. You found another share: use that.",
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
                "replace": "More than half of it is left. Keep it, write the share down, and forecast the date.",
                "keep": "Half of it or more is gone, though it looks large. Three sides that are each a little shorter make a great deal.",
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
        "The mass that is left goes with the volume that is left.",
        "Volume is length times width times thickness.",
        "Share = ({length_now:.0f} x {width_now:.0f} x {thick_now:.0f}) / ({length:.0f} x {width:.0f} x {thick:.0f}). Mass = "
        "{new_kg:g} kg x share. Half or less: replace it.",
    ),
)
