"""What the learner holds, in the still figure: meter, leads and reference cell, all in the one accent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from matplotlib.axes import Axes
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from course.panels.figure_boat import Ink
from course.panels.figure_shapes import page

TEXT_POINTS = 9.0
METER_WIDE, METER_TALL, METER_CLEAR = 0.287, 0.081, 0.015  # of the drawing's width
Point = tuple[float, float]


def _curve(axes: Axes, start: Point, end: Point, ink: Ink) -> None:
    sag = max(0.5, abs(start[1] - end[1]) * 0.5)
    bend = [start, (start[0], start[1] - sag), (end[0], end[1] + sag), end]
    path = Path(bend, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    axes.add_patch(PathPatch(path, fill=False, edgecolor=ink["accent"], linewidth=1.8, zorder=6))


def gunwale(profile: list[list[float]], x_m: float) -> Point:
    """Return the place [m] on the hull's upper edge nearest to ``x_m``."""
    near = min(max(x_m, min(p[0] for p in profile)), max(p[0] for p in profile))
    height = 0.0
    for (x1, h1), (x2, h2) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if min(x1, x2) <= near <= max(x1, x2):
            height = max(height, max(h1, h2) if x1 == x2 else h1 + (h2 - h1) * (near - x1) / (x2 - x1))
    return near, height


class Frame(NamedTuple):
    """The drawing's ends and the meter's top [m], and what follows from them."""

    west: float
    east: float
    top: float

    @property
    def wide(self) -> float:
        """Return the meter's width [m]."""
        return METER_WIDE * (self.east - self.west)

    @property
    def foot(self) -> float:
        """Return the height of the meter's lower edge [m]."""
        return self.top - METER_TALL * (self.east - self.west)

    @property
    def left(self) -> float:
        """Return where the meter begins [m forward of the transom]."""
        return self.east - self.wide - METER_CLEAR * (self.east - self.west)


def _meter(axes: Axes, meter: Mapping[str, Any], ink: Ink, frame: Frame) -> dict[str, Point]:
    """Draw the meter; return where each jack is."""
    foot, left, wide, tall = frame.foot, frame.left, frame.wide, frame.top - frame.foot
    box: dict[str, Any] = {"facecolor": ink["hull"], "edgecolor": ink["ink"], "linewidth": 1.6, "zorder": 6.5}
    axes.add_patch(Rectangle((left, foot), wide, tall, **box))
    words: dict[str, Any] = {"color": ink["ink"], "zorder": 7}
    shown = f"{meter['display'] or '     '} {meter['unit']}"
    axes.text(left + wide / 2, frame.top - 0.38 * tall, shown, fontsize=21, ha="center", va="center", **words)
    axes.text(
        left + 0.03 * wide,
        foot + 0.09 * tall,
        f"dial {meter['dial']}",
        fontsize=TEXT_POINTS,
        va="bottom",
        **words,
    )
    jacks = {jack: (left + wide * (0.44 + 0.19 * i), foot) for i, jack in enumerate(meter["jacks"])}
    for jack, (x, y) in jacks.items():
        axes.text(
            x,
            y + 0.09 * tall,
            jack,
            fontsize=TEXT_POINTS,
            fontweight="bold",
            ha="center",
            va="bottom",
            **words,
        )
        axes.plot([x], [y], "o", color=ink["paper"], markeredgecolor=ink["ink"], markersize=6, zorder=7)
    return jacks


def draw_held(axes: Axes, view: Mapping[str, Any], ink: Ink, frame: Frame) -> None:
    """Draw meter, leads and cell."""
    leads, cell = view["leads"], view["cell"]
    jacks, loose = _meter(axes, view["meter"], ink, frame), (frame.left - 0.4, frame.foot)
    gx, gy = gunwale(view["boat"]["profile"], cell["x_m"])
    x, y = (cell["x_m"], -cell["depth_m"]) if cell["in_water"] else (gx, gy + 0.3)
    cable: dict[str, Any] = {"color": ink["accent"], "linewidth": 1.8, "zorder": 6}
    _curve(
        axes,
        jacks.get(leads["cell lead"]["jack"] or "", loose),
        (gx, gy if cell["in_water"] else y + 0.25),
        ink,
    )
    if cell["in_water"]:
        axes.plot([gx, x, x], [gy, min(gy, 0.3), y], **cable)
    body: dict[str, Any] = {
        "facecolor": ink["accent"],
        "edgecolor": ink["paper"],
        "linewidth": 1,
        "zorder": 7,
    }
    axes.add_patch(Rectangle((x - 0.11, y - 0.25), 0.22, 0.5, **body))
    point = next((p for p in view["points"] if p["id"] == leads["test lead"]["point"]), None)
    ex, ey = (
        page(point["x_m"], point["y_m"], point["height_m"]) if point else (loose[0] - 0.5, loose[1] - 0.5)
    )
    _curve(axes, jacks.get(leads["test lead"]["jack"] or "", loose), (ex, ey), ink)
    clip: dict[str, Any] = {
        "color": ink["accent"],
        "markeredgecolor": ink["paper"],
        "markersize": 9,
        "zorder": 7,
    }
    axes.plot([ex], [ey + 0.09], "v", **clip)
