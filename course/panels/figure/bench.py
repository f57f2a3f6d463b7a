"""The bench of the still figure: the meter, digital or with a needle, what is in hand in words, the breaker panel. In points."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from course.boats.wording import capital
from course.panels.figure.sheet import EDGE, LINE, TEXT, WIDE, Point, Sheet, wrapped

View = Mapping[str, Any]
METER_WIDE, METER_TALL, BENCH_TALL = 206.0, 86.0, 104.0
UNITS = {"ohm": "Ω", "kohm": "kΩ"}
SURFACES = {"painted": "under paint", "scaled": "under scale", "bright": "bright metal"}
ARROWS = {"forward": "along the conductor as it is named", "backward": "against the conductor as it is named"}
AHEAD = "Fed ahead of the battery switch"
SWEEP, RADIUS = 84.0, 46.0  # the needle's swing [degrees], and the arc's radius
COLUMNS, LEVER = 3, 11.0  # of the breaker panel; room for the drawing of a lever


def shown_value(display: str, unit: str | None) -> str:
    """Return what an instrument shows, with its unit as it is written."""
    return f"{display} {UNITS.get(unit or '', unit or '')}".strip() if display else ""


def _needle(sheet: Sheet, meter: View, left: float, foot: float) -> None:
    x0, y0 = left + METER_WIDE / 2, foot + 16.0

    def at(share: float, radius: float) -> Point:
        turn = math.radians(90 + SWEEP / 2 - SWEEP * share)
        return x0 + radius * math.cos(turn), y0 + radius * math.sin(turn)

    for k in range(51):
        long = 5.0 if k % 10 == 0 else 3.5 if k % 5 == 0 else 2.2
        sheet.line([at(k / 50, RADIUS), at(k / 50, RADIUS + long)], width=0.6, order=6.6)
    volts = re.fullmatch(r"([\d.]+) V", meter["dial"])
    for k in range(6 if volts else 0):
        x, y = at(k / 5, RADIUS + 9)
        look: dict[str, Any] = {"ha": "center", "va": "center", "fontsize": 6}
        sheet.words(x, y, f"{float(volts[1]) * k / 5:.3g}" if volts else "", **look)
    share = min(max(meter.get("needle") or 0.0, -0.03), 1.04)
    sheet.line([at(share, 8), at(share, RADIUS - 1)], width=1.3, order=6.8)


def draw_meter(sheet: Sheet, meter: View) -> dict[str, Point]:
    """Draw the meter; return where each jack is."""
    left, foot = EDGE, sheet.sky + 14
    sheet.box(left, foot, METER_WIDE, METER_TALL, width=1.4, order=6.5)
    value, middle = shown_value(meter["display"], meter["unit"]), left + METER_WIDE / 2
    if meter.get("kind") == "analogue":
        _needle(sheet, meter, left, foot + 8)
        at, size = (left + METER_WIDE - 4, foot + METER_TALL - 4), TEXT
        sheet.words(*at, value, fontsize=size, ha="right")
    else:
        sheet.words(middle, foot + METER_TALL - 26, value, fontsize=22, ha="center", va="center")
    states = [("fuse_blown", "fuse blown"), ("beeps", "sounds"), ("nulled", "leads nulled")]
    said = ", ".join(words for key, words in states if meter.get(key))
    sheet.words(left + 4, foot + METER_TALL - 4, f"{meter.get('kind') or 'digital'} meter")
    sheet.words(left + 4, foot + 13, f"dial {meter['dial'].replace('ohm', 'Ω')}")
    sheet.words(left + 4, foot + 22, said)
    jacks = {}
    for i, jack in enumerate(meter["jacks"]):
        x = left + METER_WIDE * (0.46 + 0.19 * i)
        sheet.words(x, foot + 13, jack, ha="center", fontweight="bold")
        sheet.dot((x, foot), "o", 5.0, "paper", order=6.9)
        jacks[jack] = (x, foot)
    return jacks


def _name(view: View, thing: str) -> str:
    named = {item["id"]: item["label"] for item in (*view["points"], *(view.get("clampable") or ()))}
    return str(named.get(thing, thing.replace("_", " ")))


def _lead(view: View, name: str) -> str:
    lead = view["leads"][name]
    where = f"in {lead['jack']}" if lead["jack"] else "in no jack"
    if name == "cell lead":
        cell = view["cell"]
        place = (
            f"{cell['x_m']:.2f} m from the transom, {cell['depth_m']:.2f} m deep"
            if cell["in_water"]
            else "out of the water"
        )
        return f"Cell lead {where}; {cell.get('label') or 'cell'}, {place}"
    if name == "bilge probe":
        dipped = (view.get("probe") or {}).get("in_bilge")
        return f"Bilge probe {where}, {'standing in the bilge' if dipped else 'out of the bilge'}"
    if not lead["point"]:
        return f"{capital(name)} {where}, its clip on nothing"
    point: View = next((p for p in view["points"] if p["id"] == lead["point"]), {})
    bite = f", {SURFACES.get(point['surface'], point['surface'])}" if point.get("surface") else ""
    return f"{capital(name)} {where}, clip on {_name(view, lead['point'])}{bite}"


def in_hand(view: View) -> Iterator[str]:
    """Yield what is in hand, a sentence each: leads and their ends, the clamp, the clock."""
    yield from (_lead(view, name) for name in view["leads"])
    clamp = view.get("clamp")
    if clamp and view.get("clampable"):
        jaw = " and the ".join(_name(view, thing) for thing in clamp["around"])
        lies = clamp.get("lies") or ARROWS.get(clamp["arrow"], clamp["arrow"])
        value = shown_value(clamp["display"], clamp["unit"]) or "off"
        yield f"Clamp {value}, {f'round the {jaw}; its arrow points {lies}' if jaw else 'its jaw empty'}"
    yield f"Clock {view['clock']['text']}"


def draw_in_hand(sheet: Sheet, view: View) -> None:
    """Write what is in hand beside the meter."""
    x, top = EDGE + METER_WIDE + 12, sheet.sky + 14 + METER_TALL
    for sentence in in_hand(view):
        for i, line in enumerate(wrapped(sentence, WIDE - x - (10 if len(sentence) > 60 else 4))):
            sheet.words(x + (6 if i else 0), top, line)
            top -= LINE
        top -= 1.0


def _state(item: View) -> str:
    return "tripped" if item.get("tripped") else "on" if item["closed"] else "off"


def _circuit(item: View) -> tuple[str, str]:
    load = item.get("load_A")
    draws = (
        ""
        if load is None
        else f"; draws {load:g}\N{NO-BREAK SPACE}A, trips at {item['breaker_A']:g}\N{NO-BREAK SPACE}A"
    )
    noted = item.get("note") and item["note"].lower() != AHEAD.lower()  # its board says that
    note = f" ({item['note']})" if noted else ""
    return _state(item), f"{capital(item['label'])}: {_state(item)}{draws}{note}"


def boards(view: View) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the panel's boards: a title, and for each lever its position and its words."""
    supply, battery, shore = [], view.get("battery"), view.get("shore")
    if battery:
        state = "on" if battery["on"] else "off"
        supply.append((state, f"{capital(battery.get('label') or 'battery')} switch: {state}"))
    if shore:
        plugged = shore["plugged"]
        words = "plugged in" if plugged else "unplugged"
        supply.append(("on" if plugged else "off", f"Shore lead: {words}"))
    ahead = [item for item in view["breakers"] if item.get("feed") == "battery"]
    after = [item for item in view["breakers"] if item.get("feed") != "battery"]
    found = [("Breakers and switches", supply)]
    found.append(("Fed through the battery switch" if ahead else "Circuits", [_circuit(i) for i in after]))
    found.append((AHEAD, [_circuit(i) for i in ahead]))
    return [(title, rows) for title, rows in found if rows]


def _lever(sheet: Sheet, x: float, top: float, state: str) -> None:
    """A frame with its lever up, down or, tripped, in the middle."""
    sheet.box(x, top - 8, 4.6, 8, "paper", width=0.6, order=6)
    up = {"on": 4.0, "off": 0.0}.get(state, 2.0)
    sheet.box(x + 0.9, top - 8 + up + 0.6, 2.8, 3.0, "ink", edge=None, order=6.1)


def draw_panel(sheet: Sheet, view: View, top: float) -> float:
    """Draw the breaker panel under ``top``; return its lower edge."""
    wide = (WIDE - 2 * EDGE) / COLUMNS
    for title, rows in boards(view):
        sheet.words(EDGE, top, title, fontweight="bold")
        top -= LINE + 1.5
        for first in range(0, len(rows), COLUMNS):
            tall = 1
            for i, (state, words) in enumerate(rows[first : first + COLUMNS]):
                x, lines = EDGE + i * wide, wrapped(words, wide - LEVER - 6)
                _lever(sheet, x, top, state)
                for k, line in enumerate(lines):
                    sheet.words(x + LEVER, top - k * LINE - 0.4, line)
                tall = max(tall, len(lines))
            top -= tall * LINE + 2.5
        top -= 3.0
    return top
