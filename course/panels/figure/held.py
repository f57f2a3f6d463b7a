"""Where what the learner holds is on the sheet: plugs, cables, ends of leads, cell and clamp. In points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from course.panels.figure.aboard import gunwale
from course.panels.figure.sheet import SCALE_ROOM, WIDE, Point, Sheet, text_width

View = Mapping[str, Any]
Box = tuple[float, float, float, float]  # left, foot, right, top
PARKED_WIDE, PARKED_TALL = 176.0, 46.0  # at the right under the bench, where leads lie that are in no jack
CELL_HALF, CELL_TALL, CHIP_HALF = 4.0, 11.0, 5.0
JAW = 7.0


@dataclass(frozen=True)
class Held:
    """Plugs by lead, the loose among them, cables as four points each, ends of leads, cell with its words, clamp."""

    plugs: Mapping[str, Point]
    parked: frozenset[str]
    cables: tuple[tuple[Point, ...], ...]
    ends: Mapping[str, Point]
    cell: Point
    rail: Point
    words: str
    chip: Box
    jaw: Point | None

    @property
    def cell_box(self) -> Box:
        """Return the room the cell takes with its words."""
        (x, y), (left, _, right, _) = self.cell, self.chip
        return min(x - CELL_HALF, left), y - CELL_TALL, max(x + CELL_HALF, right), y + CELL_TALL

    def lines(self) -> list[list[Point]]:
        """Return the cables as lines of short pieces."""
        t = np.linspace(0.0, 1.0, 24)[:, None]
        weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
        found = [[(float(x), float(y)) for x, y in weights @ np.array(cable)] for cable in self.cables]
        return [*found, [self.rail, (self.cell[0], self.cell[1] + CELL_TALL)]]


def _hangs(start: Point, end: Point) -> tuple[Point, ...]:
    sag = max(23.0, abs(start[1] - end[1]) * 0.45)
    return start, (start[0], start[1] - sag), (end[0], end[1] + sag), end


def _plugs(sheet: Sheet, view: View, jacks: Mapping[str, Point]) -> tuple[dict[str, Point], frozenset[str]]:
    """Return where each lead's plug is; those in no jack lie under the bench, at the right."""
    loose = [name for name, lead in view["leads"].items() if not lead["jack"]]
    room = PARKED_WIDE / max(len(loose), 3)
    lying = {name: (WIDE - room * (len(loose) - i) + 8, sheet.sky + 2) for i, name in enumerate(loose)}
    plugs = {name: jacks.get(lead["jack"] or "") or lying[name] for name, lead in view["leads"].items()}
    return plugs, frozenset(loose)


def _end(sheet: Sheet, view: View, name: str, plug: Point) -> Point:
    probe = name == "bilge probe"
    if probe and (view.get("probe") or {}).get("in_bilge") and view.get("bilge"):
        return sheet.at(view["bilge"]["x_m"], 0, view["bilge"]["height_m"])
    point = next((p for p in view["points"] if not probe and p["id"] == view["leads"][name]["point"]), None)
    if point:
        return sheet.at(point["x_m"], point["y_m"], point["height_m"])
    return plug[0] + 13, min(plug[1], sheet.sky) - 30


def held_of(sheet: Sheet, view: View, jacks: Mapping[str, Point]) -> Held:
    """Return where everything held is; ``jacks`` says where the meter's jacks are."""
    plugs, parked = _plugs(sheet, view, jacks)
    ends = {name: _end(sheet, view, name, plug) for name, plug in plugs.items() if name != "cell lead"}
    cables = [_hangs(plugs[name], (x, y + CELL_TALL)) for name, (x, y) in ends.items()]
    cell = view["cell"]
    rail = sheet.spot(gunwale(view["boat"]["profile"], cell["x_m"]))
    if cell["in_water"]:
        at, words = (
            sheet.spot((cell["x_m"], -cell["depth_m"])),
            f"{cell['x_m']:.2f} m, {cell['depth_m']:.2f} m deep",
        )
        cables.append(_hangs(plugs["cell lead"], rail))
    else:
        at, words = (rail[0], rail[1] + 14), "cell out of the water"
        cables.append(_hangs(plugs["cell lead"], (at[0], at[1] + CELL_TALL)))
    wide = text_width(words) + 6
    x = at[0] + 8 if at[0] + 8 + wide < WIDE - SCALE_ROOM else at[0] - 8 - wide
    chip = (x, at[1] - CHIP_HALF, x + wide, at[1] + CHIP_HALF)
    return Held(plugs, parked, tuple(cables), ends, at, rail, words, chip, _jaw(sheet, view))


def _jaw(sheet: Sheet, view: View) -> Point | None:
    clamp, places = view.get("clamp"), view.get("clampable") or []
    if not clamp or not places:
        return None
    held = next((c for c in places if clamp["around"] and c["id"] == clamp["around"][0]), None)
    return sheet.at(held["x_m"], held["y_m"], held["height_m"]) if held else (WIDE - 12, sheet.sky - 44)
