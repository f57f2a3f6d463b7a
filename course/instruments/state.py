"""The state of a slip and how each act changes it: a pure fold over the logbook's rows.

Acts take simulated minutes, and the boat's metals move on while they pass.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from course.boats.afloat import Afloat, Moment, Setting
from course.boats.datasets import nearest
from course.instruments.meter import DIAL, JACKS, LEADS

LONGEST_WAIT_MINUTES = 24 * 60
SHALLOWEST_M = 0.05
OVERHANG_M = 1.0
SIDE_GAP_M = 0.25


class SlipError(ValueError):
    """An act that cannot be done; the message is one sentence for the learner."""

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook shows: the sentence, and no traceback."""
        return [str(self)]


@dataclass(frozen=True)
class CellPlace:
    """Where the reference cell hangs, and since which minute it has been wet."""

    x_m: float
    depth_m: float
    wet_since: int


@dataclass(frozen=True)
class State:
    """Everything that a reading depends on, but for the slip itself."""

    minute: int
    moment: Moment
    setting: Setting
    dial: str = "off"
    cell_jack: str | None = None
    test_jack: str | None = None
    point: str | None = None
    cell: CellPlace | None = None
    open_breakers: frozenset[str] = frozenset()

    def jack_of(self, lead: str) -> str | None:
        """Return the jack a lead is plugged into."""
        return self.cell_jack if lead == "cell lead" else self.test_jack


Args = dict[str, Any]
Act = Callable[[Afloat, State, Args], State]


def first_state(afloat: Afloat) -> State:
    """Return the slip as the learner finds it: settled, the cell dry, nothing plugged in."""
    return State(
        0, afloat.steady(afloat.start), afloat.start, open_breakers=frozenset(afloat.plan.start.open_breakers)
    )


def side_m(afloat: Afloat) -> float:
    """Return how far to port of the centreline the cell hangs."""
    return round(afloat.plan.boat.hull.beam_m / 2 + SIDE_GAP_M, 2)


def cell_limits(afloat: Afloat) -> dict[str, tuple[float, float]]:
    """Return how far along the boat and how deep the cell can hang [m]."""
    return {
        "x_m": (-OVERHANG_M, afloat.plan.boat.hull.length_m + OVERHANG_M),
        "depth_m": (SHALLOWEST_M, afloat.plan.berth.depth_m),
    }


def _one_of(args: Args, name: str, what: str, known: Iterable[str]) -> str:
    value, options = args.get(name), list(known)
    if not isinstance(value, str) or value not in options:
        offered = ", ".join(repr(option) for option in options)
        raise SlipError(
            f"There is no {what} {value!r} here{nearest(str(value), options)}; there are {offered}."
        )
    return value


def _one_or_none(args: Args, name: str, what: str, known: Iterable[str]) -> str | None:
    return None if args.get(name) is None else _one_of(args, name, what, known)


def _number(args: Args, name: str, what: str, low: float, high: float, unit: str) -> float:
    value = args.get(name)
    number = value if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
    if not low <= number <= high:
        raise SlipError(f"The {what} is {value!r}; it can be {low:g} to {high:g} {unit}.")
    return float(number)


def _turn_dial(afloat: Afloat, state: State, args: Args) -> State:
    return replace(state, dial=_one_of(args, "position", "dial position", DIAL))


def _plug(afloat: Afloat, state: State, args: Args) -> State:
    lead = _one_of(args, "lead", "lead", LEADS)
    jack = _one_or_none(args, "jack", "jack", JACKS)
    cell, test = (jack, state.test_jack) if lead == "cell lead" else (state.cell_jack, jack)
    if jack is not None and cell == test:  # one plug a jack: the other lead is pulled out
        cell, test = (jack, None) if lead == "cell lead" else (None, jack)
    return replace(state, cell_jack=cell, test_jack=test)


def _clip(afloat: Afloat, state: State, args: Args) -> State:
    points = [point.id for point in afloat.plan.boat.clip_points]
    return replace(state, point=_one_or_none(args, "point", "clip point", points))


def _hang_cell(afloat: Afloat, state: State, args: Args) -> State:
    limits = cell_limits(afloat)
    x = round(
        _number(args, "x_m", "place of the cell along the boat", *limits["x_m"], "m forward of the transom"),
        2,
    )
    depth = round(_number(args, "depth_m", "depth of the cell", *limits["depth_m"], "m"), 2)
    wet_since = state.cell.wet_since if state.cell else state.minute
    return replace(state, cell=CellPlace(x, depth, wet_since))


def _lift_cell(afloat: Afloat, state: State, args: Args) -> State:
    return replace(state, cell=None)


def _link(opened: bool) -> Act:
    def act(afloat: Afloat, state: State, args: Args) -> State:
        links = [c.id for c in afloat.plan.boat.conductors if c.openable]
        link = _one_of(args, "link", "link", links)
        now = state.setting.open_links - {link}
        return replace(state, setting=state.setting._replace(open_links=now | {link} if opened else now))

    return act


def _anode(lifted: bool) -> Act:
    def act(afloat: Afloat, state: State, args: Args) -> State:
        anodes = [a.id for a in afloat.plan.boat.anodes if a.mounting == "hanging"]
        anode = _one_of(args, "anode", "anode on a line", anodes)
        now = state.setting.lifted - {anode}
        return replace(state, setting=state.setting._replace(lifted=now | {anode} if lifted else now))

    return act


def _breaker(afloat: Afloat, state: State, args: Args) -> State:
    circuit = _one_of(args, "circuit", "circuit", [c.id for c in afloat.plan.boat.circuits])
    closed = args.get("closed")
    if not isinstance(closed, bool):
        raise SlipError(f"A breaker is closed or open, true or false; {closed!r} is neither.")
    now = state.open_breakers - {circuit}
    return replace(state, open_breakers=now if closed else now | {circuit})


def _stay(afloat: Afloat, state: State, args: Args) -> State:
    return state


# what each act does, and the simulated minutes it takes ("wait" takes its own)
ACTS: dict[str, tuple[Act, int]] = {
    "turn_dial": (_turn_dial, 0),
    "plug": (_plug, 0),
    "clip": (_clip, 1),
    "hang_cell": (_hang_cell, 1),
    "lift_cell": (_lift_cell, 1),
    "open_link": (_link(True), 2),
    "close_link": (_link(False), 2),
    "lift_anode": (_anode(True), 2),
    "lower_anode": (_anode(False), 2),
    "breaker": (_breaker, 1),
    "wait": (_stay, 0),
    "record": (_stay, 1),
}


def after(afloat: Afloat, state: State, action: str, args: Args) -> State:
    """Return the state once an act is done and the minutes it takes have passed.

    Raises SlipError with one sentence for an act that does not exist or cannot be done.
    """
    known = _one_of({"action": action}, "action", "act", ACTS)
    act, minutes = ACTS[known]
    if known == "wait":
        minutes = int(_number(args, "minutes", "time to wait", 1, LONGEST_WAIT_MINUTES, "minutes"))
    changed = act(afloat, state, args)
    moment = afloat.later(state.moment, changed.setting, minutes)
    return replace(changed, minute=state.minute + minutes, moment=moment)
