"""What the scene shows, in words: the text a screen reader is given, made from the view alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

View = Mapping[str, Any]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _name(view: View, thing: str | None) -> str:
    for item in [*view["parts"], *view["points"]]:
        if item["id"] == thing:
            return str(item["label"])
    return "nothing" if thing is None else thing.replace("_", " ")


def _part(part: View) -> str:
    where = (
        "inside the boat" if part["inside"] else "in the water" if part["in_water"] else "out of the water"
    )
    metal = f", {part['metal']}" if part["metal"] else ""
    worn = f", worn to about {round(100 * part['remaining'])} % of its new size" if part["anode"] else ""
    return f"{part['label']}{metal}, {where}{worn}"


def cell_words(cell: View) -> str:
    """Return where the reference cell is [m forward of the transom, m deep], in words."""
    if not cell["in_water"]:
        return "reference cell out of the water"
    return f"reference cell {cell['x_m']:.2f} m forward of the transom, {cell['depth_m']:.2f} m deep"


def _leads(view: View) -> list[str]:
    cell, test = view["leads"]["cell lead"], view["leads"]["test lead"]
    end = f"its clip on the {_name(view, test['point'])}" if test["point"] else "its clip on nothing"
    plugged = f"in jack {test['jack']}" if test["jack"] else "not plugged in"
    return [
        f"cell lead {'in jack ' + cell['jack'] if cell['jack'] else 'not plugged in'}",
        f"test lead {plugged}, {end}",
    ]


def view_words(view: View) -> list[str]:
    """Return everything the drawing and the bench show as sentences, one a line, nearest to hand first.

    ``view`` is the dict of ``Slip.view()``. Nothing but what is drawn is said.
    """
    boat, berth, meter = view["boat"], view["berth"], view["meter"]
    lines = [
        f"{boat['name']}, {boat['kind']}, {boat['length_m']} m long, "
        f"afloat in {berth['depth_m']} m of {berth['water']}, berth {berth['name']}, {berth['marina']}",
        f"meter: dial at {meter['dial']}, display {meter['display'] or 'blank'} {meter['unit']}".rstrip(),
        *_leads(view),
        cell_words(view["cell"]),
        f"clock: {view['clock']['text']}",
        *(f"{link['label']}: {'open' if link['open'] else 'closed'}" for link in view["links"]),
        *(
            f"{hoist['label']}: {'in the water' if hoist['lowered'] else 'lifted out'}"
            for hoist in view["hoists"]
        ),
        *(f"{item['label']}: {'on' if item['closed'] else 'off'}" for item in view["breakers"]),
        *(_part(part) for part in view["parts"]),
        *(
            f"{'contact' if wire.get('contact') else 'conductor'}, {wire['label']}: "
            f"from the {_name(view, wire['from'])} to the {_name(view, wire['to'])}"
            for wire in view["conductors"]
        ),
    ]
    return [f"{_capital(line)}." for line in lines]
