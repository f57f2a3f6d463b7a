"""What the logbook shows was done, a line a reading, for the report on a mark."""

from __future__ import annotations

from collections.abc import Mapping

from course.instruments.replay import Reading
from course.instruments.state import State
from course.instruments.words import clock_text


def reading_line(reading: Reading, named: Mapping[str, str]) -> str:
    """Return one line about a reading: when, what was written down, and how it was taken."""
    shown = str(reading.display).strip() or "a blank display"
    end = "" if reading.replays else "; this reading does not come out when taken again"
    return f"{clock_text(reading.state.minute)}: wrote down {shown}, {_how(reading, named)}{end}."


def _how(reading: Reading, named: Mapping[str, str]) -> str:
    if reading.instrument == "clamp":
        around = (
            " and ".join(f"the {named.get(name, name)}" for name in reading.state.clamp.around) or "nothing"
        )
        return f"clamp around {around}, its arrow {reading.state.clamp.arrow}"
    if reading.instrument != "meter":
        return f"by the {reading.instrument}"
    state = reading.state
    return ", ".join((f"dial {state.dial}", *_leads(state, named)))


def _leads(state: State, named: Mapping[str, str]) -> tuple[str, ...]:
    """Return where each lead is that was used, the cell lead and the test lead always."""
    cell = (
        f"cell {state.cell.x_m:.2f} m forward and {state.cell.depth_m:.2f} m deep"
        if state.cell
        else "cell out of the water"
    )
    point = f"clip on the {named.get(state.point, state.point)}" if state.point else "clip on nothing"
    known = [f"cell lead in {state.cell_jack or 'nothing'}", f"test lead in {state.test_jack or 'nothing'}"]
    for name in ("long lead", "bilge probe"):
        lead = state.leads[name]
        if lead.jack:
            known.append(
                f"{name} in {lead.jack}"
                + (f" from the {named.get(lead.point, lead.point)}" if lead.point else "")
            )
    return (*known, cell, point)
