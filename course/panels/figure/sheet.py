"""The sheet a still figure is drawn on: as wide as a printed page's text, axes in points, with places of the boat in metres.

A point is 1/72 inch. The surface of the water is at height 0; x counts from the sheet's left edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Patch, Polygon, Rectangle
from matplotlib.textpath import text_to_path
from numpy.typing import NDArray

from course.panels.figure.ink import Ink
from course.panels.figure.shapes import page

Point = tuple[float, float]
WIDE = 518.4  # 7.2 inches: the text of a printed page
TEXT, LINE = 7.0, 8.8  # size of type, and from line to line
HINTED = 1.04  # letters fitted to a screen's pixels are that much wider than their outlines
SCALE_ROOM, EDGE = 34.0, 4.0  # kept free for the depth scale at the right, and at the left
MOST_SCALE = 66.0  # points a metre: a small boat is not drawn larger than this
LEAST_SKY, MOST_SKY = 92.0, 215.0  # between the water and the bench; a mast is cut off


@lru_cache(maxsize=4096)
def text_width(words: str, size: float = TEXT, bold: bool = False) -> float:
    """Return how wide a line of type is [points]."""
    if not words.strip():
        return 0.0
    font = FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal")
    wide, _, _ = text_to_path.get_text_width_height_descent(words, font, False)
    return HINTED * float(wide) * size / font.get_size()


def wrapped(text: str, most: float, size: float = TEXT) -> list[str]:
    """Return the text in lines no wider than ``most`` points, unless a single word is."""
    lines = [""]
    for word in text.split(" "):  # a space that does not break stays
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size) > most:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


@dataclass(frozen=True)
class Sheet:
    """Axes in points, the colours, and where metres beside the boat come to stand: ``scale`` points to each."""

    axes: Axes
    ink: Ink
    scale: float
    left: float
    east: float
    sky: float
    depth: float

    def spot(self, place_m: Sequence[float]) -> Point:
        """Return where a place of the page in metres stands [points]."""
        return self.left + self.scale * place_m[0], self.scale * place_m[1]

    def at(self, x_m: float, y_m: float, height_m: float) -> Point:
        """Return where a place of the boat stands [points]."""
        return self.spot(page(x_m, y_m, height_m))

    def ring(self, outline: Iterable[Sequence[float]]) -> NDArray[np.float64]:
        """Return an outline in metres of the page (n, 2) as points."""
        return np.array([self.spot(place) for place in outline], dtype=float)

    def line(self, points: Any, ink: str = "ink", width: float = 0.8, order: float = 5.0, **more: Any) -> Any:
        """Draw a line through points and return it."""
        xs, ys = zip(*points, strict=True)
        return self.axes.plot(xs, ys, color=self.ink[ink], linewidth=width, zorder=order, **more)[0]

    def area(
        self,
        points: Any,
        fill: str | None = "hull",
        edge: str | None = "ink",
        width: float = 0.8,
        order: float = 4.0,
        **more: Any,
    ) -> Patch:
        """Draw a closed shape and return it; without ``fill`` or ``edge`` it has none."""
        look: dict[str, Any] = {"facecolor": self.ink[fill] if fill else "none", "zorder": order}
        look |= {"edgecolor": self.ink[edge] if edge else "none", "linewidth": width if edge else 0.0}
        return self.axes.add_patch(Polygon(points, **{**look, **more}))

    def box(
        self, x: float, y: float, wide: float, tall: float, fill: str | None = "hull", **more: Any
    ) -> Patch:
        """Draw a box by its lower left corner."""
        corners = [(x, y), (x + wide, y), (x + wide, y + tall), (x, y + tall)]
        return self.area(corners, fill, **more)

    def words(self, x: float, y: float, text: str, order: float = 7.0, halo: str = "", **more: Any) -> None:
        """Write a line of type, its top at ``y``; ``halo`` is the colour of the ground it stands on."""
        look: dict[str, Any] = {"fontsize": TEXT, "color": self.ink["ink"], "va": "top", "ha": "left"}
        if halo:  # a plain ground; an outline round each letter would make a drawing of a megabyte
            look["bbox"] = {"facecolor": self.ink[halo], "edgecolor": "none", "pad": 0.4}
        self.axes.text(x, y, text, **{**look, "zorder": order, **more})

    def dot(
        self, at: Point, sign: str, size: float, fill: str = "hull", edge: str = "ink", order: float = 4.7
    ) -> None:
        """Set a mark of ``size`` points."""
        look: dict[str, Any] = {"color": self.ink[fill], "markeredgecolor": self.ink[edge], "zorder": order}
        self.axes.plot([at[0]], [at[1]], sign, markersize=size, markeredgewidth=0.7, **look)


def sheet_for(axes: Axes, view: Mapping[str, Any], ink: Ink) -> Sheet:
    """Return the sheet for a slip's view: the boat as large as the page allows, the sky high enough for her names."""
    boat, parts = view["boat"], view["parts"]
    ends = [part["x_m"] - part["length_m"] / 2 for part in parts if part["shape"] != "hull"]
    west = min([view["cell"]["limits"]["x_m"][0], *ends]) - 0.1
    east = max(view["cell"]["limits"]["x_m"][1], boat["length_m"])
    room = WIDE - EDGE - SCALE_ROOM
    scale = min(room / (east - west), MOST_SCALE)
    left = EDGE + (room - scale * (east - west)) / 2 - west * scale
    inside = [part for part in parts if part["inside"]]
    heights = [h for _, h in (*boat["profile"], *boat["deckhouse"])] + [p["height_m"] for p in inside]
    crowd = min(
        max((len(inside) + len(view["points"]) / 4 - 5) * 8, 0.0), 76.0
    )  # for the names of what is inside
    sky = min(max(max(heights) * scale + 22 + crowd, LEAST_SKY), MOST_SKY)
    return Sheet(axes, ink, scale, left, left + east * scale, sky, view["berth"]["depth_m"] * scale)


def page_box(sheet: Sheet, low: float, high: float) -> None:
    """Fill the sheet with paper, from ``low`` to ``high`` points, and take the axes' own lines away."""
    sheet.axes.set(xlim=(0, WIDE), ylim=(low, high))
    sheet.axes.axis("off")
    paper = Rectangle((0, low), WIDE, high - low, facecolor=sheet.ink["paper"], zorder=-1)
    sheet.axes.add_patch(paper)
