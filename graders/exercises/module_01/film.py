"""01.5: passive or active: what starving a film of oxygen does."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.instruments.reference_cell import convert
from graders.exercise import Exercise
from graders.exercises.module_01.common import MODULE
from graders.metals import SEA_CELL, label
from graders.parts import ChoicePart
from graders.task import Task

STAINLESS = ("stainless_304", "stainless_316")
WASHED = (
    "a polished rail foot that the rain washes",
    "a propeller shaft that turns in running sea water",
    "a swim ladder hanging in the tide, wiped every week",
)
STARVED = (
    "the bolt of a deck fitting that has wept for two seasons",
    "a shaft that stood still in its rubber bearing from October to April",
    "a plate under a colony of barnacles",
    "a bolt in the wet wood of a keel",
)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    starved = draw.choice("state", ("starved", "starved", "washed"))
    return {
        "stainless": draw.choice("metal", STAINLESS),
        "state": starved,
        "place": draw.choice("place", STARVED if starved == "starved" else WASHED),
    }


def _range_mV(metal: str) -> tuple[float, float]:
    """Return the published range of a metal against silver/silver-chloride in sea water [mV]."""
    low, high = row("metals", metal)["flowing_range_mV_SCE"]
    to_cell = 1000 * convert(0.0, "saturated_calomel", SEA_CELL)
    return low + to_cell, high + to_cell


def _words(task: Task) -> Mapping[str, Value]:
    words: dict[str, Value] = {
        "metal_name": label(f"{task.word('stainless')}_passive").removeprefix("passive ")
    }
    for state in ("active", "passive"):
        low, high = _range_mV(f"{task.word('stainless')}_{state}")
        words[state] = f"{low:.0f} to {high:.0f} mV"
    low, high = _range_mV("zinc_anode")
    words["zinc"] = f"{low:.0f} to {high:.0f} mV"
    return words


def _true_state(task: Task) -> str:
    return "active" if task.word("state") == "starved" else "passive"


def _wrong_state(task: Task) -> str:
    if task.word("state") == "starved":
        return "Think of the oxygen: {place} gets next to none. Only oxygen mends the film, so there the film is lost.".format(
            **task.names()
        )
    return "Oxygen comes to {place} all the time, and mends the film as fast as it is scratched.".format(
        **task.names()
    )


FILM = Exercise(
    id="01.5",
    module=MODULE,
    title="The film",
    kind="judge",
    objectives=("01.film",),
    prompt="A piece of {metal_name}: {place}. What has become of its film?",
    draw=_draw,
    words=_words,
    parts=(
        ChoicePart(
            "film",
            "Its film is",
            1,
            (
                ("passive", "kept: the metal is passive"),
                ("active", "lost: the metal is active"),
                ("noble", "not needed: stainless is noble"),
            ),
            _true_state,
            {
                "passive": _wrong_state,
                "active": _wrong_state,
                "noble": "Stainless steel is mostly iron. Without its film it corrodes much as iron does. Only the film makes it noble.",
            },
            how="Ask whether oxygen can get to every part of the surface.",
            why="Oxygen mends the film. Where none comes, nothing mends it.",
        ),
        ChoicePart(
            "reading",
            "Against silver/silver-chloride in sea water you expect it to read",
            2,
            (("passive", "{passive}"), ("active", "{active}"), ("zinc", "{zinc}")),
            lambda task: "active" if task.chosen("film") == "active" else "passive",
            {
                "passive": "{passive} is where {metal_name} reads with its film whole. Without its film it stands some hundred "
                "millivolts more negative.",
                "active": "{active} is where {metal_name} reads without its film. With the film whole it stands some hundred "
                "millivolts less negative.",
                "zinc": "{zinc} is zinc. No stainless steel by itself goes that far negative, with or without a film.",
            },
            how="Stainless steel stands twice in the series; find the place that belongs to the state of its film.",
            why="With its film {metal_name} reads {passive}, without it {active}.",
        ),
        ChoicePart(
            "cure",
            "What keeps, or brings back, the film",
            1,
            (
                ("oxygen", "clean water or air reaching the whole surface: open the gap, or seal it dry"),
                ("paint", "painting over the edge of the gap"),
                ("thicker", "a thicker piece of the same steel"),
                ("circuit", "switching the circuits off"),
            ),
            lambda task: "oxygen",
            {
                "paint": "Paint over the edge shuts the last oxygen out and keeps the salt in. The piece is worse off for it.",
                "thicker": "A thicker piece takes longer to be eaten through. The film is no better on it: the gap is the same.",
                "circuit": "There is no circuit in it: anode and cathode are both on this one piece.",
            },
            how="The film is oxide. Ask what it is made from.",
            why="What mends the film is oxygen, and nothing else.",
        ),
    ),
    method=(
        "The question is always the same: does oxygen come to all of it? Here the piece is {place}.",
        "With its film {metal_name} reads {passive}, without it {active}.",
        "What mends the film is oxygen, and nothing else.",
    ),
    hints=(
        "The film is oxide. What must the water bring to mend it?",
        "Stainless steel stands in two places of the series. They differ by some hundred millivolts.",
        "In a gap, under a cover, in wet wood: no oxygen, so active, the more negative of the two ranges. Washed or moving: passive, "
        "the one close to zero. What brings the film back is what mends it.",
    ),
)
