"""Stray current into bilge water: a splice, a terminal block, a float switch. What the water touches takes it up.

If all that the water touches is bonded, the current goes home through the bonding and the wire itself is eaten. A fitting that is
not, or hardly, bonded passes it on to the water outside, and is eaten there.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.boat_systems import BILGE_WATER, Circuit
from course.boats.description import Boat
from course.boats.faults.base import Fault, Severity, Told
from course.boats.faults.bonded import is_bonded
from course.boats.faults.stray import EATS, Stray
from course.boats.setting import Setting, Wiring
from course.boats.wording import in_a_sentence
from course.engine.leakage import leak
from course.engine.pieces import Pieces

WIRE_EATEN = (
    "A probe in the bilge water reads volts against the common bonding point while the breaker of {feed_label} is closed.",
    "The reading of the bonded metal hardly moves: the current goes home through what the bilge water touches.",
    "The wire itself is eaten, until it parts.",
)


def _words(what: str, mend: str) -> dict[str, Told]:
    volts = WIRE_EATEN[0]
    return {
        "bonded": Told(
            f"{what}; what the water touches is soundly bonded", mend, WIRE_EATEN, "{feed}:bilge:bonded"
        ),
        "poor": Told(
            f"{what}; the {{target_label}} is hardly bonded",
            mend,
            (volts, *EATS),
            "{feed}:bilge:{target}:poor",
        ),
    }


class BilgeStray(Stray):
    """A circuit's positive in bilge water. ``target`` is the fitting whose bond is bad, where one is."""

    wets_bilge: ClassVar[bool] = True

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with water in her bilge up to the leak, and the target's bonds gone bad, if that is the path."""
        assert boat.bilge is not None
        wet = boat.model_copy(update={"bilge": boat.bilge.model_copy(update={"water": "wet"})})
        return super().boat(wet)

    def pieces(self, wiring: Wiring, setting: Setting) -> Pieces:
        """Return the leak into the bilge water, while its circuit is live."""
        if not wiring.live(self.feed, setting):
            return Pieces()
        negative, emf, ohm = wiring.supply(self.feed)
        return leak(negative, wiring.node(BILGE_WATER), emf, ohm + self.leak_resistance)

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits whose wire runs through the bilge."""
        return tuple(c for c in boat.circuits if c.route == "bilge")

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return both forms for each circuit; the bad bond is that of the fitting the bilge water touches most."""
        if boat.bilge is None or boat.battery is None or not boat.bilge.contacts:
            return ()
        wet = {m.id for m in (*boat.metals, *boat.raw_water)}
        touched = sorted(boat.bilge.contacts, key=lambda c: (-c.cell_length_m, c.to))
        target = next((c.to for c in touched if c.to in wet and c.to != boat.battery.negative_at), None)
        return tuple(f for c in cls.circuits(boat) for f in cls.in_bilge(boat, c, target))

    @classmethod
    def in_bilge(cls, boat: Boat, circuit: Circuit, target: str | None) -> tuple[Fault, ...]:
        """Return the forms of it that a circuit can have."""
        assert boat.bilge is not None
        named = {"feed": circuit.id, "feed_label": in_a_sentence(circuit.label), "label": "the bilge"}
        sound = all(is_bonded(boat, c.to) for c in boat.bilge.contacts)
        found: list[Fault] = []
        if sound:
            first = boat.bilge.contacts[0].to
            there = {"target": first, "target_label": boat.label(first)}
            found.append(cls.at(boat, BILGE_WATER, f"{circuit.id}:bonded", path="bonded", **named, **there))
        if target is not None:
            there = {"target": target, "target_label": boat.label(target)}
            found.append(cls.at(boat, BILGE_WATER, f"{circuit.id}:poor", path="poor", **named, **there))
        return tuple(found)


class BilgeSplice(BilgeStray):
    """A splice in a positive wire under bilge water."""

    by_path: ClassVar[dict[str, Told]] = _words(
        "a splice in the positive of {feed_label} lies in bilge water",
        "cut the splice out and run the wire high and whole",
    )
    severity: ClassVar[Severity | None] = Severity("splice_ohm", 5.0, 150.0)
    kind: Literal["bilge_splice"] = "bilge_splice"
    splice_ohm: float


class BilgeTerminalBlock(BilgeStray):
    """A terminal block low in the bilge, wetted by its water and by dirt on it."""

    by_path: ClassVar[dict[str, Told]] = _words(
        "the terminal block of {feed_label} stands in bilge water",
        "move the terminal block up to a dry place",
    )
    severity: ClassVar[Severity | None] = Severity("block_ohm", 10.0, 600.0)
    kind: Literal["bilge_terminal_block"] = "bilge_terminal_block"
    block_ohm: float


class FloatSwitchLeak(BilgeStray):
    """A float switch with water in it. It is fed ahead of the battery switch, so that turning the boat off does not stop it."""

    by_path: ClassVar[dict[str, Told]] = _words(
        "the float switch of {feed_label}, fed ahead of the battery switch, leaks into bilge water",
        "renew the float switch",
    )
    severity: ClassVar[Severity | None] = Severity("switch_ohm", 5.0, 400.0)
    kind: Literal["float_switch_leak"] = "float_switch_leak"
    switch_ohm: float

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits of the bilge that are fed ahead of the battery switch."""
        return tuple(c for c in boat.circuits if c.route == "bilge" and c.feed == "battery")


__all__ = ["BilgeSplice", "BilgeTerminalBlock", "FloatSwitchLeak"]
