"""Labels of what is inside the boat: each takes the free place whose leader is shortest and crosses nothing. In points."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.panels.figure.aboard import battery_place, inlet_of, wire_paths
from course.panels.figure.held import JAW, PARKED_TALL, PARKED_WIDE, Box, Held
from course.panels.figure.labels import Label, Placed
from course.panels.figure.shapes import middle, on_wire
from course.panels.figure.sheet import WIDE, Point, Sheet

Array = NDArray[np.float64]
FLAT = {"plate": 3.0, "fastening": 3.0}  # half the height of what lies flat
LOW = {"shaft": 0.2, "heat_exchanger": 0.5, "engine": 0.7}  # of half its length
THROUGH, OVER = 260.0, 130.0  # what a leader through words, and over another leader, is held to cost
STEP_X, STEP_Y = 5.0, 4.0


def _metal_box(sheet: Sheet, part: Mapping[str, Any]) -> Box:
    (x, y), r = sheet.spot(middle(part)), max(part["length_m"] * sheet.scale, 9.0) / 2
    half = FLAT.get(part["shape"], r * LOW.get(part["shape"], 1.0))
    return x - r, y - half, x + r, y + half


def _pieces(points: Sequence[Point]) -> Iterator[Box]:
    """Yield a line cut into short boxes."""
    for (x1, y1), (x2, y2) in pairwise(points):
        count = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / 7))
        for k in range(count):
            a, b = k / count, (k + 1) / count
            xs, ys = (x1 + a * (x2 - x1), x1 + b * (x2 - x1)), (y1 + a * (y2 - y1), y1 + b * (y2 - y1))
            yield min(xs) - 0.7, min(ys) - 0.7, max(xs) + 0.7, max(ys) + 0.7


def _in_hand(sheet: Sheet, held: Held) -> Iterator[Box]:
    """Yield the room that leads, cell and clamp take."""
    for line in held.lines():
        yield from _pieces(line)
    yield held.cell_box
    yield from ((x - 5, y, x + 5, y + 14) for x, y in held.ends.values())
    if held.jaw is not None:
        x, y = held.jaw
        yield x - JAW, y - 2 * JAW, x + JAW, y + JAW
    if held.parked:
        yield WIDE - PARKED_WIDE, sheet.sky - PARKED_TALL, WIDE, sheet.sky + 9


def _supply(sheet: Sheet, view: Mapping[str, Any]) -> Iterator[Box]:
    """Yield the room that the battery and the shore lead's end take."""
    post, inlet = battery_place(view) if view.get("battery") else None, inlet_of(sheet, view)
    if post:
        x, y = sheet.at(post["x_m"], post["y_m"], post["height_m"])
        yield x - 4, y - 11, x + 12, y + 2
    if inlet is not None:
        x, y = inlet
        yield x - 28, y - 20, x + 5, y + 6


def obstacles(sheet: Sheet, view: Mapping[str, Any], held: Held) -> Array:
    """Return what no label may lie on (n, 4): metal, clip points, lines, and what is in hand."""
    boat = view["boat"]
    boxes = [_metal_box(sheet, part) for part in view["parts"] if part["shape"] not in ("hull", "keel")]
    ring = [sheet.spot(place) for place in boat["profile"]]
    lines = [[*ring, ring[0]], [sheet.spot(place) for place in boat["deckhouse"]]]
    lines += [[sheet.spot(place) for place in path] for path in wire_paths(view)]
    for line in lines:
        boxes += _pieces(line)
    for point in view["points"]:
        x, y = sheet.at(point["x_m"], point["y_m"], point["height_m"])
        boxes.append((x - 4.5, y - 4.5, x + 4.5, y + 5.5))
    boxes += _supply(sheet, view)
    for link in view["links"]:
        x, y = sheet.spot(on_wire(link, view["conductors"]))
        boxes.append((x - 8, y - 4, x + 8, y + 9))
    return np.array([*boxes, *_in_hand(sheet, held)])


def _side(px: Any, py: Any, qx: Any, qy: Any, rx: Any, ry: Any) -> Any:
    return (qx - px) * (ry - py) - (qy - py) * (rx - px)


