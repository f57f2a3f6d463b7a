"""What the learner holds, for print: the cell on its cable, clips, probe, clamp, and leads that lie in no jack. In points."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from course.panels.figure.aboard import bend
from course.panels.figure.held import Held
from course.panels.figure.sheet import WIDE, Point, Sheet

CLIP = np.array([(0, 0.5), (-4.5, 10), (-4, 13), (-1.6, 12.6), (0, 7), (1.6, 12.6), (4, 13), (4.5, 10)])
CELL = np.array([
    (-2.4, 11), (2.4, 11), (2.4, 7.5), (4, 7.5), (4, -7), (2, -10.5), (-2, -10.5), (-4, -7), (-4, 7.5), (-2.4, 7.5),
])  # fmt: skip
FOOT = np.array([(-4, -2), (4, -2), (4, -7), (2, -10.5), (-2, -10.5), (-4, -7)])
PROBE = np.array([(-1.5, 11), (1.5, 11), (1.5, -3), (0, -7), (-1.5, -3)])


def _cell(sheet: Sheet, held: Held, hung: bool) -> None:
    at, (left, foot, right, top) = held.cell, held.chip
    if hung:
        cable = [held.rail, (at[0], min(held.rail[1], 4.0)), (at[0], at[1] + 10)]
        sheet.line(cable, "hull", 3.2, 5.9)
        sheet.line(cable, "accent", 1.4, 6)
        sheet.line([(WIDE - 30, at[1]), (WIDE - 22, at[1])], "accent", 1.4, 6)
        base = -sheet.depth - 14
        sheet.line([(at[0], base + 3.5), (at[0], base - 3.5)], "accent", 1.4, 6)
    sheet.area(CELL + np.array(at), "hull", "accent", 1.3, 6.8)
    sheet.area(FOOT + np.array(at), "accent", None, 0, 6.9)
    sheet.box(left, foot, right - left, top - foot, "paper", edge="accent", width=0.6, order=6.9)
    sheet.words(left + 3, at[1] + 0.2, held.words, va="center_baseline")


def _clamp(sheet: Sheet, at: Point, backward: bool) -> None:
    x, y = at
    turns = np.radians(np.linspace(-60, 240, 25))
    ring = np.column_stack([x + 5.5 * np.cos(turns), y + 5.5 * np.sin(turns)])
    sheet.line(ring, "accent", 2.2, 6.7, solid_capstyle="round")
    for side in (ring[0], ring[-1]):
        sheet.line([tuple(side), (side[0], y - 12)], "accent", 2.2, 6.7, solid_capstyle="round")
    way = -1 if backward else 1
    sheet.line([(x - 5 * way, y), (x + 6 * way, y)], "accent", 1.0, 6.75)
    sheet.line([(x + 3 * way, y + 2.5), (x + 6 * way, y), (x + 3 * way, y - 2.5)], "accent", 1.0, 6.75)


def draw_held(sheet: Sheet, view: Mapping[str, Any], held: Held) -> None:
    """Draw leads with their ends, cell, probe and clamp."""
    for cable in held.cables:
        bend(sheet, [*cable], "hull", 3.2, 5.9)
        bend(sheet, [*cable], "accent", 1.4, 6.0)
    for name, (x, y) in held.plugs.items():
        sheet.dot((x, y), "o", 5.5, "accent", "paper", 7)
        if name in held.parked:
            sheet.words(x, y - 5, name, 7.1, "paper", ha="center", color=sheet.ink["accent"])
    for name, end in held.ends.items():
        shape = PROBE if name == "bilge probe" else CLIP
        sheet.area(shape + np.array(end), "accent", "paper", 0.7, 6.8)
    _cell(sheet, held, view["cell"]["in_water"])
    if held.jaw is not None:
        _clamp(sheet, held.jaw, view["clamp"]["arrow"] == "backward")
