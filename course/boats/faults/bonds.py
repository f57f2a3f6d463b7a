"""Faults of the bonding: a conductor parted or corroded, a shaft or a rudder that has lost its contact."""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.boat_parts import Conductor
from course.boats.description import Boat
from course.boats.faults.base import Fault, Severity, Told, in_series, with_conductor
from course.boats.faults.bonded import bonds_of


def _ends(boat: Boat, conductor: Conductor, shape: str) -> bool:
    shapes = {m.id: m.shape for m in boat.metals}
    return shape in (shapes.get(conductor.from_), shapes.get(conductor.to))


def _wires(boat: Boat) -> tuple[Conductor, ...]:
    """Bonding wires that no other fault speaks of: not a rudder's strap, not an anode's lead."""
    anodes = {a.id for a in boat.anodes}
    wires = (c for c in boat.conductors if c.gauge_awg is not None and not c.broken)
    return tuple(c for c in wires if not {c.from_, c.to} & anodes and not _ends(boat, c, "rudder"))


class BrokenBond(Fault):
    """A bonding conductor that has parted."""

    words = Told(
        "the {label} has parted",
        "renew the conductor and both its terminals",
        (
            "The metal behind it rises to its own potential and differs from the common bonding point.",
            "The rest of the bonded metal reads a little more negative, having less to protect.",
            "An ohmmeter between the two ends finds no path but the water.",
        ),
        "bond:{place}",
    )
    kind: Literal["broken_bond"] = "broken_bond"

    def boat(self, boat: Boat) -> Boat:
        """Return the boat without the conductor."""
        return with_conductor(boat, self.place, broken=True)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every bonding wire that is no rudder's strap and no anode's lead."""
        return tuple(cls.at(boat, c.id) for c in _wires(boat))


class HighResistanceBond(Fault):
    """A bonding conductor with a green, loose or undersized joint."""

    words = Told(
        "the {label} has a corroded joint",
        "cut back to bright copper and renew the terminal",
        (
            "The metal behind it stands between its own potential and that of the common bonding point.",
            "An ohmmeter between its ends shows well over one ohm, though the wire looks whole.",
        ),
        "bond:{place}",
    )
    severity: ClassVar[Severity | None] = Severity("joint_ohm", 1.5, 60.0)
    kind: Literal["high_resistance_bond"] = "high_resistance_bond"
    joint_ohm: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the joint's resistance in the conductor."""
        return in_series(boat, self.place, self.joint_ohm)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it wherever a bond may break."""
        return tuple(cls.at(boat, c.id) for c in _wires(boat))


class ShaftWithoutBrush(Fault):
    """A shaft that floats on oil and water: no brush, and a gearbox or coupling that no longer conducts."""

    words = Told(
        "no contact at the {label}, and the shaft has no brush",
        "fit a brush on the shaft and bond it",
        (
            "Shaft and propeller stand apart from the common bonding point, at their own potential or their collar anode's.",
            "Engine block to shaft reads many ohms, and changes as the shaft is turned by hand.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("contact_ohm", 20.0, 5000.0)
    kind: Literal["shaft_without_brush"] = "shaft_without_brush"
    contact_ohm: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the shaft's contact as it turns, on the mean, and without the brush she may have had."""
        bare = {"gauge_awg": None, "length_m": None, "joints_ohm": 0.0}
        shafts = {m.id for m in boat.metals if m.shape == "shaft"}
        wire = next(c for c in boat.conductors if c.id == self.place)
        boat = with_conductor(boat, self.place, contact_ohm=self.contact_ohm, **bare)
        for shaft in shafts & {wire.from_, wire.to}:
            for brush in bonds_of(boat, shaft):
                if brush.id != self.place:
                    boat = with_conductor(boat, brush.id, broken=True)
        return boat

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every contact between an engine and a shaft."""
        blocks = {m.id for m in boat.inside if m.shape == "engine"}
        contacts = (c for c in boat.conductors if c.contact_ohm and {c.from_, c.to} & blocks)
        return tuple(cls.at(boat, c.id) for c in contacts if _ends(boat, c, "shaft"))


class RudderStrapParted(Fault):
    """A strap to a rudder stock that has worn through where it flexes, its ends just touching or not."""

    words = Told(
        "the {label} has worn through",
        "fit a new flexible strap with slack for the full swing of the rudder",
        (
            "The rudder stands at nearly its own potential, hundreds of millivolts from the common bonding point.",
            "The rest of the bonded metal reads a little more negative.",
        ),
        "bond:{place}",
    )
    severity: ClassVar[Severity | None] = Severity("strap_ohm", 5.0, 5000.0)
    kind: Literal["rudder_strap_parted"] = "rudder_strap_parted"
    strap_ohm: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with what is left of the strap."""
        return in_series(boat, self.place, self.strap_ohm)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every bonding wire to a rudder."""
        wires = (c for c in boat.conductors if c.gauge_awg is not None and not c.broken)
        return tuple(cls.at(boat, c.id) for c in wires if _ends(boat, c, "rudder"))
