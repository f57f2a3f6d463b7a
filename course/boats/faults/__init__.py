"""Faults: each a small class with a place, a severity, a physical model, and the traces it leaves."""

from __future__ import annotations

from typing import Annotated, Any, get_args

from pydantic import Field

from course.boats.description import Boat
from course.boats.faults.anodes import (
    AnodeGone,
    AnodeNoContact,
    AnodePainted,
    AnodeWrongAlloy,
    ImpressedCurrentHigh,
    TooMuchMagnesium,
)
from course.boats.faults.ashore import IsolatorFault, NeighbourLeak, ShoreWiring
from course.boats.faults.base import Fault, Severity, grid
from course.boats.faults.bilge import BilgeSplice, BilgeTerminalBlock, FloatSwitchLeak
from course.boats.faults.bonds import BrokenBond, HighResistanceBond, RudderStrapParted, ShaftWithoutBrush
from course.boats.faults.metals import CopperPaintOnAluminium, DissimilarFitting, TrimTabTied
from course.boats.faults.stray import BrushDust, ChafedPositive, PumpShaftShort, SharedReturn, TabActuatorLeak
from course.boats.surroundings import Neighbour

AnyFault = Annotated[
    BrokenBond
    | HighResistanceBond
    | ShaftWithoutBrush
    | RudderStrapParted
    | AnodeGone
    | AnodePainted
    | AnodeWrongAlloy
    | AnodeNoContact
    | TooMuchMagnesium
    | ImpressedCurrentHigh
    | DissimilarFitting
    | CopperPaintOnAluminium
    | TrimTabTied
    | ChafedPositive
    | BrushDust
    | PumpShaftShort
    | TabActuatorLeak
    | SharedReturn
    | BilgeSplice
    | BilgeTerminalBlock
    | FloatSwitchLeak
    | IsolatorFault
    | ShoreWiring
    | NeighbourLeak,
    Field(discriminator="kind"),
]

KINDS: dict[str, type[Fault]] = {
    kind.model_fields["kind"].default: kind for kind in get_args(get_args(AnyFault)[0])
}


def candidates(boat: Boat, neighbours: tuple[Neighbour, ...] = ()) -> tuple[Fault, ...]:
    """Return every fault that a boat can have, at every place, at a middling severity; a neighbour's leaks last."""
    own: list[Fault] = [fault for kind in KINDS.values() for fault in kind.candidates(boat)]
    return (*own, *NeighbourLeak.of(boat, neighbours))


def faulty(boat: Boat, faults: tuple[Fault, ...]) -> Boat:
    """Return the boat with all of some faults in her description."""
    for fault in faults:
        boat = fault.boat(boat)
    return boat


def fault_from(data: dict[str, Any]) -> Fault:
    """Return the fault that plain data describes. Raises KeyError for a kind there is none of, or ValidationError."""
    return KINDS[data["kind"]].model_validate(data)


__all__ = ["KINDS", "AnyFault", "Fault", "Severity", "candidates", "fault_from", "faulty", "grid"]
