"""Faults between boat and shore: an isolator that no longer is one, wiring ashore, a neighbour's leak."""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.description import Boat
from course.boats.faults.base import Fault, Severity, Told
from course.boats.surroundings import Leak, Neighbour

ISOLATOR = "isolator"
INLET = "shore_inlet"


class IsolatorFault(Fault):
    """A galvanic isolator that has failed short, has failed open, or was never fitted or was bridged."""

    words: ClassVar[Told] = Told(
        "the galvanic isolator lets everything through ({state})",
        "have a licensed person fit a new isolator, to the local code",
        (
            "Plugged in, the bonded metal reads otherwise than unplugged: dock and neighbours share her anodes.",
            "The isolator, tested with the shore lead unplugged at both ends, does not block.",
        ),
        "isolator passes",
    )
    opened: ClassVar[Told] = Told(
        "the galvanic isolator has failed open: the safety earth is broken, a danger to life",
        "leave the shore lead out, and have a licensed person fit a new isolator before it is used again",
        (
            "Plugging in changes no reading at all.",
            "The isolator, tested with the shore lead unplugged at both ends, conducts neither way at any test voltage.",
        ),
        "isolator open",
    )
    kind: Literal["isolator_fault"] = "isolator_fault"
    state: Literal["failed short", "failed open", "missing"]

    def told(self) -> Told:
        """Return its words, by its state."""
        return self.opened if self.state == "failed open" else self.words

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with what is left of her isolator."""
        assert boat.shore is not None
        gone = {"arrangement": "plain"}
        change = gone if self.state == "missing" else {"isolator": self.state}
        return boat.model_copy(update={"shore": boat.shore.model_copy(update=change)})

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return each state, where she has an isolator."""
        if boat.shore is None or boat.shore.arrangement != "isolator":
            return ()
        states = ("failed short", "failed open", "missing")
        return tuple(
            cls.at(boat, ISOLATOR, s.replace(" ", "_"), label="galvanic isolator", state=s) for s in states
        )


class ShoreWiring(Fault):
    """Polarity or earth wrong ashore: told and warned of, never to be touched. It adds nothing to direct current."""

    words = Told(
        "the shore socket has {condition}",
        "unplug at the boat, keep off, and report it to the marina: a licensed person puts it right",
        (
            "The polarity lamp at the inlet is lit, or the earth tester's; the metals read as they did.",
            "Caution: metal aboard can be live against the water. Nobody swims, nobody touches, until it is put right.",
        ),
        "{kind}",
    )
    kind: Literal["shore_wiring"] = "shore_wiring"
    condition: Literal["reversed polarity", "no earth"]

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return both conditions, where she has an inlet."""
        if boat.shore is None or boat.shore.arrangement == "none":
            return ()
        conditions = ("reversed polarity", "no earth")
        return tuple(
            cls.at(boat, INLET, c.replace(" ", "_"), label="shore inlet", condition=c) for c in conditions
        )


class NeighbourLeak(Fault):
    """A neighbour whose battery feeds her own metal, and whose way home is the dock's earth and everyone plugged in to it."""

    words = Told(
        "{label} leaks battery current into the water",
        "unplug, tell her owner and the marina; an isolation transformer keeps it out, an isolator does not",
        (
            "Plugged in, the readings along the boat differ from one side or end to the other, and change when the lead is pulled.",
            "Opening every breaker aboard changes nothing.",
            "Current flows in the safety earth, though everything aboard is off.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("leak_ohm", 1.0, 30.0)
    kind: Literal["neighbour_leak"] = "neighbour_leak"
    leak_ohm: float
    emf_V: float = 12.7

    @property
    def part(self) -> str:
        """Return the neighbour."""
        return f"neighbour:{self.place}"

    def neighbours(self, neighbours: tuple[Neighbour, ...]) -> tuple[Neighbour, ...]:
        """Return the neighbours, this one leaking."""
        leaking = {"leak": Leak(emf_V=self.emf_V, ohm=self.leak_ohm), "plugged": True}
        return tuple(n.model_copy(update=leaking) if n.id == self.place else n for n in neighbours)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:  # noqa: ARG003
        """Return none: it is a neighbour's, see `of`."""
        return ()

    @classmethod
    def of(cls, boat: Boat, neighbours: tuple[Neighbour, ...]) -> tuple[Fault, ...]:
        """Return it for each neighbour with a safety earth, where this boat has one as well: a transformer keeps it out."""
        joined = ("plain", "isolator")
        if boat.shore is None or boat.shore.arrangement not in joined:
            return ()
        return tuple(cls.at(boat, n.id, label=n.label) for n in neighbours if n.arrangement in joined)
