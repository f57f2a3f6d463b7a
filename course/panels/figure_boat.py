"""The boat of the still figure: water, hull cut open, metal hatched by family, wires. In metres."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matplotlib.axes import Axes
from matplotlib.patches import Patch, Polygon, Rectangle

from course.panels.figure_drives import hull_band, keel_outline
from course.panels.figure_shapes import middle, on_wire, outline, page

Ink = Mapping[str, str]
LIGHT = {
    "paper": "#f8f5ed",
    "ink": "#1c2830",
    "quiet": "#4d5a61",
    "water": "#dfebee",
    "bed": "#d8cfbc",
    "hull": "#fdfbf6",
    "accent": "#a5341a",
}
DARK = {
    "paper": "#15191c",
    "ink": "#d5dadb",
    "quiet": "#a3adb1",
    "water": "#1b2a32",
    "bed": "#37322a",
    "hull": "#1d2225",
    "accent": "#ff9b70",
}
HATCHES = {
    "anode": "xxxxx",
    "zinc": "xxxxx",
    "aluminium": "||..",
    "magnesium": "....",
    "steel": "////",
    "iron": "\\\\\\\\",
    "stainless": "-----",
    "copper_alloy": "//////",
    "nickel_alloy": "\\\\\\\\\\\\",
    "titanium": "|||||",
    "carbon": "+++++",
    "lead_tin": "oo",
}


def _block(axes: Axes, x: float, y: float, wide: float, tall: float, **ink: Any) -> None:
    axes.add_patch(Rectangle((x, y), wide, tall, **ink))


def draw_water(axes: Axes, view: Mapping[str, Any], ink: Ink, west: float, east: float) -> None:
    """Draw water and bed between two ends [m forward of the transom]."""
    depth = view["berth"]["depth_m"]
    _block(axes, west, -depth, east - west, depth, facecolor=ink["water"], zorder=0)
    bed: dict[str, Any] = {
        "facecolor": ink["bed"],
        "edgecolor": ink["quiet"],
        "hatch": "\\\\",
        "linewidth": 0,
        "zorder": 0,
    }
    _block(axes, west, -depth - 0.22, east - west, 0.22, **bed)
    axes.plot([west, east], [0, 0], color=ink["ink"], linewidth=0.8, zorder=1)
    axes.plot([west, east], [-depth, -depth], color=ink["ink"], linewidth=1.1, zorder=1)


def draw_hull(axes: Axes, view: Mapping[str, Any], ink: Ink) -> None:
    """Draw the hull cut open along its length, the deckhouse, and the cabin sole."""
    boat = view["boat"]
    paper: dict[str, Any] = {"facecolor": ink["hull"], "zorder": 2}
    axes.add_patch(Polygon(boat["deckhouse"], closed=False, edgecolor=ink["ink"], linewidth=0.9, **paper))
    # two strokes leave a double line: the shell, cut through
    shell = Polygon(boat["profile"], edgecolor=ink["ink"], linewidth=4.4, joinstyle="round", **paper)
    core = Polygon(
        boat["profile"], fill=False, edgecolor=ink["hull"], linewidth=2.4, joinstyle="round", zorder=2.1
    )
    axes.add_patch(shell)
    axes.add_patch(core)
    thin: dict[str, Any] = {"color": ink["quiet"], "linewidth": 0.7, "dashes": (10, 3, 2, 3), "zorder": 2.2}
    (sole,) = axes.plot([0, boat["length_m"]], [boat["cabin_sole_height_m"]] * 2, **thin)
    sole.set_clip_path(shell)


def hatched(shape: Patch, family: str) -> Patch:
    """Return the shape, hatched as its family of metal is."""
    shape.set_hatch(HATCHES.get(family, "////"))
    shape.set_hatch_linewidth(0.5)
    return shape


def _front(part: Mapping[str, Any]) -> int:
    """Return 0 for a metal hull, which lies behind all else, 1 for starboard, 2 for the rest."""
    return 0 if part["shape"] == "hull" else 2 if part["y_m"] >= -0.05 else 1


def _shape(part: Mapping[str, Any], view: Mapping[str, Any], share: float) -> Any:
    """Return a part's outline on the page [m]; keels and metal hulls follow the boat's own outline."""
    if part["shape"] == "hull":
        return [page(x, 0.0, height) for x, height in hull_band(view["boat"]["profile"])]
    if part["shape"] == "keel":
        x, y = middle(part)
        return [(x + dx, y + dy) for dx, dy in keel_outline(part, view["boat"])]
    return outline(part, view["parts"], share)


def draw_metal(axes: Axes, view: Mapping[str, Any], ink: Ink) -> None:
    """Draw every part, starboard behind port; an anode as its worn outline inside its new one."""
    behind, parts = ("hull", "keel", "shaft", "engine", "strut", "through_hull"), view["parts"]
    for part in sorted(parts, key=lambda p: (_front(p), p["shape"] not in behind, p["y_m"])):
        back = part["y_m"] < -0.05
        line: dict[str, Any] = {
            "linewidth": 0.8,
            "edgecolor": ink["quiet" if back else "ink"],
            "zorder": 3.0 if back else 4.0,
        }
        if part["anode"]:
            axes.add_patch(Polygon(outline(part, parts), fill=False, linestyle=(0, (3, 2)), **line))
        left = _shape(part, view, max(part["remaining"], 0.02))
        axes.add_patch(hatched(Polygon(left, facecolor=ink["hull"], **line), part["family"]))


def draw_wires(axes: Axes, view: Mapping[str, Any], ink: Ink) -> None:
    """Draw conductors, links and bare metal for the clip."""
    for wire in view["conductors"]:
        if not wire.get("contact"):  # a contact of metal on metal is no wire
            xs, ys = zip(*(page(*point) for point in wire["path"]), strict=True)
            axes.plot(xs, ys, color=ink["hull"], linewidth=2.6, zorder=3.4)
            axes.plot(xs, ys, color=ink["ink"], linewidth=1.2, zorder=3.5)
    mark: dict[str, Any] = {"color": ink["hull"], "markeredgecolor": ink["ink"], "zorder": 4.7}
    for link in view["links"]:
        x, y = on_wire(link, view["conductors"])
        far, up = (0.1, 0.22) if link["open"] else (0.17, 0.0)
        axes.plot([x - 0.17, x + 0.17], [y, y], color=ink["hull"], linewidth=3, zorder=4.5)
        axes.plot([x - 0.17, x + far], [y, y + up], color=ink["ink"], linewidth=1.8, zorder=4.6)
        axes.plot([x - 0.17, x + 0.17], [y, y], "o", markersize=4, **mark)
    for point in view["points"]:
        x, y = page(point["x_m"], point["y_m"], point["height_m"])
        axes.plot([x], [y], "s", markersize=5.5, **mark)
