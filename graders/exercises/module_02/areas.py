"""02.3: area ratio beats voltage: screws in a plate, both ways round."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_02.common import MODULE
from graders.metals import joined, label, sea_water
from graders.parts import Before, ChoicePart, NumberPart, OrderPart, Wrong
from graders.task import Task

STEEL, BRONZES = "mild_steel", ("silicon_bronze", "naval_brass", "nickel_aluminium_bronze", "copper")


def _draw(draw: Draw, plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "bronze": draw.choice("bronze", BRONZES),
        "plate_cm2": draw.number("plate", 900, 2400, -2),
        "screws": draw.number("screws", 4, 12, 0),
        "head_cm2": draw.number("head", 0.8, 2.4, 1),
        "degC": draw.number("temperature", 10, 20, 0),
    }


def _screws_cm2(task: Task) -> float:
    return task.number("screws") * task.number("head_cm2")


def _loss(task: Task, steel_cm2: float, bronze_cm2: float) -> float:
    """What the steel loses [A/m2] with the bronze, as the engine has it."""
    water = sea_water(task.number("degC"))
    return float(joined(STEEL, task.word("bronze"), water, steel_cm2 * 1e-4, bronze_cm2 * 1e-4).loss_a[0])


def _times(task: Task) -> float:
    """How many times faster steel screws in a bronze plate go than a steel plate with bronze screws."""
    plate, screws = task.number("plate_cm2"), _screws_cm2(task)
    return task.once("times", lambda: _loss(task, screws, plate) / _loss(task, plate, screws))


def _given(task: Task) -> Table:
    return Table(
        "Two ways to build it (invented)",
        ("way", "plate", "screws"),
        (
            (
                "A",
                f"{label(task.word('bronze'))}, {task.number('plate_cm2'):.0f} cm² wet",
                _screws("mild steel", task),
            ),
            (
                "B",
                f"mild steel, {task.number('plate_cm2'):.0f} cm² wet",
                _screws(label(task.word("bronze")), task),
            ),
        ),
    )


def _screws(metal: str, task: Task) -> str:
    return f"{task.number('screws'):.0f} of {metal}, each head {task.number('head_cm2'):g} cm² wet"


AREAS = Exercise(
    id="02.3",
    module=MODULE,
    title="Small screws in a large plate",
    kind="choose",
    objectives=("02.area_ratio", "02.choose"),
    prompt="A plate is to be held under water by {screws:.0f} screws, and there is mild steel and {bronze_name} to build it from. "
    "The table shows both ways round.",
    draw=_draw,
    words=lambda t: {"bronze_name": label(t.word("bronze")), "screws_cm2": f"{_screws_cm2(t):.1f}"},
    tables=(_given,),
    teaches=lambda t: _times(t) > 20,
    parts=(
        NumberPart(
            "ratio",
            "In way A: how many cm² of {bronze_name} to each cm² of steel",
            "",
            2,
            lambda t: t.number("plate_cm2") / _screws_cm2(t),
            (
                Wrong(
                    "upside_down",
                    lambda t: _screws_cm2(t) / t.number("plate_cm2"),
                    "That is upside down: steel to {bronze_name}. What counts is how much nobler metal drives each cm² of steel.",
                ),
                Wrong(
                    "one_head",
                    lambda t: t.number("plate_cm2") / t.number("head_cm2"),
                    "You took the head of one screw, {head_cm2:g} cm². There are {screws:.0f} of them, and they share the attack.",
                ),
                Wrong(
                    "head_forgotten",
                    lambda t: t.number("plate_cm2") / t.number("screws"),
                    "You divided by the number of screws, {screws:.0f}. Their area counts: {head_cm2:g} cm² each.",
                ),
            ),
            how="Divide the plate's {plate_cm2:.0f} cm² by the wet area of all screw heads together.",
            share=0.02,
            decimals=1,
        ),
        ChoicePart(
            "way",
            "Build it",
            2,
            (
                ("a", "way A: steel screws"),
                ("b", "way B: {bronze_name} screws"),
                ("same", "either: the two metals are the same"),
            ),
            lambda t: "b",
            {
                "a": "Steel is the less noble, so it is eaten in both ways. In way A all of the attack of {plate_cm2:.0f} cm² "
                "falls on {screws_cm2} cm² of screws, and screws that are gone hold nothing.",
                "same": "The voltage is the same both ways. The attack is not: in way A "
                "{plate_cm2:.0f} cm² drives {screws_cm2} cm² of steel, in way B {screws_cm2} cm² drives {plate_cm2:.0f} cm².",
            },
            how="Ask which metal is eaten, and over how large an area its loss is spread.",
            why="The steel is eaten both ways. Spread over a whole plate its loss is hardly seen.",
        ),
        OrderPart(
            "gone",
            "Put these in order, the one that is gone first at the top",
            2,
            (
                ("steel_screws", "mild steel screws in a {bronze_name} plate"),
                ("steel_plate", "a mild steel plate with {bronze_name} screws"),
                ("bronze_screws", "{bronze_name} screws in a mild steel plate"),
            ),
            (
                Before(
                    "plate_before_screws",
                    "steel_screws",
                    "steel_plate",
                    "Steel is eaten in both, but a small piece joined to much nobler metal goes "
                    "far faster than a large one joined to little.",
                ),
                Before(
                    "nobler_before_steel",
                    "steel_plate",
                    "bronze_screws",
                    "{bronze_name} is the nobler metal: joined to steel it is protected and outlasts the steel.",
                ),
            ),
        ),
    ),
    method=lambda t: (
        f"The steel is eaten both ways round. Way A has {t.earlier('ratio'):.0f} cm² of nobler metal to each cm² of steel.",
        f"The engine has the steel screws go about {_times(t):.0f} times as fast as the steel plate of way B, "
        "give or take some tens of per cent.",
        "So the fastening is always the nobler metal.",
    ),
    hints=(
        "Which of the two metals is eaten at all?",
        "How large is that metal beside the other? A small area takes all of the attack.",
        "The ratio is {plate_cm2:.0f} cm² over {screws:.0f} x {head_cm2:g} cm². The small part, the fastening, is to be the "
        "nobler metal. Small and less noble goes first, large and less noble next, nobler last.",
    ),
)
