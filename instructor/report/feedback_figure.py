"""The figure on a feedback page: where the cell hung beside the boat, and what the meter showed over the minutes.

Drawn from the learner's own logbook only, as SVG in which every word and number is made here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan

MOST = 60  # readings drawn; a working day at the bench is fewer
WIDE, MARGIN = 720.0, 56.0  # of the drawing
BOAT_TALL, CHART_TALL, GAP = 190.0, 170.0, 56.0
TO_MV = {"V": 1000.0, "mV": 1.0}
LARGEST_MV = 60_000.0


@dataclass(frozen=True)
class Shown:
    """One reading: its number in the logbook, minute, millivolts, and where the cell hung, or None out of the water."""

    number: int
    minute: float
    mV: float
    x_m: float | None
    depth_m: float | None


def readings(rows: Iterable[Any], slip: str) -> list[Shown]:
    """Return the voltage readings of a slip that a logbook's rows tell of; whatever cannot be drawn is passed over."""
    found = (_shown(row) for row in rows if isinstance(row, dict) and row.get("slip") == slip)
    return [one for one in found if one is not None][:MOST]


def _shown(row: dict[str, Any]) -> Shown | None:
    if row.get("kind") != "reading":
        return None
    scale = TO_MV.get(str(row.get("unit")))
    value, minute, number = (_finite(row.get(key)) for key in ("display", "minute", "n"))
    if scale is None or value is None or minute is None or number is None:
        return None
    if abs(value * scale) > LARGEST_MV or not 0 <= minute < 1e6 or not 0 < number < 1e6:
        return None
    if not _by_the_cell(row):
        return None
    cell = row.get("cell")
    place = cell if isinstance(cell, dict) and cell.get("in_water") is True else {}
    return Shown(int(number), minute, value * scale, _finite(place.get("x_m")), _finite(place.get("depth_m")))


def _by_the_cell(row: dict[str, Any]) -> bool:
    """Return whether the cell's lead was plugged: volts read with the bilge probe or between two clips are of another kind."""
    leads = row.get("leads")
    lead = leads.get("cell lead") if isinstance(leads, dict) else None
    return not isinstance(lead, dict) or lead.get("jack") is not None


def _finite(value: Any) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float | str) or len(str(value)) > 20:
        return None
    try:
        number = float(value)
    except (ValueError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def figure(plan: SlipPlan, shown: Sequence[Shown]) -> str:
    """Return the figure as an SVG element, or nothing when there is no reading to draw."""
    if not shown:
        return ""
    tall = BOAT_TALL + GAP + CHART_TALL + 30
    words = f"Where the cell hung and what {len(shown)} readings showed."
    return (
        f'<svg class="figure" viewBox="0 0 {WIDE:.0f} {tall:.0f}" role="img" aria-label="{words}">'
        f"{_boat(plan, shown)}{_chart(shown)}</svg>"
    )


@dataclass(frozen=True)
class _Scale:
    """Metres beside the boat, or minutes and millivolts, to places on the drawing."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        clamped = min(max(value, self.low), self.high)
        return self.start + (clamped - self.low) / ((self.high - self.low) or 1.0) * (self.end - self.start)


def _boat(plan: SlipPlan, shown: Sequence[Shown]) -> str:
    hull, depth = plan.boat.hull, plan.berth.depth_m
    top = max([2.0, *(height for _, height in hull.profile)])
    low, high = -1.0, hull.length_m + 1.0
    size = min((WIDE - 2 * MARGIN) / (high - low), BOAT_TALL / (top + depth))  # the same both ways
    width = size * (high - low)
    start = (WIDE - width) / 2
    across = _Scale(low, high, start, start + width)
    down = _Scale(-depth, top, size * (top + depth) + 10, 10)
    outline = " ".join(f"{across.at(x):.1f},{down.at(height):.1f}" for x, height in hull.profile)
    surface, bed = down.at(0.0), down.at(-depth)
    parts = [
        f'<polygon class="hull" points="{outline}"/>',
        _line("water", start, surface, start + width, surface),
        _line("bed", start, bed, start + width, bed),
        _text(start - 6, surface + 5, "0 m", "end"),
        _text(start - 6, bed + 5, f"{depth:g} m", "end"),
    ]
    hung = [one for one in shown if one.x_m is not None and one.depth_m is not None]
    place = lambda one: (round(one.x_m or 0.0, 1), round(one.depth_m or 0.0, 1))  # noqa: E731
    for (x, deep), group in groupby(sorted(hung, key=lambda one: (*place(one), one.number)), key=place):
        numbers = ", ".join(str(one.number) for one in group)
        parts.append(f'<circle class="cell" cx="{across.at(x):.1f}" cy="{down.at(-deep):.1f}" r="4"/>')
        parts.append(_text(across.at(x), down.at(-deep) + 20, numbers, "middle"))
    return "".join(parts)


def _chart(shown: Sequence[Shown]) -> str:
    top = BOAT_TALL + GAP
    values, minutes = [one.mV for one in shown], [one.minute for one in shown]
    room = max(10.0, 0.12 * (max(values) - min(values)))
    up = _Scale(min(values) - room, max(values) + room, top + CHART_TALL, top)
    along = _Scale(min(minutes), max(max(minutes), min(minutes) + 1), MARGIN + 40, WIDE - MARGIN)
    dots = [(along.at(one.minute), up.at(one.mV), one) for one in shown]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y, _ in dots)
    parts = [
        _line("axis", MARGIN + 20, top, MARGIN + 20, top + CHART_TALL),
        _line("axis", MARGIN + 20, top + CHART_TALL, WIDE - MARGIN + 10, top + CHART_TALL),
        f'<polyline class="trace" points="{path}"/>',
        *(
            _text(MARGIN + 14, up.at(value) + 5, f"{value:.0f}", "end")
            for value in {min(values), max(values)}
        ),
        _text(MARGIN + 14, top - 8, "mV", "end"),
        _text(WIDE - MARGIN + 10, top + CHART_TALL + 20, f"{max(minutes):.0f} minutes", "end"),
        _text(MARGIN + 20, top + CHART_TALL + 20, f"{min(minutes):.0f}", "start"),
    ]
    last = -math.inf
    for x, y, one in dots:
        parts.append(f'<circle class="cell" cx="{x:.1f}" cy="{y:.1f}" r="4"/>')
        if x - last > 16:  # numbers that would lie on each other are left out
            parts.append(_text(x, y - 9, str(one.number), "middle"))
            last = x
    return "".join(parts)


def _line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="{kind}" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{words}</text>'
