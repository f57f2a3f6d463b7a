"""The water made visible, for print: lines of equal potential with their numbers, and the ways the current takes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matplotlib.collections import LineCollection

from course.panels.figure.drives import bottom_at
from course.panels.figure.sheet import SCALE_ROOM, WIDE, Point, Sheet

View = Mapping[str, Any]
HIDDEN_M = 0.12  # under the hull's skin a number would stand on the shell


def _free(sheet: Sheet, view: View, place: Point, taken: list[Point]) -> bool:
    x_m, depth_m = place
    (x, y), boat = sheet.spot((x_m, -depth_m)), view["boat"]
    aside = x_m < 0 or x_m > boat["length_m"] or -depth_m < bottom_at(boat["profile"], x_m) - HIDDEN_M
    inside = 12 < x < WIDE - SCALE_ROOM - 12 and 6 - sheet.depth < y
    return depth_m > 0.2 and aside and inside and all(abs(x - a) > 30 or abs(y - b) > 14 for a, b in taken)


def _numbers(sheet: Sheet, view: View, lines: list[View]) -> None:
    taken: list[Point] = []
    for line in lines:
        places = [(segment[0], segment[1]) for segment in line["segments"]]
        clear = [place for place in places if _free(sheet, view, place, taken)]
        if clear:
            x_m, depth_m = clear[len(clear) // 2]
            at = sheet.spot((x_m, -depth_m))
            taken.append(at)
            words = f"{line['mV']:g}".replace("-", "\N{MINUS SIGN}")
            sheet.words(*at, words, 1.9, "water", ha="center", va="center", fontweight="bold")


def draw_look(sheet: Sheet, view: View) -> None:
    """Draw the layer if the view has one: grey dotted lines of potential, ink lines with an arrow for the current."""
    look = view.get("look")
    if not look:
        return
    for line in look["lines"]:
        pieces = [[sheet.spot((a, -b)), sheet.spot((c, -d))] for a, b, c, d in line["segments"]]
        style: dict[str, Any] = {"colors": sheet.ink["quiet"], "linewidths": 0.7, "zorder": 1.6}
        sheet.axes.add_collection(LineCollection(pieces, linestyles="dotted", **style))
    for path in look.get("paths", ()):
        points = [sheet.spot((x, -depth)) for x, depth in path["points"]]
        sheet.line(points, width=0.8, order=1.7)
        k = len(points) // 2
        style = {"arrowstyle": "->", "color": sheet.ink["ink"], "linewidth": 0.8, "mutation_scale": 7}
        ends: dict[str, Any] = {"xy": points[k], "xytext": points[max(k - 1, 0)]}
        sheet.axes.annotate("", **ends, arrowprops={**style, "shrinkA": 0, "shrinkB": 0}, zorder=1.7)
    _numbers(sheet, view, sorted(look["lines"], key=lambda line: line["mV"]))


def look_words(look: View | None) -> list[str]:
    """Return what the layer says in words, or nothing where there is no layer."""
    return list(look.get("words", ())) if look else []
