"""Rows and states said in plain sentences: the logbook as a person reads it, and the slip without a picture."""

from __future__ import annotations

from typing import Any

from course.boats.afloat import Afloat
from course.instruments.measure import show
from course.instruments.rows import Row
from course.instruments.state import State


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


def _lead_text(lead: str, jack: str | None) -> str:
    return f"{lead} in {jack}" if jack else f"{lead} not plugged in"


def state_text(afloat: Afloat, state: State, ordinal: int) -> str:
    """Return everything the scene shows, in words."""
    plan, named = afloat.plan, labels(afloat)
    cell = state.cell
    point = named.get(state.point, state.point) if state.point else None
    circuits = [c.label for c in plan.boat.circuits if c.id in state.open_breakers]
    lines = [
        f"{plan.boat.name}, {plan.boat.kind}, berth {plan.berth.name} at {plan.berth.marina}. Clock {clock_text(state.minute)}.",
        f"Water: {plan.berth.water}, {plan.berth.temperature_degC} degC, {plan.berth.depth_m} m deep.",
        f"Reference cell: {f'{cell.x_m:.2f} m forward of the transom, {cell.depth_m:.2f} m deep' if cell else 'out of the water'}.",
        f"Meter: dial at {state.dial}; {_lead_text('cell lead', state.cell_jack)}; {_lead_text('test lead', state.test_jack)}, "
        f"{'clipped to the ' + point if point else 'its clip on nothing'}.",
        f"Display: {str(show(afloat, state, ordinal)) or 'blank'}.",
    ]
    for link in sorted(state.setting.open_links):
        lines.append(f"Open: {named.get(link, link)}.")
    for anode in sorted(state.setting.lifted):
        lines.append(f"Out of the water: {named.get(anode, anode)}.")
    if circuits:
        lines.append(f"Breakers off: {', '.join(circuits)}.")
    return "\n".join(lines)
