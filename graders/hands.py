"""Hands at the bench by script: how an exercise is done rightly, and how each of its mistakes is made."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from course.instruments.slip import Slip

if TYPE_CHECKING:
    from graders.task import Task

SETTLE_MINUTES = 90  # longer than any cell here needs


@dataclass(frozen=True)
class Hands:
    """Someone at the bench of a slip, who knows the task and can be told what to do."""

    task: Task
    slip: Slip

    def set_up(
        self,
        x_m: float | None = None,
        depth_m: float = 1.0,
        dial: str = "2 V",
        point: str | None = "common_bonding_point",
        swapped: bool = False,
        wait: int = SETTLE_MINUTES,
    ) -> None:
        """Plug, clip, hang the cell (amidships when no place is named) and wait."""
        self.slip.turn_dial(dial)
        self.slip.plug("cell lead", "V" if swapped else "COM")
        self.slip.plug("test lead", "COM" if swapped else "V")
        self.slip.clip(point)
        self.slip.hang_cell(self.amidships if x_m is None else x_m, depth_m)
        if wait:
            self.slip.wait(wait)

    @property
    def amidships(self) -> float:
        """Return the middle of the boat [m forward of the transom]."""
        return round(self.task.plan.boat.hull.length_m / 2, 2)

    def read_mV(self, x_m: float | None = None, depth_m: float = 1.0) -> float:
        """Record the display, after moving the cell when a place is named, and return it in mV; nan when it shows none."""
        if x_m is not None:
            self.slip.hang_cell(x_m, depth_m)
        row = self.slip.record()
        scale = {"V": 1000.0, "mV": 1.0}.get(str(row["unit"]), math.nan)
        try:
            return round(scale * float(str(row["display"])), 1)
        except ValueError:  # OL, or a blank display
            return math.nan


@dataclass(frozen=True)
class Example:
    """How a mistake at the bench is made: ``act`` does it and returns the answers that come of it.

    Fields that ``act`` leaves out are filled as someone would who is right otherwise. ``when`` says on which plans it can be made.
    """

    part: str
    mistake: str
    act: Callable[[Hands], Mapping[str, object]]
    when: Callable[[Task], bool] = lambda _task: True
