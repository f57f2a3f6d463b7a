"""Labels of what is in the water: columns of steps in which no leader can cross another. In points.

Sorted along the boat, the aftmost label of a column stands lowest, so that each leader comes straight down on its own label's
left end. Where the water is too shallow for all of them they stand under the drawing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import Any

from course.panels.figure.drives import bottom_at
from course.panels.figure.held import Box
from course.panels.figure.labels import Label, Placed
from course.panels.figure.shapes import middle
from course.panels.figure.sheet import SCALE_ROOM, WIDE, Sheet

NOWHERE = (math.inf, math.inf, -math.inf, -math.inf)
FIN_OF_LENGTH, FIN_DEEP_M = (
    0.4,
    0.5,
)  # a keel shorter than this share of the boat, and deeper, parts the water in two


def _columns(labels: Sequence[Label], rows: int) -> list[Sequence[Label]]:
    return [labels[k : k + rows] for k in range(0, len(labels), rows)]


def _tops(labels: Sequence[Label], rows: int) -> list[float]:
    """Return where each row begins below the first, and at last where the lowest ends."""
    tall = [0.0] * rows
    for column in _columns(labels, rows):
        for i, label in enumerate(column):
            row = len(column) - 1 - i
            tall[row] = max(tall[row], label.tall)
    return list(accumulate((h + 1.5 for h in tall), initial=0.0))


def _meets(label: Label, x: float, top: float, box: Box) -> bool:
    return x < box[2] and box[0] < x + label.wide and top - label.tall < box[3] and box[1] < top


def _lay(
    labels: Sequence[Label], rows: int, shelf: float, top: float, start: float, keep: Box
) -> tuple[list[Placed], float]:
    """Return the labels in ``rows`` rows below ``top``, leaders bending at ``shelf``, and how far right they reach.

    ``keep`` is a box that no label stands in.
    """
    edges, down, placed = [start] * rows, _tops(labels, rows), []
    for column in _columns(labels, rows):
        last, new = start, {}
        for i, label in enumerate(column):
            row = len(column) - 1 - i
            x = last = max(label.end[0] - 2, last + 7, max(edges[: row + 1]) + 6)
            if _meets(label, x, top - down[row], keep):
                x = last = keep[2] + 4
            path = ((x + 1, top - down[row] - 1), (x + 1, shelf), label.end)
            placed.append(Placed(label, x, top - down[row], path))
            new[row] = x + label.wide
        for row, edge in new.items():
            edges[row] = edge
    return placed, max(edges)


def _in_water(
    labels: Sequence[Label], sheet: Sheet, shelf: float, start: float, limit: float, keep: Box
) -> list[Placed] | None:
    """Return the labels placed in the water, or None where it is too shallow or too narrow for them."""
    if not labels:
        return []
    ordered, room = sorted(labels, key=lambda label: label.end[0]), sheet.depth + shelf - 4
    for rows in range(len(ordered), 0, -1):
        if _tops(ordered, rows)[-1] <= room:
            placed, reach = _lay(ordered, rows, shelf, shelf - 2, start, keep)
            return placed if reach <= limit else None
    return None


def _below(labels: Sequence[Label], shelf: float, under: float, limit: float) -> list[Placed]:
    ordered = sorted(labels, key=lambda label: label.end[0])
    placed: list[Placed] = []
    for rows in range(min(2, len(ordered)), len(ordered) + 1):
        placed, reach = _lay(ordered, rows, shelf, under, -math.inf, NOWHERE)
        if reach <= limit:
            break
    return placed


def _split(
    labels: Sequence[Label], sheet: Sheet, view: Mapping[str, Any], limit: float, keep: Box
) -> list[Placed] | None:
    """A fin keel stands in the middle of the water: what lies abaft of it is named there, the rest before it."""
    boat = view["boat"]
    for part in view["parts"]:
        bottom = bottom_at(boat["profile"], part["x_m"])
        if (
            part["shape"] == "keel"
            and part["length_m"] < FIN_OF_LENGTH * boat["length_m"]
            and boat["draft_m"] + bottom > FIN_DEEP_M
        ):
            x, half = sheet.spot(middle(part))[0], 0.5 * part["length_m"] * sheet.scale + 5
            deepest = (bottom - 0.45) * sheet.scale
            shallow = [label for label in labels if label.foot >= deepest]
            abaft = [label for label in shallow if label.end[0] + label.wide < x - half]
            shelf = _shelf(shallow or labels, sheet)
            aft = _in_water(abaft, sheet, shelf, -math.inf, x - half, keep)
            rest = [label for label in labels if label not in abaft]
            fore = _in_water(rest, sheet, shelf, x + half, limit, keep)
            return None if aft is None or fore is None else [*aft, *fore]
    return None


def _shelf(labels: Sequence[Label], sheet: Sheet) -> float:
    return min(label.foot for label in labels) - 0.06 * sheet.scale - 3


def place_outside(
    labels: Sequence[Label], sheet: Sheet, view: Mapping[str, Any], under: float, keep: Box
) -> list[Placed]:
    """Return the labels placed in the water or, if it cannot hold them, below ``under``, the drawing's lower edge.

    ``keep`` is what the cell takes.
    """
    if not labels:
        return []
    limit, shelf = WIDE - SCALE_ROOM - 2, _shelf(labels, sheet)
    if view.get("look"):  # no words in water that is looked at
        return _below(labels, shelf, under, WIDE - 4)
    apart = _split(labels, sheet, view, limit, keep)
    if apart is not None:
        return apart
    placed = _in_water(labels, sheet, shelf, -math.inf, limit, keep)
    return placed if placed is not None else _below(labels, shelf, under, WIDE - 4)
