"""Families of slips: what a seed draws for an exercise. The draws are in `draws`, what varies in `variation`, hunts in `hunts`."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from course.boats.description import Boat, fleet_boat
from course.boats.draws import CountingDraw, Draw, Purpose, seed_for
from course.boats.hunts import HUNTS, Hunt, draw_hunt
from course.boats.plan import SlipPlan, Start
from course.boats.variation import SHAFT_ANODE_NEARLY_GONE, berth_of, kit_of, middle_berth, varied

__all__ = [
    "FAMILIES",
    "Draw",
    "Family",
    "Purpose",
    "berth_of",
    "draw_plan",
    "kit_of",
    "middle_berth",
    "seed_for",
    "variants",
    "varied",
]


@dataclass(frozen=True)
class Family:
    """A family of slips: its boat, the marina, and how a draw changes the boat she starts as."""

    boat: str
    marina: str
    change: Callable[[Boat, Draw], tuple[Boat, Start]]
    box: Callable[[Draw], dict[str, object]] = (
        lambda _draw: {}
    )  # what the learner's instruments have of their own


def _as_found(boat: Boat, draw: Draw) -> tuple[Boat, Start]:
    """All anodes in place, somewhat worn."""
    return varied(boat, draw, (0.55, 0.95)), Start()


def _without(boat: Boat, *anodes: str) -> Boat:
    return boat.model_copy(
        update={
            "anodes": tuple(a for a in boat.anodes if a.id not in anodes),
            "conductors": tuple(c for c in boat.conductors if c.to not in anodes),
            "clip_points": tuple(p for p in boat.clip_points if p.at not in anodes),
        }
    )


def _unprotected(boat: Boat, draw: Draw) -> Boat:
    """The large anodes are gone and the shaft anodes nearly so."""
    return varied(_without(boat, "hanging_anode", "hull_anode"), draw, (0.55, 0.95), SHAFT_ANODE_NEARLY_GONE)


def _overprotected(boat: Boat, draw: Draw) -> Boat:
    """A magnesium plate on the transom, in salt water."""
    worn = varied(boat, draw, (0.7, 1.0))
    lighter = {"alloy": "magnesium_anode", "mass_kg": 1.7}
    magnesium = tuple(a.model_copy(update=lighter) if a.mounting == "flush_plate" else a for a in worn.anodes)
    return worn.model_copy(update={"anodes": magnesium})


def _one_of_three(boat: Boat, draw: Draw) -> tuple[Boat, Start]:
    """Protected, unprotected or overprotected, each as likely as the others."""
    state = draw.choice("state", ("protected", "unprotected", "overprotected"))
    if state == "unprotected":
        return _unprotected(boat, draw), Start()
    if state == "overprotected":
        return _overprotected(boat, draw), Start()
    return _as_found(boat, draw)


def _two_cells(draw: Draw) -> dict[str, object]:
    """A cell that may be contaminated, and a sound one of another kind beside it."""
    return {
        "cell": "silver_chloride_sea_water",
        "cells": ("silver_chloride_sea_water", "copper_sulphate"),
        "cell_condition": draw.choice("condition", ("good", "contaminated")),
    }


FAMILIES: dict[str, Family | Hunt] = {
    "desk": Family("marsh_lantern", "cormorant_reach", _as_found),  # work on paper about a boat
    "hull_potential": Family("marsh_lantern", "cormorant_reach", _as_found),
    "baseline": Family("marsh_lantern", "cormorant_reach", _as_found),
    "verdict": Family("marsh_lantern", "cormorant_reach", _one_of_three),
    "two_cells": Family("marsh_lantern", "cormorant_reach", _as_found, _two_cells),
    **HUNTS,
}


def draw_plan(family: str, exercise: str, seed: str, purpose: Purpose = "assignment") -> SlipPlan:
    """Return the slip a seed draws from a family; whether it may be used is for the marking side to say.

    Only for the purpose "paper" are the boats and faults drawn that are kept for examinations (`reserved`).
    Raises KeyError for an unknown family.
    """
    return drawn(family, exercise, Draw(seed), purpose)


def drawn(family: str, exercise: str, draw: Draw, purpose: Purpose) -> SlipPlan:
    """Return the slip that a draw makes of a family; see `draw_plan`."""
    kind = FAMILIES[family]
    if isinstance(kind, Hunt):
        return draw_hunt(kind, exercise, draw, purpose)
    boat, start = kind.change(fleet_boat(kind.boat), draw)
    return SlipPlan(
        exercise=exercise,
        seed=draw.seed,
        boat=boat,
        berth=berth_of(draw, kind.marina),
        start=start,
        kit=kit_of(draw).model_copy(update=kind.box(draw)),
    )


def variants(family: str, purpose: Purpose = "assignment") -> int:
    """Return how many slips a family has at the least: those of one boat with one fault at one place, by its decimal grid.

    Counted are the numbers that stand in the plan as they were drawn (water, instruments, wear, severity), not the areas and
    contacts that are drawn as well and rounded once more.
    """
    draw = CountingDraw(seed_for("practice", "", "", family, 0))
    drawn(family, "", draw, purpose)
    scaled = ("area ", "contact ", "nothing")
    return math.prod(count for name, count in draw.counted.items() if not name.startswith(scaled))
