"""What is electrical aboard, as the boat's file tells it: battery, circuits, bilge, shore power."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from course.boats.boat_parts import BoatRow, NotNegative, Place, Positive
from course.engine.shore import IsolatorState

BATTERY_POSITIVE = "battery_positive"
BILGE_WATER = "bilge_water"
SHORE_EARTH = "shore_earth"
DOCK_EARTH = "dock_earth"
ShoreArrangement = Literal["none", "plain", "isolator", "transformer"]
BilgeState = Literal["dry", "damp", "wet"]


class Battery(BoatRow):
    """The battery bank behind its switch; its negative is joined to a member of the boat's metal."""

    label: str = "house battery"
    emf_V: Positive = 12.7
    resistance_ohm: Positive = 0.01
    negative_at: str
    place: Place


class Circuit(BoatRow):
    """A direct-current circuit with its breaker.

    ``load_A`` flows while its breaker is closed and the load runs. A circuit fed from "battery" is ahead of the battery
    switch. ``length_m`` is one way; the route is high, or through the bilge.
    """

    id: str
    label: str
    note: str = ""
    load_A: NotNegative = 0.0
    breaker_A: Positive = 15.0
    feed: Literal["panel", "battery"] = "panel"
    positive_gauge_awg: Annotated[int, Field(ge=-3, le=40)] = 14
    length_m: Positive = 5.0
    route: Literal["high", "bilge"] = "high"
    place: Place | None = None


class BilgeContact(BoatRow):
    """A member of the boat's metal that bilge water touches: its resistance is 1/(conductivity x cell length)."""

    to: str
    cell_length_m: Positive


class Bilge(BoatRow):
    """The bilge, and the water that may stand in it as the boat is found."""

    place: Place
    length_m: Positive
    water: BilgeState = "dry"
    conductivity_S_m: Positive = 3.0
    contacts: tuple[BilgeContact, ...] = ()


class Shore(BoatRow):
    """The shore-power inlet, what stands in its safety earth, and in what state an isolator there is."""

    arrangement: ShoreArrangement = "none"
    isolator: IsolatorState = "healthy"
    earth_at: str
    cord_gauge_awg: Annotated[int, Field(ge=-3, le=40)] = 10
    cord_length_m: Positive = 15.0
    inlet: Place
