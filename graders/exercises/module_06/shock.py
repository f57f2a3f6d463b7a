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
                ("power", "have the dock's power cut, and shout for somebody to call the emergency number"),
                ("throw", "throw something that floats and does not conduct"),
                ("call", "once the swimmer is out, help as you were trained until help comes"),
                ("keep", "keep everybody out until a licensed person has found the fault"),
            ),
            (
                Before(
                    "jumped_before_power",
                    "stay",
                    "power",
                    "First of all nobody else goes in. The current that holds the swimmer would hold the helper too.",
                    safety=True,
                ),
                Before(
                    "throw_before_power",
                    "power",
                    "throw",
                    "While the power is on, the current goes on. Have it cut first: somebody can do that while you reach for the ring.",
                    safety=True,
                ),
                Before(
                    "keep_before_help",
                    "throw",
                    "keep",
                    "First the one in the water. Then see that nobody else goes in until the fault is found.",
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
                "sea": "Salt water conducts better than the body, so most of the current goes round it. In fresh water the body "
                "is the easier way.",
                "same": "It depends on which conducts better, the water or the body. In the sea it is the water, in a lake the body.",
            },
            how="Current takes the easier way: which is that?",
        ),
    ),
    method=(
        "Nobody jumps. Power off, and a call for help. Throw. Help when the swimmer is out. Keep everybody out until it is found.",
        "Some ten milliamperes through the body take away control of the muscles; fresh water is worse. Shout to the swimmer: "
        "away from the dock, touch no ladder and no boat.",
    ),
    hints=(
        "A second person in the water is a second victim. So what do you not do, first of all?",
        "The current keeps the swimmer from moving. How is it stopped? And what can you reach with, dry?",
        "Nobody in; power off and call; throw; help when the swimmer is out; keep everybody out. Current takes the easier way, "
        "and in a lake that is the body.",
    ),
)
