"""A drawing as a still figure for print and export; legible in greyscale."""

from __future__ import annotations

from typing import Any

from matplotlib import patheffects
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from course.panels.figure.ink import DARK, LIGHT
from course.panels.kit.layout import WIDE, Path, Text, laid_out
from course.panels.kit.plot import Drawing

DOTS_PER_INCH = 96.0
POINTS = 10.5  # print; its letters are wider than the screen's
STYLES: dict[str, Any] = {
    "solid": "-",
    "dashed": (0, (5, 3)),
    "dotted": (0, (1, 2.5)),
    "dash-dot": (0, (7, 2.5, 1, 2.5)),
}
ANCHORS = {"start": "left", "middle": "center", "end": "right"}


def _path(axes: Any, path: Path, ink: dict[str, str], order: int) -> None:
    width = path.width * 0.75
    look: dict[str, Any] = {"linewidth": width, "linestyle": STYLES[path.style], "zorder": order}
    if not path.closed:
        axes.plot(*zip(*path.points, strict=True), color=ink[path.stroke], solid_capstyle="butt", **look)
        return
    face = ink[path.fill] if path.fill else "none"
    if path.hatch:
        hatched = Polygon(path.points, facecolor=face, edgecolor=ink["quiet"], linewidth=0, zorder=order)
        hatched.set_hatch(path.hatch)
        hatched.set_hatch_linewidth(0.6)
        axes.add_patch(hatched)
        face = "none"
    axes.add_patch(Polygon(path.points, facecolor=face, edgecolor=ink[path.stroke], **look))


def _text(axes: Any, text: Text, ink: dict[str, str], order: int) -> None:
    look: dict[str, Any] = {
        "fontsize": POINTS,
        "color": ink[text.tone],
        "fontweight": "bold" if text.bold else "normal",
        "fontstyle": "italic" if text.italic else "normal",
        "rotation": 90 if text.turned else 0,
        "zorder": order,
    }
    shown = axes.text(text.x, text.y, text.words, ha=ANCHORS[text.side], va="center", **look)
    shown.set_path_effects([patheffects.withStroke(linewidth=3, foreground=ink["paper"])])


def paper(drawing: Drawing, dark: bool = False) -> Figure:
    """Return the drawing as a matplotlib figure of the size it has on the screen at 96 dots an inch."""
    ink, sheet = dict(DARK if dark else LIGHT), laid_out(drawing)
    size = (WIDE / DOTS_PER_INCH, (sheet.height + 30) / DOTS_PER_INCH)
    figure = Figure(figsize=size, facecolor=ink["paper"], dpi=DOTS_PER_INCH)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0, WIDE), ylim=(sheet.height, -30))
    axes.axis("off")
    axes.text(14, -14, drawing.title, fontsize=13, fontweight="bold", va="center", color=ink["ink"])
    for order, item in enumerate(sheet.items):
        if isinstance(item, Path):
            _path(axes, item, ink, order + 1)
        else:
            _text(axes, item, ink, order + 1)
    return figure
