"""The boat of the still figure: water with its scales, hull cut open, metal hatched by family."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matplotlib.patches import Polygon

from course.panels.figure.drives import hull_band, keel_outline
from course.panels.figure.ink import hatched
from course.panels.figure.shapes import middle, outline
from course.panels.figure.sheet import LINE, SCALE_ROOM, WIDE, Sheet

BED = 9.0  # points of bed that are drawn
BEHIND = ("hull", "keel", "shaft", "engine", "strut", "saildrive", "through_hull")  # what others stand upon


def draw_water(sheet: Sheet) -> None:
    """Draw water and bed over the width of the sheet."""
    sheet.box(0, -sheet.depth, WIDE, sheet.depth, "water", edge=None, order=0)
    bed = sheet.box(0, -sheet.depth - BED, WIDE, BED, "bed", edge="quiet", width=0.0, order=0)
    bed.set_hatch("\\\\\\")
    bed.set_hatch_linewidth(0.4)
    sheet.line([(0, 0), (WIDE, 0)], order=1)
    sheet.line([(0, -sheet.depth), (WIDE, -sheet.depth)], width=1.1, order=1)


def draw_scales(sheet: Sheet, view: Mapping[str, Any]) -> float:
    """Draw the depth scale and the metres along the boat; return the height of their lower edge [points]."""
    rule, boat = WIDE - SCALE_ROOM + 8, view["boat"]
    sheet.line([(rule, 0), (rule, -sheet.depth)], order=1.5)
    for half in range(int(2 * view["berth"]["depth_m"]) + 1):
        y, whole = -half * sheet.scale / 2, half % 2 == 0
        sheet.line([(rule, y), (rule + (6 if whole else 3), y)], order=1.5)
        if whole and y > 8 - sheet.depth:
            sheet.words(rule + 8, y - (2 if half == 0 else -3.2), f"{half // 2} m")
    base = -sheet.depth - BED - 5
    step = 1 if sheet.scale > 27 else 2
    ends = sheet.at(0, 0, 0)[0], sheet.at(boat["length_m"], 0, 0)[0]
    sheet.line([(ends[0], base), (ends[1], base)], order=1.5)
    for x_m in range(0, int(boat["length_m"]) + 1, step):
        x = sheet.at(x_m, 0, 0)[0]
        sheet.line([(x, base), (x, base - 3.5)], order=1.5)
        if x < WIDE - 92:
            sheet.words(x, base - 5, str(x_m), ha="center")
    sheet.words(WIDE - 3, base - 5, "metres from transom", ha="right")
    return base - 5 - LINE


def draw_hull(sheet: Sheet, view: Mapping[str, Any]) -> Polygon:
    """Draw the hull cut open along its length, the deckhouse, and the cabin sole; return the hull's outline."""
    boat = view["boat"]
    ring = [(x, h) for x, h in boat["profile"]]
    two = boat.get("hulls") == 2
    if two:  # the other hull, behind
        apart = min(boat.get("hull_spacing_m") or 3.0, 3.2)
        far = [sheet.at(x, -apart, h) for x, h in ring]
        sheet.area(far, edge="quiet", width=0.7, order=1.9, joinstyle="round")
    house = sheet.ring(boat["deckhouse"])
    sheet.area(house, edge=None, order=2)
    sheet.line(house, width=0.9, order=2)
    # two strokes leave a double line: the shell, cut through
    shell = sheet.area(sheet.ring(ring), width=3.6, order=2, joinstyle="round")
    sheet.area(sheet.ring(ring), None, "hull", 2.0, 2.1, joinstyle="round")
    level = sheet.at(0, 0, boat["cabin_sole_height_m"])[1]
    sole = sheet.line([(0, level), (WIDE, level)], "quiet", 0.6, 2.2, dashes=(10, 3, 2, 3))
    sole.set_clip_path(shell)
    waterline = sheet.line([(0, 0), (WIDE, 0)], "quiet", 0.5, 2.2)
    waterline.set_clip_path(shell)
    assert isinstance(shell, Polygon)
    return shell


def _front(part: Mapping[str, Any]) -> int:
    """Return 0 for a metal hull, which lies behind all else, 1 for starboard, 2 for the rest."""
    return 0 if part["shape"] == "hull" else 2 if part["y_m"] >= -0.05 else 1


def _shape(part: Mapping[str, Any], view: Mapping[str, Any], share: float) -> Any:
    """Return a part's outline on the page [m]; keels and metal hulls follow the boat's own outline."""
    if part["shape"] == "hull":
        return hull_band(view["boat"]["profile"])
    if part["shape"] == "keel":
        x, y = middle(part)
        return [(x + dx, y + dy) for dx, dy in keel_outline(part, view["boat"])]
    return outline(part, view["parts"], share)


def draw_metal(sheet: Sheet, view: Mapping[str, Any]) -> None:
    """Draw every part, starboard behind port; an anode as its worn outline inside its new one."""
    parts = view["parts"]
    for part in sorted(parts, key=lambda p: (_front(p), p["shape"] not in BEHIND, p["y_m"])):
        back = part["y_m"] < -0.05
        edge, order = ("quiet", 3.0) if back else ("ink", 4.0)
        if part["anode"]:
            new = sheet.ring(outline(part, parts))
            sheet.area(new, None, edge, 0.7, order, linestyle=(0, (3, 2)))
        left = sheet.ring(_shape(part, view, max(part["remaining"], 0.02)))
        hatched(sheet.area(left, edge=edge, width=0.7, order=order), part["family"])
