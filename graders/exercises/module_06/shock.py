"""06.6: somebody in the water: what is done, and in which order."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_06.common import MODULE
from graders.parts import Before, ChoicePart, OrderPart


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "swimmer": draw.choice("who", ("a child", "a man", "a woman", "somebody")),
        "sign": draw.choice(
            "sign",
            ("calls out that it tingles", "goes stiff and stops swimming", "floats and does not answer"),
        ),
        "where": draw.choice(
            "where",
            (
                "between two plugged-in boats",
                "beside a boat with her battery charger on",
                "at the end of the dock",
            ),
        ),
        "there": draw.choice("water", ("sea", "lake")),
    }


SHOCK = Exercise(
    id="06.6",
    module=MODULE,
    title="Somebody in the water",
    kind="order",
    objectives=("06.cautions",),
    prompt="At {marina}, {where}, {swimmer} in the water {sign}. You stand on the dock.",
    draw=_draw,
    parts=(
        OrderPart(
            "order",
            "Put in order what you do",
            3,
            (
                ("stay", "do not jump in, and hold back whoever wants to"),
                ("power", "have the dock's power cut, and shout for it"),
                ("throw", "throw something that floats and does not conduct"),
                ("call", "call the emergency number, and help as you were trained when the swimmer is out"),
                ("keep", "keep everybody out until a licensed person has found the fault"),
            ),
            (
                Before(
                    "jumped_before_power",
                    "stay",
                    "power",
                    "First nobody else goes in: what holds the swimmer would hold the helper too.",
                    safety=True,
                ),
                Before(
                    "throw_before_power",
                    "power",
                    "throw",
                    "As long as the power is on the current goes on. Cut it first; somebody can do it while you reach for the ring.",
                    safety=True,
                ),
                Before(
                    "keep_before_help",
                    "throw",
                    "keep",
                    "First the one in the water; then see to it that nobody else goes in.",
                ),
            ),
        ),
        ChoicePart(
            "worse",
            "In which water is it worse",
            1,
            (
                ("lake", "in fresh water: the current prefers the body to the water"),
                ("sea", "in the sea: salt water conducts better"),
                ("same", "the same in both"),
            ),
            lambda t: "lake",
            {
                "sea": "Because salt water conducts better, the current goes round the body. In fresh water the body is the better way.",
                "same": "It depends on which conducts better, the water or the body. Salt water does; fresh water does not.",
            },
            how="Current takes the easier way: which is that?",
        ),
    ),
    method=(
        "Nobody jumps. Power off. Throw. Call. Keep everybody out until it is found.",
        "Some ten milliamperes through the body take away control of the muscles; fresh water is worse.",
    ),
    hints=(
        "A second person in the water is a second victim.",
        "What keeps the swimmer from moving is the current: how is it stopped?",
        "Stay, power, throw, call, keep out.",
    ),
)
