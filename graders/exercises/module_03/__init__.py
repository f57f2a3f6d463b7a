"""Module 03, the reference cell."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_03.baseline import BASELINE
from graders.exercises.module_03.common import MODULE
from graders.exercises.module_03.fresher import FRESHER
from graders.exercises.module_03.hull_potential import HULL_POTENTIAL
from graders.exercises.module_03.other_cell import OTHER_CELL
from graders.exercises.module_03.tools import LOADING, TOOLS
from graders.exercises.module_03.two_cells import TWO_CELLS
from graders.exercises.module_03.verdict import VERDICT
from graders.exercises.module_03.windows import HULL_WINDOW, NARROWEST

OBJECTIVES = (
    Objective("03.measure", "take a hull potential properly"),
    Objective("03.baseline", "make a baseline and say what the anodes shift"),
    Objective("03.convert", "convert a reading from one reference cell, or one water, to another"),
    Objective("03.judge", "judge whether a boat is protected, by her hull and by each of her metals"),
    Objective("03.doubt", "spot a bad cell, a bad meter, a bad lead and a bad place"),
)
EXERCISES = (
    HULL_POTENTIAL,
    BASELINE,
    VERDICT,
    OTHER_CELL,
    FRESHER,
    HULL_WINDOW,
    NARROWEST,
    TOOLS,
    LOADING,
    TWO_CELLS,
)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
