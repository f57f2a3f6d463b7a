"""Acts on the boat: links, anodes on a line, breakers, battery switch, shore lead, and mending. Each returns the new state."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from course.boats.afloat import Afloat
from course.boats.boat_systems import DOCK_EARTH, SHORE_EARTH
from course.instruments.arguments import Args, SlipError, one_of, truth
from course.instruments.mendable import mendable, wrong_with
from course.instruments.over_the_side import hanging
from course.instruments.state import State

SAFETY_EARTH = (
    "The safety earth is never opened, not for a moment and not to stop corrosion: it is what keeps a fault from killing. "
    "An isolator or a transformer, fitted to the local code by a licensed person, is what stops the current."
)
SHORE_SIDE = (
    "Nothing on the shore side is touched: the pedestal and its wiring belong to the marina and a licensed electrician. "
    "Tell the marina what you measured."
)
_SAFETY_NAMES = (SHORE_EARTH, "safety_earth")
_SHORE_NAMES = (DOCK_EARTH, "pedestal", "dock", "shore_power", "marina")

Act = Callable[[Afloat, State, Args], State]


def _not_the_safety_earth(name: object) -> None:
    if name in _SAFETY_NAMES:
        raise SlipError(SAFETY_EARTH)
    if name in _SHORE_NAMES:
        raise SlipError(SHORE_SIDE)


def link(opened: bool) -> Act:
    """Return the act that opens, or closes, a link in the bonding."""

    def act(afloat: Afloat, state: State, args: Args) -> State:
        _not_the_safety_earth(args.get("link"))
        links = [c.id for c in afloat.plan.boat.conductors if c.openable]
        name = one_of(args, "link", "link", links)
        now = state.setting.open_links - {name}
        return replace(state, setting=state.setting._replace(open_links=now | {name} if opened else now))

    return act


def anode(lifted: bool) -> Act:
    """Return the act that lifts a hanging anode out of the water, or lowers it."""

    def act(afloat: Afloat, state: State, args: Args) -> State:
        name = one_of(args, "anode", "anode on a line", [a.id for a in hanging(afloat, state.setting)])
        now = state.setting.lifted - {name}
        return replace(state, setting=state.setting._replace(lifted=now | {name} if lifted else now))

    return act


def breaker(afloat: Afloat, state: State, args: Args) -> State:
    """Switch a circuit's breaker."""
    circuit = one_of(args, "circuit", "circuit", [c.id for c in afloat.plan.boat.circuits])
    closed = truth(args, "closed", "A breaker is closed or open")
    now = state.setting.open_breakers - {circuit}
    opened = now if closed else now | {circuit}
    return replace(
        state, setting=state.setting._replace(open_breakers=opened), tripped=state.tripped - {circuit}
    )


def battery_switch(afloat: Afloat, state: State, args: Args) -> State:
    """Turn the battery switch; what is fed ahead of it stays fed."""
    if afloat.plan.boat.battery is None:
        raise SlipError("This boat has no battery switch.")
    on = truth(args, "on", "The battery switch is on or off")
    return replace(state, setting=state.setting._replace(battery_on=on))


def shore_lead(afloat: Afloat, state: State, args: Args) -> State:
    """Plug the shore lead in, or unplug it: at the pedestal first, then aboard, and it is taken in."""
    shore = afloat.plan.boat.shore
    if shore is None or shore.arrangement == "none":
        raise SlipError("This boat has no shore power.")
    plugged = truth(args, "plugged", "The shore lead is plugged in or not")
    return replace(state, setting=state.setting._replace(shore_plugged=plugged))


def mend(afloat: Afloat, state: State, args: Args) -> State:
    """Remake a part; what was wrong with it is put right, and a sound part is simply remade."""
    _not_the_safety_earth(args.get("part"))
    known = mendable(afloat.plan)
    part = one_of(args, "part", "part to mend", known)
    if part == "isolator" and state.setting.shore_plugged:
        raise SlipError(
            "The isolator stands in the safety earth: unplug the shore lead at both ends before anyone works on it."
        )
    right = state.setting.mended | wrong_with(afloat.plan, part)
    return replace(state, setting=state.setting._replace(mended=right))
