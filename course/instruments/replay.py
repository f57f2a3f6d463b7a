"""Taking a logbook's readings again on the same slip: same acts, same minutes, same digits.

One display count either way is accepted, so that a rounding tie never makes an honest learner a forger.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from course.boats.afloat import Afloat
from course.instruments.arguments import SlipError
from course.instruments.fold import after
from course.instruments.logbook import VERSION, rows_of_slip, slip_name
from course.instruments.meter import Display, counts_apart
from course.instruments.readings import leads_of, name_of, settings_of, show
from course.instruments.rows import Row
from course.instruments.state import State, first_state

MOST_ROWS = 5000  # of one slip; a working day at the bench is a few hundred


@dataclass(frozen=True)
class Reading:
    """One reading of a logbook: the state it was taken in, what was written, and whether the slip shows it again."""

    ordinal: int
    state: State
    display: Display
    replays: bool
    instrument: str = "meter"


@dataclass(frozen=True)
class Replay:
    """All readings of a slip's logbook, the acts that led to them, and a sentence for each row that cannot be so."""

    readings: tuple[Reading, ...]
    states: tuple[State, ...]
    problems: tuple[str, ...]
    acts: tuple[Row, ...] = ()  # the row that led to each of the states


def _fault(row: Row, expected: int, minute: int, seen: set[str]) -> str:
    """Return a sentence about a row that cannot stand where it stands, or nothing."""
    if row.get("v") != VERSION:
        return f"Row {expected} of the logbook has version {row.get('v')!r}; this course writes version {VERSION}."
    if row.get("n") != expected:
        return (
            f"Row {expected} of the logbook is numbered {row.get('n')!r}: rows are missing or out of order."
        )
    if str(row.get("id")) in seen:
        return f"Row {expected} of the logbook repeats an act that is already there."
    if row.get("minute") != minute:
        return f"Row {expected} of the logbook is at minute {row.get('minute')!r}; the slip's clock stood at {minute}."
    return ""


def _steps(
    afloat: Afloat, rows: list[Row], problems: list[str]
) -> Iterator[tuple[int, Row, State, State, bool]]:
    """Yield ordinal, row, state before and after, and whether all rows so far stand in order, for each act that can be."""
    state, seen, in_order = first_state(afloat), set[str](), True
    for ordinal, row in enumerate(rows[:MOST_ROWS], start=1):
        fault = _fault(row, ordinal, state.minute, seen)
        if fault:
            problems.append(fault)
            in_order = False
        seen.add(str(row.get("id")))
        if row.get("kind") == "note":
            continue
        try:
            args = row.get("args")
            following = after(afloat, state, str(row.get("action")), args if isinstance(args, dict) else {})
        except SlipError as error:
            problems.append(f"Row {ordinal} of the logbook cannot have happened: {error}")
            continue
        yield ordinal, row, state, following, in_order
        state = following
    if len(rows) > MOST_ROWS:
        problems.append(f"The logbook has {len(rows)} rows of this slip; the first {MOST_ROWS} were read.")


def _context_agrees(row: Row, state: State, instrument: str) -> bool:
    return (
        row.get("leads") == leads_of(state)
        and row.get("settings") == settings_of(state, instrument)
        and row.get("instrument") == name_of(state, instrument)
    )


def replay(afloat: Afloat, rows: Iterable[Row]) -> Replay:
    """Return every reading of this slip in a logbook, each taken again.

    A reading replays when all rows up to its own stand in order, its leads are those of the acts before it, and the
    display differs by one count at most. Never raises for anything the rows hold.
    """
    own = rows_of_slip(rows, slip_name(afloat))
    problems: list[str] = []
    readings: list[Reading] = []
    states: list[State] = []
    acts: list[Row] = []
    for ordinal, row, before, following, in_order in _steps(afloat, own, problems):
        states.append(following)
        acts.append(row)
        if row.get("kind") != "reading":
            continue
        written = Display(str(row.get("display")), str(row.get("unit")))
        args = row.get("args")
        instrument = str(args.get("instrument", "meter")) if isinstance(args, dict) else "meter"
        same = (
            in_order
            and _context_agrees(row, before, instrument)
            and counts_apart(written, show(afloat, before, ordinal, instrument)) <= 1.0
        )
        readings.append(Reading(ordinal, before, written, same, instrument))
        if not same:
            problems.append(
                f"Row {ordinal} of the logbook says {written}; taken again on this boat it does not come out."
            )
    return Replay(tuple(readings), tuple(states), tuple(problems), tuple(acts))
