"""The slip without a picture: everything the drawing and the bench show, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from course.boats.wording import capital

View = Mapping[str, Any]


def _name(view: View, thing: str | None) -> str:
    for item in [*view["parts"], *view["points"], *view.get("clampable", ())]:
        if item["id"] == thing:
            return str(item["label"])
    return "nothing" if thing is None else thing.replace("_", " ")


def _part(part: View) -> str:
    where = (
        "inside the boat" if part["inside"] else "in the water" if part["in_water"] else "out of the water"
    )
    metal = f", {part['metal']}" if part["metal"] else ""
    coated = f", {part['coating']}" if part.get("coating") else ""
    worn = f", worn to about {round(100 * part['remaining'])} % of its new size" if part["anode"] else ""
    return f"{part['label']}{metal}{coated}, {where}{worn}"


def cell_words(cell: View) -> str:
    """Return where the reference cell is [m forward of the transom, m deep], in words."""
    if not cell["in_water"]:
        return "reference cell out of the water"
    return f"reference cell {cell['x_m']:.2f} m forward of the transom, {cell['depth_m']:.2f} m deep"


def _meter(view: View) -> Iterator[str]:
    meter = view["meter"]
    shown = f"display {meter['display'] or 'blank'} {meter['unit']}".rstrip()
    if meter.get("needle") is not None:
        shown = (
            f"needle at {100 * meter['needle']:.0f} % of full scale, read {meter['display']} {meter['unit']}"
        )
    kind = "analogue " if meter.get("kind") == "analogue" else ""
    yield f"{kind}meter: dial at {meter['dial']}, {shown}"
    if meter.get("beeps"):
        yield "the meter sounds"
    if meter.get("nulled"):
        yield "the meter is nulled for its leads"
    if meter.get("fuse_blown"):
        yield "the fuse of the meter's A jack is blown"


def _ends(view: View, name: str) -> str:
    lead = view["leads"][name]
    plugged = f"in jack {lead['jack']}" if lead["jack"] else "not plugged in"
    if name == "cell lead":
        return f"cell lead {plugged}"
    if name == "bilge probe":
        return f"bilge probe {plugged}, {'standing in the bilge' if view['probe']['in_bilge'] else 'out of the bilge'}"
    end = f"its clip on the {_name(view, lead['point'])}" if lead["point"] else "its clip on nothing"
    return f"{name} {plugged}, {end}"


def _bench(view: View) -> Iterator[str]:
    yield from _meter(view)
    yield from (_ends(view, name) for name in view["leads"])
    yield cell_words(view["cell"])
    if view["cell"].get("label"):
        yield f"cell in hand: {view['cell']['label']}"
    if len(view.get("cells", ())) > 1:
        yield "cells in the box: " + "; ".join(item["label"] for item in view["cells"])
    yield from _clamp(view, view.get("clamp"))


def _clamp(view: View, clamp: View | None) -> Iterator[str]:
    if clamp is None:
        return
    around = " and the ".join(_name(view, a) for a in clamp["around"])
    held = f"around the {around}, arrow {clamp['lies']}" if around else "around nothing"
    yield f"clamp {held}, display {clamp['display']} {clamp['unit']}"


def _supplies(view: View) -> Iterator[str]:
    battery, shore, bilge = (view.get(name) for name in ("battery", "shore", "bilge"))
    if battery:
        yield f"battery switch of the {battery['label']}: {'on' if battery['on'] else 'off'}"
    if shore:
        means = {
            "plain": "no isolator",
            "isolator": "a galvanic isolator",
            "transformer": "an isolation transformer",
        }
        fitted = means.get(shore["arrangement"], shore["arrangement"])
        yield f"shore lead: {'plugged in' if shore['plugged'] else 'unplugged at both ends'}; {fitted} aboard"
    if bilge:
        yield f"bilge: {bilge['water']}"


def _breaker(item: View) -> str:
    state = "on" if item["closed"] else "off, tripped" if item.get("tripped") else "off"
    note = f" ({item['note']})" if item.get("note") else ""
    return f"{item['label']}{note}: {state}"


def _aboard(view: View) -> Iterator[str]:
    yield from (f"record card: {key}: {value}" for key, value in view["record_card"].items())
    yield from (f"{link['label']}: {'open' if link['open'] else 'closed'}" for link in view["links"])
    for hoist in view["hoists"]:
        yield f"{hoist['label']}: {'in the water' if hoist['lowered'] else 'lifted out'}"
    yield from _supplies(view)
    yield from (_breaker(item) for item in view["breakers"])
    yield from (_part(part) for part in view["parts"])
    for wire in view["conductors"]:
        kind = "contact" if wire.get("contact") else "conductor"
        ends = f"from the {_name(view, wire['from'])} to the {_name(view, wire['to'])}"
        yield f"{kind}, {wire['label']}: {ends}"
    yield from (
        f"a clip can bite at the {p['label']}: {p['surface']}" for p in view["points"] if "surface" in p
    )
    yield from (f"neighbour: {n['label']}" for n in view.get("neighbours", ()))


def view_words(view: View) -> list[str]:
    """Return everything the drawing and the bench show as sentences, one a line, nearest to hand first.

    ``view`` is the dict of ``Slip.view()``, of which instruments and supplies may be left out. Nothing but what is drawn is said.
    """
    boat, berth = view["boat"], view["berth"]
    lines = [
        f"{boat['name']}, {boat['kind']}, {boat['length_m']} m long, "
        f"afloat in {berth['depth_m']} m of {berth['water']}, berth {berth['name']}, {berth['marina']}",
        *_bench(view),
        f"clock: {view['clock']['text']}",
        f"water at {berth['water_temperature_degC']} °C, practical salinity {berth['salinity']}",
        *_aboard(view),
    ]
    return [f"{capital(line)}." for line in lines]
