"""The reference hunter at the bench: its steps as acts on a slip, so that what par asks for is known to be possible."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from course.boats.description import COMMON_POINT
from course.boats.plan import SlipPlan
from graders.hands import Hands
from graders.hunt.par import Hunted, Step, Style, hunt
from graders.hunt.part import INSTRUMENTS, NOTHING, true_part, true_way
from graders.hunt.probes import SETTLE_MINUTES, SETTLING, Probe, members

WET_MINUTES = 30


def _point(plan: SlipPlan, member: str) -> str:
    known = {point.at: point.id for point in plan.boat.clip_points if point.at == COMMON_POINT}
    return {**members(plan.boat), **known}[member]


def switch(hands: Hands, on: frozenset[str], plugged: bool) -> bool:
    """Switch the circuits and the shore lead as wanted; return whether anything was switched."""
    slip, plan = hands.slip, hands.task.plan
    before = slip.state.setting
    if before.shore_plugged != plugged:
        slip.shore_lead(plugged)
    for circuit in plan.boat.circuits:
        closed = circuit.id not in slip.state.setting.open_breakers
        if closed != (circuit.id in on):
            slip.breaker(circuit.id, circuit.id in on)
    return slip.state.setting != before


def take(hands: Hands, probe: Probe) -> None:
    """Take one measurement and record it."""
    slip, plan = hands.slip, hands.task.plan
    if probe.kind in ("clamp", "leak"):
        wires = [probe.at] if probe.kind == "clamp" else [f"positive:{probe.at}", f"negative:{probe.at}"]
        slip.open_clamp()
        slip.zero_clamp()
        slip.close_clamp(wires)
        slip.record("clamp")
        return
    slip.turn_dial("200 ohm" if probe.kind == "ohm" else "auto V")
    slip.clip(_point(plan, COMMON_POINT))
    if probe.kind == "bilge":
        slip.plug("bilge probe", "V")
        slip.plug("test lead", "COM")
        slip.dip_probe(True)
    elif probe.kind == "hull":
        slip.plug("cell lead", "COM")
        slip.plug("test lead", "V")
    else:
        slip.plug("test lead", "COM")
        slip.plug("long lead", "V")
        slip.clip(_point(plan, probe.at), "long lead", True)
    slip.record()
    if probe.kind == "ohm":  # before anything is switched on again
        slip.turn_dial("off")


def step(hands: Hands, one: Step, settled: bool = True) -> bool:
    """Do one step: switch, wait for what has to settle, measure; return whether she has settled since she was switched."""
    settled = not switch(hands, one.on, one.plugged) and settled
    if not settled and one.probe.kind in SETTLING:
        hands.slip.wait(SETTLE_MINUTES)
        settled = True
    take(hands, one.probe)
    return settled


def steps(hands: Hands, several: Iterable[Step]) -> bool:
    """Do some steps one after another; return whether she has settled since she was switched last."""
    settled = True
    for one in several:
        settled = step(hands, one, settled)
    return settled


def reference(hands: Hands, style: Style = "one at a time") -> Hunted:
    """Return the reference hunt of the slip's plan."""
    return hunt(hands.task.plan, INSTRUMENTS, style)


def walk(hands: Hands, style: Style = "one at a time") -> Mapping[str, object]:
    """Hunt as the reference hunter does, mend, prove, and return the right answer."""
    plan, slip = hands.task.plan, hands.slip
    slip.hang_cell(hands.amidships, 1.0)
    slip.wait(WET_MINUTES)
    *search, proof = reference(hands, style).steps
    settled = steps(hands, search)
    if true_part(plan) != NOTHING:
        slip.mend(true_part(plan))
    step(hands, proof, settled and true_part(plan) == NOTHING)
    return {"way": true_way(plan), "part": true_part(plan)}
