"""Hunts: one of several boats with one fault of some kinds, or none, drawn from a seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from course.boats.datasets import load
from course.boats.description import fleet_boat
from course.boats.draws import Draw, Purpose
from course.boats.faults import Fault, candidates, grid
from course.boats.faults.ashore import NeighbourLeak
from course.boats.plan import Dock, Neighbour, SlipPlan, Start
from course.boats.reserved import BOATS, KINDS, open_to
from course.boats.variation import berth_of, dock_of, kit_of, neighbours_of, varied

BONDS = ("broken_bond", "high_resistance_bond", "shaft_without_brush", "rudder_strap_parted")
ANODES = (
    "anode_gone", "anode_painted", "anode_wrong_alloy", "anode_no_contact", "too_much_magnesium", "impressed_current_high",
)  # fmt: skip
METALS = ("dissimilar_fitting", "copper_on_aluminium", "trim_tab_tied")
ONTO_METAL = ("chafed_positive", "brush_dust", "pump_shaft_short", "tab_actuator_leak", "shared_return")
BILGE = ("bilge_splice", "bilge_terminal_block", "float_switch_leak")
ASHORE = ("isolator_fault", "neighbour_leak")
FLEET = (
    "marsh_lantern", "winter_dunlin", "amber_dusk", "pale_whimbrel", "cold_spindrift", "dawn_squall", "grey_shingle",
    "foam_lark", "long_sandbar", "summer_hail", "noon_ripple", "alder_mist",
)  # fmt: skip
SURVEYED = (
    "marsh_lantern",
    "winter_dunlin",
    "dawn_squall",
    "grey_shingle",
    "amber_dusk",
)  # those with enough that can go wrong
REMAINING, COLLARS = (0.55, 0.95), (0.4, 0.9)  # of the anodes' mass, as she is found (invented)
SALT, FRESH = 15.0, 2.0  # practical salinity: over the one magnesium is wrong, under the other zinc


def _always(_: Fault) -> bool:
    return True


@dataclass(frozen=True)
class Hunt:
    """A family of hunts: the boats, the kinds of fault, how often nothing is wrong, and which faults of those kinds serve."""

    boats: tuple[str, ...]
    kinds: tuple[str, ...]
    nothing: float = 0.15
    serves: Callable[[Fault], bool] = _always
    ashore: bool = False  # with dock and neighbours, and plugged in
    count: int = 1  # how many faults, each of another kind and with another part


def eats(fault: Fault) -> bool:
    """Return whether a stray fault's metal is poorly bonded, so that it is eaten."""
    return getattr(fault, "path", "poor") == "poor"


def sensible(fault: Fault, salinity: float) -> bool:
    """Return whether a fault is one in this water: an alloy that does not suit it, magnesium where there is salt."""
    alloy = getattr(fault, "alloy", None)
    if fault.kind == "too_much_magnesium":
        return salinity >= FRESH
    if alloy is None:
        return True
    return bool(alloy == ("zinc_anode" if salinity < FRESH else "magnesium_anode"))


def _at_a_stud(fault: Fault) -> bool:
    """Whether a bond's far end has a stud inside where a clip can bite."""
    return fault.place.startswith(("bond_rudder", "bond_strut", "bond_tab"))


def _still_fitted(fault: Fault) -> bool:
    """Whether there is an isolator to test."""
    return getattr(fault, "state", "") != "missing"


def marina_of(boat: str) -> str:
    """Return the marina where a boat of the fleet lies. Raises StopIteration for a boat that lies nowhere."""
    return next(name for name, found in load("marina").items() if boat in found["boats"])


