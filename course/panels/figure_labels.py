"""Labels for print: what is said, and columns of steps in which no leader can cross another."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from course.panels.figure_shapes import middle, on_wire, page

NUMBERS = {2: "two", 3: "three", 4: "four"}


@dataclass(frozen=True)
class Label:
    """Words, the page point [m] they mean, and whether they belong inside the boat."""

    lines: tuple[str, ...]
    end: tuple[float, float]
    inside: bool


@dataclass(frozen=True)
class Placed:
    """A label with its left end, the top of its first line, and the height of its leader's bend [m]."""

    label: Label
    x: float
    top: float
    shelf: float


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def labels_of(view: Mapping[str, Any]) -> list[Label]:
    """Return one label for each kind of part (twins share one), each clip point apart, and each link."""
    groups: dict[tuple[Any, ...], list[Mapping[str, Any]]] = {}
    for part in view["parts"]:
        plain = re.sub(r"\b(port|starboard)\s+", "", part["label"], flags=re.IGNORECASE)
        groups.setdefault((plain, part["shape"], part["metal"], part["inside"]), []).append(part)
    labels = []
    for (plain, _shape, metal, inside), parts in groups.items():
        many = f"{NUMBERS.get(len(parts), str(len(parts)))} {plain}{'' if plain.endswith('s') else 's'}"
        words = many if len(parts) > 1 else parts[0]["label"]
        nearest = max(parts, key=lambda part: part["y_m"])
        labels.append(
            Label(
                (_capital(words), *([metal] if metal and metal not in plain else [])), middle(nearest), inside
            )
        )
    for point in view["points"]:
        far = all(
            abs(p["x_m"] - point["x_m"]) + abs(p["height_m"] - point["height_m"]) > 0.6 for p in view["parts"]
        )
        if far:
            labels.append(
                Label((_capital(point["label"]),), page(point["x_m"], point["y_m"], point["height_m"]), True)
            )
    for link in view["links"]:
        words = (_capital(link["label"]), "open" if link["open"] else "closed")
        labels.append(Label(words, on_wire(link, view["conductors"]), True))
    return labels


def width_m(label: Label, points: float, metre_points: float) -> float:
    """Return the width [m] of a label in type of ``points``, a metre being ``metre_points`` wide."""
    font = FontProperties(family="DejaVu Sans")
    return (
        max(float(TextPath((0, 0), line, size=points, prop=font).get_extents().width) for line in label.lines)
        / metre_points
    )


def steps(
    labels: Sequence[Label],
    widths: Sequence[float],
    shelf: float,
    step: float,
    rows: int,
    limit: float,
    upward: bool,
) -> list[Placed]:
    """Return the labels in columns of steps away from ``shelf`` [m]: down into the water, or up into the air.

    Sorted along the boat, the aftmost of a column stands farthest out, so that each leader reaches its own
    label's left end past no other label. The fewest rows, from ``rows`` on, that end before ``limit`` [m].
    """
    order = sorted(range(len(labels)), key=lambda i: labels[i].end[0])
    sign = 1.0 if upward else -1.0
    placed: list[Placed] = []
    for count in range(max(rows, 1), max(len(labels), rows, 1) + 1):
        edges = [float("-inf")] * count
        placed = []
        for first in range(0, len(order), count):
            column = order[first : first + count]
            last, new = float("-inf"), {}
            for row, i in zip(range(len(column) - 1, -1, -1), column, strict=True):
                x = last = max(labels[i].end[0], last + 0.18, max(edges[: row + 1]) + 0.2)
                placed.append(
                    Placed(
                        labels[i], x, shelf + sign * (row + (1 if upward else 0)) * step + sign * 0.05, shelf
                    )
                )
                new[row] = x + widths[i]
            for row, edge in new.items():
                edges[row] = edge
        if max(edges) <= limit:
            break
    return placed
