"""What can be mended aboard, by name, and what mending it puts right. The list is the same whether anything is wrong or not."""

from __future__ import annotations

from course.boats.by_identity import by_identity
from course.boats.description import Boat
from course.boats.faults import candidates
from course.boats.plan import SlipPlan
from course.boats.setting import BOND
from course.boats.wording import in_a_sentence

_OTHER = {
    "second_hanging_anode": "any anode hung over the side that is not hers",
    "impressed_anode": "impressed-current system, if she has one",
    "added_fitting": "any fitting added since she was built",
    "bilge_water": "bilge: pump it dry and clean it",
    "shore_inlet": "shore-power inlet, by a licensed person",
    "isolator": "galvanic isolator, by a licensed person",
    "common_bonding_point": "common bonding point and its joints",
}


@by_identity
def _named(boat: Boat) -> dict[str, str]:
    """Return every part of a boat that has a name, and whatever any fault she could have would be mended at."""
    named = {part.id: part.label for part in boat.parts}
    named.update({c.id: boat.label(c.id) for c in boat.conductors})
    named.update({c.id: f"wiring of {in_a_sentence(c.label)}" for c in boat.circuits})
    for part in dict.fromkeys(fault.part for fault in candidates(boat)):
        named.setdefault(part, _OTHER.get(part) or boat.label(part))
    return named


def mendable(plan: SlipPlan) -> dict[str, str]:
    """Return every part that can be mended, with its plain name; a neighbour is told, not mended."""
    told = {f"neighbour:{n.id}": f"{n.label}: tell her owner and the marina" for n in plan.neighbours}
    return {**_named(plan.boat), **told}


def wrong_with(plan: SlipPlan, part: str) -> frozenset[str]:
    """Return the ids of the faults that mending a part puts right; none for a sound part.

    A bond that is bad beside a leak is put right by itself, and the leak stays: its fault's id with BOND behind it.
    """
    bonds = {fault.id + BOND for fault in plan.faults if part in fault.bad_bonds(plan.boat)}
    return frozenset(bonds | {fault.id for fault in plan.faults if fault.part == part})
