"""The scene as a still figure for print, export and the README: the same drawing, legible in greyscale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from course.panels.figure_boat import DARK, LIGHT, Ink, draw_hull, draw_metal, draw_water, draw_wires, hatched
from course.panels.figure_drives import keel_outline
from course.panels.figure_hand import TEXT_POINTS, Frame, draw_held
from course.panels.figure_labels import Placed, labels_of, steps, width_m
from course.panels.figure_shapes import middle

INCHES_WIDE = 12.0
AXES_SHARE = 0.92  # of the figure's width, what scales and margins leave to the drawing
KEY_COLUMNS, KEY_BELOW_INCHES = 6, 0.6
FAMILY_WORDS = {
    "anode": "anode, alloy not marked",
    "copper_alloy": "copper alloy",
    "stainless": "stainless steel",
    "nickel_alloy": "nickel alloy",
    "lead_tin": "lead and tin",
}


def _letter(axes: Axes, placed: list[Placed], ink: Ink, line_m: float) -> None:
    for item in placed:
        (ex, ey), upward = item.label.end, item.shelf > item.label.end[1]
        foot = item.top - line_m * len(item.label.lines) if upward else item.top
        axes.plot([ex, item.x, item.x], [ey, item.shelf, foot], color=ink["quiet"], linewidth=0.6, zorder=5)
        axes.plot([ex], [ey], "o", color=ink["quiet"], markersize=2, zorder=5)
        for i, line in enumerate(item.label.lines):
            style: dict[str, Any] = {
                "fontsize": TEXT_POINTS,
                "fontstyle": "italic" if i else "normal",
                "color": ink["ink"],
            }
            axes.text(item.x + 0.05, item.top - i * line_m, line, va="top", zorder=5.5, **style)


def _key(axes: Axes, view: Mapping[str, Any], ink: Ink, below: float) -> None:
    swatches = []
    for family in dict.fromkeys(part["family"] for part in view["parts"]):
        words = FAMILY_WORDS.get(family, family.replace("_", " "))
        plain = Rectangle(
            (0, 0), 1, 1, facecolor=ink["hull"], edgecolor=ink["ink"], linewidth=0.8, label=words
        )
        swatches.append(hatched(plain, family))
    where: dict[str, Any] = {
        "loc": "upper left",
        "bbox_to_anchor": (0.0, -below),
        "ncols": KEY_COLUMNS,
        "borderaxespad": 0.2,
    }
    look: dict[str, Any] = {
        "fontsize": TEXT_POINTS,
        "labelcolor": ink["ink"],
        "handlelength": 2.4,
        "handleheight": 1.3,
    }
    axes.legend(handles=swatches, frameon=False, **where, **look)


def _frame(axes: Axes, view: Mapping[str, Any], ink: Ink, box: tuple[float, float, float, float]) -> None:
    west, east, low, high = box
    boat, berth = view["boat"], view["berth"]
    axes.set(xlim=(west, east), ylim=(low, high), aspect="equal", facecolor=ink["paper"])
    axes.set_xticks(range(0, int(boat["length_m"]) + 1))
    depths = range(0, int(berth["depth_m"]) + 1)
    axes.set_yticks([-d for d in depths], labels=[str(d) for d in depths])
    axes.yaxis.tick_right()
    axes.yaxis.set_label_position("right")
    axes.set_xlabel("metres forward of the transom", color=ink["ink"], fontsize=TEXT_POINTS)
    axes.set_ylabel("depth, metres", color=ink["ink"], fontsize=TEXT_POINTS)
    axes.yaxis.set_label_coords(1.035, (-berth["depth_m"] / 2 - low) / (high - low))
    axes.tick_params(colors=ink["ink"], labelsize=TEXT_POINTS)
    for side in axes.spines.values():
        side.set_visible(False)
    title = (
        f"{boat['name']}, {boat['kind']}, {boat['length_m']} m.  {berth['marina']}, berth {berth['name']}: "
        f"{berth['water']}, {berth['water_temperature_degC']} °C"
    )
    axes.set_title(title, loc="left", color=ink["ink"], fontsize=11)


def _labels(view: Mapping[str, Any], west: float, east: float, line_m: float) -> list[Placed]:
    labels = labels_of(view)
    metre_points = 72 * INCHES_WIDE * AXES_SHARE / (east - west)
    widths = {label: width_m(label, TEXT_POINTS, metre_points) for label in labels}
    inside, outside = [x for x in labels if x.inside], [x for x in labels if not x.inside]
    roof = max(height for _, height in [*view["boat"]["deckhouse"], *view["boat"]["profile"]]) + 0.15
    feet = [
        middle(p)[1] + keel_outline(p, view["boat"])[-1][1] for p in view["parts"] if p["shape"] == "keel"
    ]
    shelf = min([label.end[1] - 0.28 for label in outside] + [foot - 0.08 for foot in feet] or [-0.28])
    step = 2.35 * line_m
    rows = max(2, int((view["berth"]["depth_m"] + shelf) / step))
    below = steps(outside, [widths[x] for x in outside], shelf, step, rows, east - 0.2, upward=False)
    above = steps(
        inside, [widths[x] for x in inside], roof, step, 2, Frame(west, east, 0.0).left - 0.2, upward=True
    )
    return [*below, *above]


def scene_figure(view: Mapping[str, Any], dark: bool = False) -> Figure:
    """Return the drawing of a slip's view as a matplotlib figure, axes in metres; ``dark`` is for dark pages.

    ``view`` is the dict of ``Slip.view()``. Families of metal are told by hatching and by words.
    """
    ink = DARK if dark else LIGHT
    limits = view["cell"]["limits"]["x_m"]
    west = (
        min(
            [
                limits[0],
                *(middle(part)[0] - part["length_m"] for part in view["parts"] if part["shape"] != "hull"),
            ]
        )
        - 0.1
    )
    east = limits[1] + 0.1
    line_m = 1.25 * TEXT_POINTS * (east - west) / (72 * INCHES_WIDE * AXES_SHARE)
    placed = _labels(view, west, east, line_m)
    high = max([3.0, *(item.top for item in placed), *(h for _, h in view["boat"]["deckhouse"])]) + 0.3
    low = min([item.top - 2 * line_m for item in placed] + [-view["berth"]["depth_m"] - 0.3])
    key_rows = -(-len({part["family"] for part in view["parts"]}) // KEY_COLUMNS)
    drawn = INCHES_WIDE * AXES_SHARE * (high - low) / (east - west)
    tall = drawn + 1.35 + 0.25 * key_rows
    figure = Figure(figsize=(INCHES_WIDE, tall), facecolor=ink["paper"], layout="constrained")
    axes = figure.add_subplot()
    draw_water(axes, view, ink, west, east)
    draw_hull(axes, view, ink)
    draw_metal(axes, view, ink)
    draw_wires(axes, view, ink)
    draw_held(axes, view, ink, Frame(west, east, high - 0.1))
    _letter(axes, placed, ink, line_m)
    _key(axes, view, ink, KEY_BELOW_INCHES / drawn)
    _frame(axes, view, ink, (west, east, low, high))
    return figure