HUNTS: dict[str, Hunt] = {
    "bond_hunt": Hunt(FLEET, BONDS),
    "anode_hunt": Hunt(FLEET, ANODES),
    "metal_hunt": Hunt(FLEET, METALS),
    "first_hunt": Hunt(("marsh_lantern",), (*ONTO_METAL, *BILGE), serves=eats),
    "stray_hunt": Hunt(FLEET, (*ONTO_METAL, *BILGE), serves=eats),
    "stray_path": Hunt(FLEET, (*ONTO_METAL, *BILGE), nothing=0.0),
    "shore_hunt": Hunt(FLEET, ASHORE, ashore=True),
    "bond_bench": Hunt(("marsh_lantern",), ("high_resistance_bond",), nothing=0.0, serves=_at_a_stud),
    "isolator_bench": Hunt(
        ("marsh_lantern", "alder_mist", "long_sandbar"), ("isolator_fault",), 0.3, _still_fitted, ashore=True
    ),
    "shore_bench": Hunt(("amber_dusk", "noon_ripple", "pale_whimbrel"), (), ashore=True),
    "survey": Hunt(FLEET, BONDS, nothing=0.3),
    "two_faults": Hunt(SURVEYED, (*BONDS, *ANODES), nothing=0.0, count=2),
    "three_faults": Hunt(SURVEYED, (*BONDS, *ANODES, *BILGE), nothing=0.0, count=3),
    "any_hunt": Hunt(FLEET, (*BONDS, *ANODES, *METALS, *ONTO_METAL, *BILGE), nothing=0.1),
}


@cache
def _own(name: str) -> tuple[Fault, ...]:
    return candidates(fleet_boat(name))


def choices(
    hunt: Hunt, name: str, salinity: float, neighbours: tuple[Neighbour, ...], kinds: tuple[str, ...]
) -> tuple[Fault, ...]:
    """Return every fault that a hunt can put on a boat of the fleet, of the kinds given."""
    found = (*_own(name), *NeighbourLeak.of(fleet_boat(name), neighbours))
    return tuple(f for f in found if f.kind in kinds and hunt.serves(f) and sensible(f, salinity))


def draw_hunt(hunt: Hunt, exercise: str, draw: Draw, purpose: Purpose = "assignment") -> SlipPlan:
    """Return a slip of a hunt: a boat in her own marina, and one fault or none, at a severity of its grid.

    Each kind is as likely as another, and each place within a kind. A boat that can have none of the faults is passed over.
    """
    boats, kinds = open_to(purpose, hunt.boats, BOATS), open_to(purpose, hunt.kinds, KINDS)
    left = list(boats)
    while True:
        name = draw.choice(f"boat of {len(left)}", tuple(left))
        marina = marina_of(name)
        berth = berth_of(draw, marina)
        neighbours = neighbours_of(draw, marina) if hunt.ashore else ()
        found = choices(hunt, name, berth.salinity, neighbours, kinds)
        if found or len(left) == 1:
            break
        left.remove(name)
    return SlipPlan(
        exercise=exercise,
        seed=draw.seed,
        boat=varied(fleet_boat(name), draw, REMAINING, COLLARS),
        berth=berth,
        start=Start(shore_plugged=hunt.ashore),
        kit=kit_of(draw),
        faults=draw_faults(hunt, draw, found),
        neighbours=neighbours,
        dock=_worn_dock(draw, marina) if hunt.ashore else None,
    )


def _worn_dock(draw: Draw, marina: str) -> Dock:
    """The marina's dock with ohms in the joints of its earth, so that current prefers the boats: else nobody would notice."""
    return dock_of(marina).model_copy(update={"resistance_ohm": draw.one_of("dock earth", grid(2.0, 30.0))})


def draw_faults(hunt: Hunt, draw: Draw, found: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """Return as many faults as a hunt has, each of another kind and with another part, at severities of their grids; or nothing wrong."""
    if not found or draw.number("nothing", 0.0, 1.0, 3) < hunt.nothing:
        return ()
    drawn: tuple[Fault, ...] = (_draw_fault(draw, found, ""),)
    for k in range(2, hunt.count + 1):
        used = {name for fault in drawn for name in (fault.kind, fault.part)}
        left = tuple(f for f in found if not used & {f.kind, f.part})
        if left:
            drawn = (*drawn, _draw_fault(draw, left, f" {k}"))
    return drawn


def _draw_fault(draw: Draw, found: tuple[Fault, ...], which: str) -> Fault:
    """Return one of some faults at a severity of its grid; ``which`` tells its draws from those of another fault."""
    kind = draw.choice(f"kind{which}", tuple(dict.fromkeys(f.kind for f in found)))
    named = {f.id: f for f in found if f.kind == kind}
    fault = named[draw.choice(f"place{which}", tuple(named))]
    if fault.span is None:
        return fault
    return fault.weighed(draw.one_of(f"severity{which}", grid(fault.span.low, fault.span.high)))
