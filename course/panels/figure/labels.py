"""Labels for print: what is said of what is drawn, as in the scene, and how much room the words take [points]."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from course.boats.wording import capital
from course.panels.figure.aboard import battery_place
from course.panels.figure.drives import bottom_at
from course.panels.figure.shapes import middle, on_wire
from course.panels.figure.sheet import LINE, Point, Sheet, text_width, wrapped

NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
PART, METAL, POINT, LINK = 98.0, 118.0, 78.0, 104.0  # the widest lines of each kind of label
NEAR_M = 0.45  # a clip point so close to a part is told by the part
ASIDE = re.compile(r"\b(port|starboard)\s+|,\s*(port|starboard)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Label:
    """Lines of words, which of them are set in italics, the place they mean, and the lowest they reach down to it."""

    lines: tuple[str, ...]
    slanted: tuple[bool, ...]
    end: Point
    inside: bool
    foot: float

    @property
    def wide(self) -> float:
        """Return the width of the longest line."""
        return max(text_width(line) for line in self.lines) + 4.0

    @property
    def tall(self) -> float:
        """Return the height of all lines."""
        return len(self.lines) * LINE + 1.0


@dataclass(frozen=True)
class Placed:
    """A label with the left end and the top of its first line, and the leader from it to what it means."""

    label: Label
    x: float
    top: float
    path: tuple[Point, ...]


def _label(plain: Sequence[str], slanted: Sequence[str], end: Point, inside: bool) -> Label:
    styles = (*(False for _ in plain), *(True for _ in slanted))
    return Label((*plain, *slanted), styles, end, inside, end[1])


def _of_parts(sheet: Sheet, view: Mapping[str, Any]) -> Iterable[Label]:
    """Yield one label for each kind of part: twins share one, its leader to the nearest of them."""
    groups: dict[tuple[Any, ...], list[Mapping[str, Any]]] = {}
    for part in view["parts"]:
        plain = ASIDE.sub("", part["label"])
        groups.setdefault((plain, part["shape"], part["metal"], part["inside"]), []).append(part)
    for (plain, shape, metal, inside), parts in groups.items():
        many = f"{NUMBERS.get(len(parts), len(parts))} {plain}{'' if plain.endswith('s') else 's'}"
        near = max(parts, key=lambda part: part["y_m"])
        end = sheet.spot(middle(near))
        if shape == "hull":
            end = sheet.spot((near["x_m"], bottom_at(view["boat"]["profile"], near["x_m"]) + 0.03))
        words = wrapped(capital(many if len(parts) > 1 else parts[0]["label"]), PART)
        yield _label(words, wrapped(metal, METAL) if metal and metal not in plain else [], end, inside)


def _of_points(sheet: Sheet, view: Mapping[str, Any]) -> Iterable[Label]:
    solid = [part for part in view["parts"] if part["shape"] != "hull"]
    seen = set()
    for point in view["points"]:
        if point["id"].startswith("battery_"):
            told = bool(view.get("battery"))
        else:
            gaps = ((p["x_m"] - point["x_m"], p["height_m"] - point["height_m"]) for p in solid)
            told = any(math.hypot(*gap) < NEAR_M for gap in gaps)
        # the isolator's two terminals share a name
        words = "Galvanic isolator" if point["id"].startswith("isolator_") else capital(point["label"])
        if not told and words not in seen:
            seen.add(words)
            at = sheet.at(point["x_m"], point["y_m"], point["height_m"])
            yield _label(wrapped(words, POINT), [], at, True)


def labels_of(sheet: Sheet, view: Mapping[str, Any]) -> list[Label]:
    """Return a label for all that the scene names: parts, clip points apart, battery, links, water in the bilge."""
    labels = [*_of_parts(sheet, view), *_of_points(sheet, view)]
    post, bilge = battery_place(view), view.get("bilge")
    if view.get("battery") and post:
        at = sheet.at(post["x_m"] + 0.05, post["y_m"], post["height_m"] - 0.12)
        words = capital(view["battery"].get("label") or "battery")
        labels.append(_label(wrapped(words, POINT), [], at, True))
    for link in view["links"]:
        end = sheet.spot(on_wire(link, view["conductors"]))
        state = ["open" if link["open"] else "closed"]
        labels.append(_label(wrapped(capital(link["label"]), LINK), state, end, True))
    if bilge and bilge.get("x_m") is not None and bilge["water"] != "dry":
        at = sheet.at(bilge["x_m"] + 0.3 * bilge.get("length_m", 1.0), 0, bilge["height_m"])
        labels.append(_label(["Bilge water"], [], at, True))
    return labels


def draw_labels(sheet: Sheet, placed: Iterable[Placed]) -> None:
    """Write the labels and draw their leaders."""
    for item in placed:
        sheet.line([*item.path], "quiet", 0.5, 5)
        sheet.dot(item.path[-1], "o", 1.6, "quiet", "quiet", 5)
        wet = not item.label.inside and item.top > -sheet.depth
        halo = "" if item.label.inside else "water" if wet else "paper"
        to_left = item.label.inside and item.label.end[0] > item.x + item.label.wide / 2
        for i, (line, slanted) in enumerate(zip(item.label.lines, item.label.slanted, strict=True)):
            style = "italic" if slanted else "normal"
            x, ha = (item.x + item.label.wide - 2, "right") if to_left else (item.x + 2, "left")
            sheet.words(x, item.top - i * LINE - 0.5, line, 5.5, halo, fontstyle=style, ha=ha)
