"""Module 01, the kinds of corrosion."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_01.cases import ALL_SIGNS, THREE_SIGNS, TWO_SIGNS
from graders.exercises.module_01.circuits import CIRCUITS
from graders.exercises.module_01.common import MODULE
from graders.exercises.module_01.film import FILM
from graders.exercises.module_01.loss import BACK, DEPTH, GRAMS
from graders.exercises.module_01.speed import SPEED

OBJECTIVES = (
    Objective(
        "01.tell_apart",
        "tell general, crevice, galvanic and stray-current corrosion from place, look, speed, history and one measurement",
    ),
    Objective("01.electrical", "say which of them are electrical"),
    Objective("01.film", "say how a film protects stainless steel, and what starving it of oxygen does"),
    Objective("01.current_to_metal", "turn a current into metal lost"),
)
EXERCISES = (ALL_SIGNS, THREE_SIGNS, TWO_SIGNS, CIRCUITS, FILM, GRAMS, DEPTH, SPEED, BACK)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
