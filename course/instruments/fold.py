"""A pure fold over the logbook's rows: each act changes the state, takes simulated minutes, and the boat's metals move on.

What would hurt somebody is stopped here, with the reason; what trips at once trips; a fuse that is asked too much blows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from course.boats.afloat import Afloat, Setting
from course.boats.boat_systems import BATTERY_POSITIVE
from course.instruments import acts_bench as bench
from course.instruments import acts_boat as boat
from course.instruments.arguments import Args, SlipError, number, one_of
from course.instruments.measure import fuse_blows
from course.instruments.ohms import tested_members
from course.instruments.points import ISOLATOR_BOAT, ISOLATOR_SHORE
from course.instruments.readings import INSTRUMENTS
from course.instruments.state import CLIPPED, State

LONGEST_WAIT_MINUTES = 24 * 60
SCRAPING_MINUTES = 2
MENDING_MINUTES = 30
MOST_TRIPS = 12  # rounds of breakers opening one another

Act = Callable[[Afloat, State, Args], State]


def _record(afloat: Afloat, state: State, args: Args) -> State:
    one_of({"instrument": args.get("instrument", "meter")}, "instrument", "instrument", INSTRUMENTS)
    return state


def _stay(afloat: Afloat, state: State, args: Args) -> State:
    return state


# what each act does, and the simulated minutes it takes ("wait" takes its own)
ACTS: dict[str, tuple[Act, int]] = {
    "turn_dial": (bench.turn_dial, 0),
    "take_meter": (bench.take_meter, 1),
    "plug": (bench.plug, 0),
    "clip": (bench.clip, 1),
    "null_leads": (bench.null_leads, 0),
    "change_fuse": (bench.change_fuse, 5),
    "take_cell": (bench.take_cell, 1),
    "hang_cell": (bench.hang_cell, 1),
    "lift_cell": (bench.lift_cell, 1),
    "dip_probe": (bench.dip_probe, 1),
    "close_clamp": (bench.close_clamp, 1),
    "open_clamp": (bench.open_clamp, 1),
    "zero_clamp": (bench.zero_clamp, 0),
    "open_link": (boat.link(True), 2),
    "close_link": (boat.link(False), 2),
    "lift_anode": (boat.anode(True), 2),
    "lower_anode": (boat.anode(False), 2),
    "breaker": (boat.breaker, 1),
    "battery_switch": (boat.battery_switch, 1),
    "shore_lead": (boat.shore_lead, 3),
    "mend": (boat.mend, MENDING_MINUTES),
    "wait": (_stay, 0),
    "record": (_record, 1),
}


def minutes_of(before: State, changed: State, action: str, args: Args) -> int:
    """Return the simulated minutes an act takes. Raises SlipError for a wait that is not one."""
    if action == "wait":
        return int(number(args, "minutes", "time to wait", 1, LONGEST_WAIT_MINUTES, "minutes"))
    return ACTS[action][1] + (SCRAPING_MINUTES if changed.scraped != before.scraped else 0)


def _trip(afloat: Afloat, state: State) -> State:
    """Open the breakers that carry more than they are made for."""
    for _ in range(MOST_TRIPS):
        found = afloat.trips(state.setting) - state.setting.open_breakers
        if not found:
            break
        opened: Setting = state.setting._replace(open_breakers=state.setting.open_breakers | found)
        state = replace(state, setting=opened, tripped=state.tripped | found)
    return state


def _hazard(afloat: Afloat, state: State) -> str:
    """Return why a state must not be, or nothing."""
    terminals = {state.leads[name].point for name in CLIPPED} & {ISOLATOR_BOAT, ISOLATOR_SHORE}
    if terminals and state.setting.shore_plugged:
        return (
            "The isolator's terminals stand in the safety earth of a live shore lead: unplug the shore lead at both ends first, "
            "generator and inverter off; with it plugged in, only a clamp round the whole cable is allowed."
        )
    live = sorted(m for m in tested_members(state, afloat) if afloat.live(state.setting, m))
    if BATTERY_POSITIVE in live:
        return "Ohms are never measured at a battery's post: the meter breaks and can burn. Volts are what is measured there."
    if live:
        name = afloat.plan.boat.label(live[0])
        return (
            f"An ohmmeter on a live circuit breaks and can burn: at the {name} a direct current is being pushed. "
            "Battery switch off, breakers ahead of it open, shore lead unplugged; then ohms."
        )
    return ""


def after(afloat: Afloat, state: State, action: str, args: Args) -> State:
    """Return the state once an act is done and the minutes it takes have passed.

    Raises SlipError with one sentence for an act that does not exist, cannot be done, or would hurt or break something.
    """
    known = one_of({"action": action}, "action", "act", ACTS)
    changed = ACTS[known][0](afloat, state, args)
    minutes = minutes_of(state, changed, known, args)
    if changed.setting != state.setting:
        changed = _trip(afloat, changed)
    if changed is not state and known not in ("wait", "record"):
        danger = _hazard(afloat, changed)
        if danger and not _hazard(afloat, state):
            raise SlipError(danger)
    moment = afloat.later(state.moment, changed.setting, minutes)
    done = changed
    if minutes or moment is not changed.moment:
        done = replace(changed, minute=state.minute + minutes, moment=moment)
    return replace(done, fuse_blown=True) if fuse_blows(afloat, done) else done
