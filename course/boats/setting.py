"""What a learner can set aboard, and what a fault may ask of the boat's wiring."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from course.boats.bilge_water import bilge_pieces
from course.boats.boat_systems import Circuit
from course.boats.description import Boat
from course.engine import Water, conductor_resistance
from course.engine.pieces import Pieces

NONE: frozenset[str] = frozenset()
BOND = "+bond"  # behind a fault's id: its bad bond alone


class Setting(NamedTuple):
    """What is open, what hangs out of the water, what is switched on, and what has been mended.

    Mended are faults by their ids, and by an id with BOND behind it the bad bond of one whose leak is still there.
    """

    open_links: frozenset[str]
    lifted: frozenset[str]
    open_breakers: frozenset[str] = NONE
    battery_on: bool = True
    shore_plugged: bool = False
    mended: frozenset[str] = NONE


class Supply(NamedTuple):
    """A circuit's positive as a leak sees it: the node of the battery's negative, volts over it, and ohms on the way."""

    negative: int
    emf: float
    ohm: float


@dataclass(frozen=True)
class Wiring:
    """The nodes of a boat's network by name, and what feeds her circuits."""

    boat: Boat
    numbers: dict[str, int]
    water: Water

    def node(self, name: str) -> int:
        """Return the number of a node. Raises KeyError for a name that this boat's network does not have."""
        return self.numbers[name]

    def circuit(self, name: str) -> Circuit:
        """Return a circuit by id."""
        return next(c for c in self.boat.circuits if c.id == name)

    def supply(self, name: str) -> Supply:
        """Return what stands behind the positive of a circuit: battery and wire."""
        battery, circuit = self.boat.battery, self.circuit(name)
        assert battery is not None, f"{self.boat.id} has no battery"
        wire = conductor_resistance(circuit.positive_gauge_awg, circuit.length_m)
        return Supply(self.node(battery.negative_at), battery.emf_V, battery.resistance_ohm + wire)

    def live(self, name: str, setting: Setting) -> bool:
        """Return whether a circuit is under voltage: breaker closed, and battery on unless it is fed ahead of the switch."""
        if self.boat.battery is None or name in setting.open_breakers:
            return False
        return setting.battery_on or self.circuit(name).feed == "battery"

    def bilge(self) -> Pieces:
        """Return the bilge water and what it touches as pieces of the network."""
        assert self.boat.bilge is not None
        return bilge_pieces(self.boat, self.numbers, self.water)