def crosses(ax: Any, ay: Any, bx: Any, by: Any, cx: Any, cy: Any, dx: Any, dy: Any) -> Any:
    """Return whether the stretches from a to b and from c to d cross; numbers, or arrays of them."""
    one = _side(ax, ay, bx, by, cx, cy) * _side(ax, ay, bx, by, dx, dy)
    other = _side(cx, cy, dx, dy, ax, ay) * _side(cx, cy, dx, dy, bx, by)
    return (one < 0) & (other < 0)


def cuts(box: Sequence[Any], ax: Any, ay: Any, bx: Any, by: Any) -> Any:
    """Return whether the stretch from a to b passes through the box; numbers, or arrays of them."""
    low: Any = 0.0
    high: Any = 1.0
    outside: Any = False
    for start, way, first, last in ((ax, bx - ax, box[0], box[2]), (ay, by - ay, box[1], box[3])):
        still = way == 0
        step = np.where(still, 1.0, way)
        enters, leaves = (first - start) / step, (last - start) / step
        low = np.maximum(low, np.where(still, 0.0, np.minimum(enters, leaves)))
        high = np.minimum(high, np.where(still, 1.0, np.maximum(enters, leaves)))
        outside = outside | (still & ((start < first) | (start > last)))
    return ~outside & (low < high)


def _box(placed: Placed) -> Box:
    return placed.x, placed.top - placed.label.tall, placed.x + placed.label.wide, placed.top


def _free(label: Label, sheet: Sheet, taken: Array) -> Array:
    """Return the free places of a label (n, 2) as left and foot."""
    xs = np.arange(2.0, max(sheet.east - label.wide, 3.0), STEP_X)
    ys = np.arange(3.0, max(sheet.sky - label.tall - 2.0, 4.0), STEP_Y)
    left, foot = (grid.ravel()[:, None] for grid in np.meshgrid(xs, ys))
    meets = (left < taken[:, 2]) & (taken[:, 0] < left + label.wide)
    meets &= (foot < taken[:, 3]) & (taken[:, 1] < foot + label.tall)
    free = ~meets.any(axis=1)
    return np.column_stack([left[free, 0], foot[free, 0]])


def _cost(boxes: Sequence[Array], tip_x: Array, tip_y: Array, end: Point, placed: Sequence[Placed]) -> Array:
    """Return what each place would cost (n,) for leaders through words and over other leaders."""
    total = np.zeros(len(tip_x))
    for other in placed:
        (fx, fy), (nx, ny) = other.path[0], other.path[-1]
        through = cuts(_box(other), tip_x, tip_y, *end) | cuts(boxes, fx, fy, nx, ny)
        total += THROUGH * through + OVER * crosses(tip_x, tip_y, *end, fx, fy, nx, ny)
    return total


def _best(label: Label, sheet: Sheet, taken: Array, placed: Sequence[Placed]) -> Placed | None:
    free, (ex, ey), wide, tall = _free(label, sheet, taken), label.end, label.wide, label.tall
    if not len(free):
        return None
    left, foot = free.T
    tip_x, tip_y = np.clip(ex, left + 3, left + wide - 3), np.clip(ey, foot, foot + tall)
    far = np.hypot(tip_x - ex, tip_y - ey)
    cost = np.maximum(far, 15.0 - far)
    cost += _cost((left, foot, left + wide, foot + tall), tip_x, tip_y, label.end, placed)
    k = int(np.argmin(cost))
    tip = (float(tip_x[k]), float(tip_y[k]))
    return Placed(label, float(left[k]), float(foot[k]) + tall, (tip, label.end))


def place_inside(labels: Sequence[Label], sheet: Sheet, view: Mapping[str, Any], held: Held) -> list[Placed]:
    """Return the labels that found a free place above the water; the last of the list chooses first."""
    taken = obstacles(sheet, view, held)
    placed: list[Placed] = []
    for label in reversed(labels):
        found = _best(label, sheet, taken, placed)
        if found is not None:
            placed.append(found)
            left, foot, right, top = _box(found)
            taken = np.vstack([taken, (left - 4, foot - 2, right + 4, top + 2)])
    return placed
