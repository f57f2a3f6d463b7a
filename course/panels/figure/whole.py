"""The scene as a still figure for print, export and the README: what the scene shows it shows, legible in greyscale.

As wide as a printed page's text (7.2 inches), with type of 7 points: from the top the bench, the boat, the key, the breaker panel.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from matplotlib.figure import Figure

from course.boats.wording import capital
from course.panels.figure.aboard import (
    draw_bilge,
    draw_hoses,
    draw_links_and_points,
    draw_supply,
    draw_wires,
    hoses_of,
)
from course.panels.figure.bench import BENCH_TALL, draw_in_hand, draw_meter, draw_panel
from course.panels.figure.boat import draw_hull, draw_metal, draw_scales, draw_water
from course.panels.figure.far import draw_neighbours
from course.panels.figure.hand import draw_held
from course.panels.figure.held import Held, held_of
from course.panels.figure.ink import DARK, LIGHT, hatched
from course.panels.figure.inside import place_inside
from course.panels.figure.labels import Placed, draw_labels, labels_of
from course.panels.figure.look import draw_look, look_words
from course.panels.figure.outside import place_outside
from course.panels.figure.sheet import EDGE, LINE, WIDE, Sheet, page_box, sheet_for, text_width, wrapped

POINTS_PER_INCH = 72.0
SWATCH = 20.0
FAMILY_WORDS = {
    "anode": "anode, alloy not marked",
    "copper_alloy": "copper alloy",
    "stainless": "stainless steel",
    "nickel_alloy": "nickel alloy",
    "lead_tin": "lead and tin",
}


def _key_items(view: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield the key's entries: a family of metal or a kind of line, and its words."""
    for family in dict.fromkeys(part["family"] for part in view["parts"]):
        yield family, FAMILY_WORDS.get(family, family.replace("_", " "))
    gauges = list(dict.fromkeys(w["label"] for w in view["conductors"] if not w.get("contact")))
    if gauges:
        yield ":wire", "conductor" + (f", {', '.join(gauges)}" if len(gauges) < 4 else "")
    if hoses_of(view):
        yield ":hose", "hose"
    if any(part["anode"] for part in view["parts"]):
        yield ":new", "anode when new"
    if view["points"]:
        yield ":point", "bare metal for the clip"
    if view.get("look"):
        yield ":path", "way of the current"
        yield ":level", "equal potential, mV against water far away"


def _swatch(sheet: Sheet, kind: str, x: float, y: float) -> None:
    """Draw a sample in the box whose lower left corner is (x, y)."""
    middle = [(x, y + 4.5), (x + SWATCH, y + 4.5)]
    if kind in (":wire", ":path", ":level"):
        style: Any = ":" if kind == ":level" else "-"
        sheet.line(middle, "quiet" if kind == ":level" else "ink", 1.0, 6, linestyle=style)
        if kind == ":path":
            sheet.line([(x + 9, y + 6.5), (x + 12, y + 4.5), (x + 9, y + 2.5)], width=0.8, order=6)
    elif kind == ":hose":
        sheet.line(middle, "quiet", 3.6, 6, solid_capstyle="butt")
        sheet.line(middle, "hull", 2.4, 6.1, solid_capstyle="butt")
        sheet.line(middle, "quiet", 2.4, 6.2, linestyle=(0, (0.25, 1.5)), dash_capstyle="butt")
    elif kind == ":new":
        sheet.box(x + 3, y, SWATCH - 6, 9, None, width=0.7, order=6, linestyle=(0, (3, 2)))
    elif kind == ":point":
        sheet.dot((x + SWATCH / 2, y + 4.5), "s", 5.0, order=6)
        sheet.dot((x + SWATCH / 2, y + 4.5), "+", 2.4, "ink", order=6.1)
    else:
        hatched(sheet.box(x, y, SWATCH, 9, width=0.7, order=6), kind)


def _key(sheet: Sheet, view: Mapping[str, Any], top: float) -> float:
    """Draw the key in lines under ``top``; return its lower edge."""
    x = EDGE
    for kind, words in _key_items(view):
        wide = SWATCH + 4 + text_width(words) + 14
        if x > EDGE and x + wide > WIDE:
            x, top = EDGE, top - 13.0
        _swatch(sheet, kind, x, top - 9)
        sheet.words(x + SWATCH + 4, top - 1, words)
        x += wide
    return top - 18.0


def _title(sheet: Sheet, view: Mapping[str, Any]) -> float:
    """Write whose boat it is, where she lies and what lies beside her; return the upper edge."""
    boat, berth = view["boat"], view["berth"]
    words = (
        f"{berth['marina']}, berth {berth['name']}. {capital(berth['water'])}, "
        f"{berth['water_temperature_degC']} °C, salinity {berth['salinity']}."
    )
    seen = "; ".join(other["label"] for other in view.get("neighbours") or [])
    lines = wrapped(f"{words}{f' In sight: {seen}.' if seen else ''}", WIDE - 2 * EDGE)
    top = sheet.sky + BENCH_TALL + 22 + LINE * len(lines)
    name = f"{boat['name']}, {boat['kind']}, {boat['length_m']} m"
    sheet.words(EDGE, top - 4, name, fontsize=9.5, fontweight="bold")
    for i, line in enumerate(lines):
        sheet.words(EDGE, top - 18 - i * LINE, line)
    return top


def _boat(sheet: Sheet, view: Mapping[str, Any]) -> None:
    draw_water(sheet)
    draw_neighbours(sheet, view)
    draw_look(sheet, view)
    hull = draw_hull(sheet, view)
    draw_bilge(sheet, view, hull)
    draw_metal(sheet, view)
    draw_hoses(sheet, view)
    draw_wires(sheet, view)
    draw_supply(sheet, view)
    draw_links_and_points(sheet, view)


def _lettering(sheet: Sheet, view: Mapping[str, Any], held: Held, under: float) -> list[Placed]:
    labels = labels_of(sheet, view)
    inside = place_inside([label for label in labels if label.inside], sheet, view, held)
    named = [item.label for item in inside]
    rest = [label for label in labels if label not in named]
    return [*inside, *place_outside(rest, sheet, view, under, held.cell_box)]


def scene_figure(view: Mapping[str, Any], dark: bool = False) -> Figure:
    """Return the drawing of a slip's view as a matplotlib figure, axes in points; ``dark`` is for dark pages.

    ``view`` is the dict of ``Slip.view()``, with or without a look layer. Families of metal are told by hatching and by words.
    """
    ink = DARK if dark else LIGHT
    figure = Figure(facecolor=ink["paper"])
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    sheet = sheet_for(axes, view, ink)
    _boat(sheet, view)
    under = draw_scales(sheet, view) - 4
    held = held_of(sheet, view, draw_meter(sheet, view["meter"]))
    placed = _lettering(sheet, view, held, under)
    draw_labels(sheet, placed)
    sheet.box(0, sheet.sky, WIDE, BENCH_TALL + 60, "paper", edge=None, order=5.8)  # a mast is cut off
    draw_held(sheet, view, held)
    draw_in_hand(sheet, view)
    low = min([under, *(item.top - item.label.tall for item in placed)]) - 8
    for words in look_words(view.get("look")):
        for line in wrapped(words, WIDE - 2 * EDGE):
            sheet.words(EDGE, low, line)
            low -= LINE
        low -= 3
    low = draw_panel(sheet, view, _key(sheet, view, low))
    high = _title(sheet, view)
    page_box(sheet, low, high)
    figure.set_size_inches(WIDE / POINTS_PER_INCH, (high - low) / POINTS_PER_INCH)
    return figure
