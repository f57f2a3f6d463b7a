"""Module 05, seasons."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_05.common import MODULE
from graders.exercises.module_05.drivers import DRIVERS
from graders.exercises.module_05.moving import FLOOD, MOVING
from graders.exercises.module_05.predicted import LOGGED, SEASON
from graders.exercises.module_05.shape import SHAPE
from graders.exercises.module_05.weighed import CURRENT, WEIGHED

OBJECTIVES = (
    Objective("05.what_eats", "say what eats anodes: flow, use, conductivity, acidity, coating, shore power"),
    Objective("05.forecast", "forecast replacement with a band"),
    Objective("05.move", "move a boat between waters"),
)
EXERCISES = (DRIVERS, WEIGHED, SHAPE, MOVING, SEASON, LOGGED, CURRENT, FLOOD)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
