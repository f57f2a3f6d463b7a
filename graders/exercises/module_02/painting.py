"""02.9: what to paint, and what a scratch does."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_02.common import LESS_NOBLE, MODULE
from graders.metals import label
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

NOBLE = ("silicon_bronze", "copper", "nickel_aluminium_bronze", "stainless_316_passive", "titanium")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "noble": draw.choice("noble", NOBLE),
        "lesser": draw.choice("lesser", LESS_NOBLE),
        "rate": draw.number("rate", 0.4, 1.8, 1),
        "bare": draw.number("bare share", 4, 12, 0),
    }


def _words(task: Task) -> Mapping[str, Value]:
    return {"noble_name": label(task.word("noble")), "lesser_name": label(task.word("lesser"))}


def _share(task: Task) -> float:
    return task.number("bare") / 100


PAINTING = Exercise(
    id="02.9",
    module=MODULE,
    title="Which of the two to paint",
    kind="choose",
    objectives=("02.area_ratio", "02.choose"),
    prompt="Two bare plates hang bolted together in sea water, {noble_name} and {lesser_name}, and the {lesser_name} loses "
    "{rate:g} mm a year to the "
    "other one. There is paint for one plate. The brush leaves {bare:.0f} % of it bare, in scratches and edges. The "
    "current is in proportion to the bare area of the nobler plate.",
    draw=_draw,
    words=_words,
    parts=(
        ChoicePart(
            "paint",
            "Paint",
            2,
            (
                ("noble", "the {noble_name}"),
                ("lesser", "the {lesser_name}"),
                ("neither", "neither: paint makes no difference"),
            ),
            lambda t: "noble",
            {
                "lesser": "It looks right and is the worst you can do. The same current then leaves through the {bare:.0f} % of "
                "{lesser_name} "
                "that the brush missed.",
                "neither": "Paint takes area out of the cell, and area decides.",
            },
            how="Ask what paint takes away on each: the current, or the place where it can leave.",
            why="Paint on the nobler plate takes away current; on the other it only takes away room for the current to leave.",
        ),
        NumberPart(
            "noble_painted",
            "With the {noble_name} painted, the other loses",
            "mm/yr",
            2,
            lambda t: t.number("rate") * _share(t),
            (
                Wrong(
                    "painted_share",
                    lambda t: t.number("rate") * (1 - _share(t)),
                    "You took the painted share. It is the bare {bare:.0f} % that still passes current.",
                ),
                Wrong(
                    "unchanged",
                    lambda t: t.number("rate"),
                    "That is the loss before painting. With less bare {noble_name} there is less current.",
                ),
                Wrong(
                    "divided",
                    lambda t: t.number("rate") / _share(t),
                    "You divided. Less bare area of the nobler metal, less current, less loss.",
                ),
            ),
            how="The current falls with the bare area of {noble_name}: {bare:.0f} % of it is left.",
            share=0.02,
            decimals=3,
        ),
        NumberPart(
            "lesser_painted",
            "With the {lesser_name} painted instead, it loses in its scratches",
            "mm/yr",
            2,
            lambda t: t.number("rate") / _share(t),
            (
                Wrong(
                    "multiplied",
                    lambda t: t.number("rate") * _share(t),
                    "You multiplied. The current stays, and leaves through {bare:.0f} % of the area: it goes that much deeper.",
                ),
                Wrong(
                    "unchanged",
                    lambda t: t.number("rate"),
                    "That is the loss before painting. The current is the same, but it leaves from {bare:.0f} % of the area.",
                ),
                Wrong(
                    "painted_share",
                    lambda t: t.number("rate") / (1 - _share(t)),
                    "You divided by the painted share. It leaves through the bare {bare:.0f} %.",
                ),
            ),
            how="The same current through {bare:.0f} % of the area.",
            share=0.02,
            decimals=1,
        ),
    ),
    method=lambda t: (
        "Paint the nobler plate: the current falls with it.",
        f"{t.number('rate'):g} mm/yr x {t.number('bare'):.0f} % = {t.earlier('noble_painted'):.3g} mm/yr; painted the other way round, "
        f"{t.earlier('lesser_painted'):.3g} mm/yr in every scratch.",
    ),
    hints=(
        "The nobler metal's area sets the current. The other's area sets how deep it goes.",
        "Paint on the nobler one takes current away. Paint on the other takes away only the room where it can leave.",
        "Nobler plate painted: {rate:g} mm x {bare:.0f} / 100. Lesser plate painted: {rate:g} mm / ({bare:.0f} / 100). Compare the two.",
    ),
)
