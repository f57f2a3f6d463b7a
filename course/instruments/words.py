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


def act_text(row: Row, named: dict[str, str]) -> str:
    """Return one row of the logbook as a sentence; a row of unknown kind is said to be so."""
    args: dict[str, Any] = row["args"] if isinstance(row.get("args"), dict) else {}
    if row.get("kind") == "note":
        about = f" on row {row['about']}" if row.get("about") else ""
        return f"Note{about}: {row.get('text', '')}"
    match row.get("action"):
        case "turn_dial":
            return f"Turned the dial to {args.get('position')}."
        case "plug":
            jack = args.get("jack")
            return (
                f"Plugged the {args.get('lead')} into {jack}."
                if jack
                else f"Pulled the {args.get('lead')} out of the meter."
            )
        case "clip":
            point = args.get("point")
            return (
                f"Clipped the test lead to the {named.get(str(point), point)}."
                if point
                else "Took the test clip off."
            )
        case "hang_cell":
            return f"Hung the cell {args.get('x_m')} m forward of the transom, {args.get('depth_m')} m deep."
        case "lift_cell":
            return "Lifted the cell out of the water."
        case "open_link" | "close_link" as act:
            return f"{'Opened' if act == 'open_link' else 'Closed'} the {named.get(str(args.get('link')), args.get('link'))}."
        case "lift_anode" | "lower_anode" as act:
            anode = named.get(str(args.get("anode")), args.get("anode"))
            return (
                f"Lifted the {anode} out of the water."
                if act == "lift_anode"
                else f"Lowered the {anode} into the water."
            )
        case "breaker":
            circuit = named.get(str(args.get("circuit")), args.get("circuit"))
            return f"Switched the breaker of {circuit} {'on' if args.get('closed') else 'off'}."
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
