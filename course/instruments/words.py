"""Rows and views said in plain sentences: the logbook as a person reads it, and the slip without a picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from course.boats.afloat import Afloat
from course.instruments.rows import Row

View = Mapping[str, Any]


def clock_text(minute: int) -> str:
    """Return the slip's clock in words."""
    return f"{minute // 60} h {minute % 60:02d} min"


def labels(afloat: Afloat) -> dict[str, str]:
    """Return the plain name of everything on the boat that has an id."""
    boat = afloat.plan.boat
    named = {part.id: part.label for part in boat.parts}
    named.update({circuit.id: circuit.label for circuit in boat.circuits})
    named.update({c.id: c.label for c in boat.conductors if c.label})
    named.update({point.id: point.label for point in boat.clip_points})
    return named


def _said(name: object, named: dict[str, str]) -> str:
    return named.get(str(name), str(name))


def _wiring_text(action: str, args: dict[str, Any], named: dict[str, str]) -> str:
    """Return an act on the meter's leads and the cell as a sentence."""
    match action:
        case "turn_dial":
            return f"Turned the dial to {args.get('position')}."
        case "plug" if args.get("jack"):
            return f"Plugged the {args.get('lead')} into {args['jack']}."
        case "plug":
            return f"Pulled the {args.get('lead')} out of the meter."
        case "clip" if args.get("point"):
            return f"Clipped the test lead to the {_said(args['point'], named)}."
        case "clip":
            return "Took the test clip off."
        case "hang_cell":
            return f"Hung the cell {args.get('x_m')} m forward of the transom, {args.get('depth_m')} m deep."
    return "Lifted the cell out of the water."


def act_text(row: Row, named: dict[str, str]) -> str:
    """Return one row of the logbook as a sentence; a row of unknown kind is said to be so."""
    args: dict[str, Any] = row["args"] if isinstance(row.get("args"), dict) else {}
    if row.get("kind") == "note":
        about = f" on row {row['about']}" if row.get("about") else ""
        return f"Note{about}: {row.get('text', '')}"
    match row.get("action"):
        case "turn_dial" | "plug" | "clip" | "hang_cell" | "lift_cell" as act:
            return _wiring_text(act, args, named)
        case "open_link":
            return f"Opened the {_said(args.get('link'), named)}."
        case "close_link":
            return f"Closed the {_said(args.get('link'), named)}."
        case "lift_anode":
            return f"Lifted the {_said(args.get('anode'), named)} out of the water."
        case "lower_anode":
            return f"Lowered the {_said(args.get('anode'), named)} into the water."
        case "breaker":
            return f"Switched the breaker of {_said(args.get('circuit'), named)} {'on' if args.get('closed') else 'off'}."
        case "wait":
            return f"Waited {args.get('minutes')} minutes."
        case "record":
            return f"Wrote down {row.get('display') or 'a blank display'} {row.get('unit', '')}.".replace(
                " .", "."
            )
    return "A row of a kind this course does not know."


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
        f"water at {berth['water_temperature_degC']} degC, practical salinity {berth['salinity']}",
        *(f"record card: {key}: {value}" for key, value in view["record_card"].items()),
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
