"""Faults of anodes: gone, painted over, of the wrong alloy, not in contact; and too much of them."""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.boat_parts import Anode, Conductor, InsideMetal, Metal, Place
from course.boats.description import COMMON_POINT, Boat
from course.boats.faults.base import Fault, Severity, Told, in_series, with_anode
from course.boats.setting import Setting, Wiring
from course.engine.leakage import leak
from course.engine.pieces import Pieces

ALLOYS = ("zinc_anode", "aluminium_anode", "magnesium_anode")
DENSITY = {"zinc_anode": 7100.0, "aluminium_anode": 2750.0, "magnesium_anode": 1800.0}  # kg/m3, rounded
EXTRA = "second_hanging_anode"
SYSTEM = "impressed_anode"


class AnodeGone(Fault):
    """An anode used up to its stud."""

    words = Told(
        "the {label} is gone",
        "fit a new anode on a clean face",
        (
            "The bonded metal reads less negative, by more the more anodes are gone.",
            "Nothing is left on the stud to see.",
        ),
    )
    kind: Literal["anode_gone"] = "anode_gone"

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the stud in place of the anode: it is still there to clip to."""
        lost = next(a for a in boat.anodes if a.id == self.place)
        stud = InsideMetal(
            id=lost.id, label=f"stud of the {lost.label}", place=lost.place, shape="fitting", length_m=0.05
        )
        left = tuple(a for a in boat.anodes if a.id != self.place)
        return boat.model_copy(update={"anodes": left, "inside": (*boat.inside, stud)})

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every anode."""
        return tuple(cls.at(boat, a.id) for a in boat.anodes)


class AnodePainted(Fault):
    """An anode under paint, but for scratches."""

    words = Told(
        "the {label} was painted over",
        "take the paint off to bright metal",
        (
            "The bonded metal reads less negative, though the anode looks new and its lead is sound.",
            "The anode takes little part: opening its lead changes little.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("painted_fraction", 0.9, 0.99)
    kind: Literal["anode_painted"] = "anode_painted"
    painted_fraction: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the paint on the anode."""
        return with_anode(boat, self.place, painted_fraction=self.painted_fraction, coating="antifouling")

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every anode on the hull."""
        return tuple(cls.at(boat, a.id) for a in boat.anodes if a.mounting != "hanging")


class AnodeWrongAlloy(Fault):
    """An anode of an alloy that does not suit: magnesium in salt water, zinc in fresh, any other where it is not asked for."""

    words = Told(
        "the {label} is of the wrong alloy",
        "fit an anode of the alloy that this water and this hull want",
        (
            "Magnesium in salt water drives the metal past the good range and is soon gone.",
            "Zinc in fresh water goes passive and holds the metal at little more than its own potential.",
        ),
        "anode_wrong_alloy:{place}:{alloy}",
    )
    kind: Literal["anode_wrong_alloy"] = "anode_wrong_alloy"
    alloy: Literal["zinc_anode", "aluminium_anode", "magnesium_anode"]

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with an anode of the same size in the other alloy."""
        found = next(a for a in boat.anodes if a.id == self.place)
        heavy = DENSITY[self.alloy] / DENSITY.get(found.alloy, 7100.0)
        return with_anode(boat, self.place, alloy=self.alloy, mass_kg=round(found.mass_kg * heavy, 3))

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return each other alloy at every anode."""
        return tuple(
            cls.at(boat, a.id, alloy, alloy=alloy)
            for a in boat.anodes
            for alloy in ALLOYS
            if alloy != a.alloy
        )


class AnodeNoContact(Fault):
    """An anode bolted over paint, corrosion or a loose stud."""

    words = Told(
        "the {label} makes no contact",
        "clean the faces under the anode and its terminals, and bolt it up anew",
        (
            "The bonded metal reads less negative, though the anode looks new.",
            "The anode itself, touched with the lead, reads at its own potential; anode to bond reads many ohms.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("contact_ohm", 10.0, 2000.0)
    kind: Literal["anode_no_contact"] = "anode_no_contact"
    contact_ohm: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the bad contact in everything that holds the anode."""
        for bond in _leads(boat, self.place):
            boat = in_series(boat, bond.id, self.contact_ohm)
        return boat

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every anode that is joined to something."""
        return tuple(cls.at(boat, a.id) for a in boat.anodes if _leads(boat, a.id))


def _leads(boat: Boat, anode: str) -> tuple[Conductor, ...]:
    return tuple(c for c in boat.conductors if anode in (c.from_, c.to) and not c.broken)


class TooMuchMagnesium(Fault):
    """A magnesium anode hung over the side and clipped to the bonding, by someone who meant well."""

    words = Told(
        "a magnesium anode hangs from the bonding",
        "take it off and hang none but the alloy this water wants",
        (
            "In salt water the bonded metal reads far more negative than any zinc can make it.",
            "Paint lifts, and aluminium and wood round the fittings suffer, while nothing looks corroded.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("length_m", 0.15, 0.6)
    kind: Literal["too_much_magnesium"] = "too_much_magnesium"
    length_m: float

    @property
    def part(self) -> str:
        """Return the anode that was added."""
        return EXTRA

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with one anode more, hung from the common bonding point."""
        width, thick = 0.12, 0.05
        mass = round(DENSITY["magnesium_anode"] * self.length_m * width * thick, 3)
        place = Place(
            x_m=round(0.3 * boat.hull.length_m, 2), y_m=round(-0.5 * boat.hull.beam_m - 0.2, 2), height_m=-0.8
        )
        anode = Anode(
            id=EXTRA, label="second hanging anode", place=place, alloy="magnesium_anode", mounting="hanging", mass_kg=mass,
            length_m=self.length_m, width_m=width, thickness_m=thick,
        )  # fmt: skip
        lead = Conductor(
            id=f"{EXTRA}_lead", from_=self.place, to=EXTRA, gauge_awg=8, length_m=5.0, joints_ohm=0.004
        )
        return boat.model_copy(
            update={"anodes": (*boat.anodes, anode), "conductors": (*boat.conductors, lead)}
        )

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it once a boat."""
        return (cls.at(boat, COMMON_POINT),)


class ImpressedCurrentHigh(Fault):
    """An impressed-current system whose control has failed, driving all that its supply can give.

    The supply is a direct voltage behind a resistance that stands for its current limit (declared).
    """

    words = Told(
        "the impressed-current system is set too high",
        "set its control right, checked with a reference cell over the side",
        (
            "The bonded metal reads far more negative than any zinc can make it, and less so with the breaker open.",
            "The system's own anode stands volts positive of the water beside it.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("driver_ohm", 2.0, 20.0)
    kind: Literal["impressed_current_high"] = "impressed_current_high"
    feed: str
    driver_ohm: float

    @property
    def circuit(self) -> str:
        """Return the circuit it is fed from."""
        return self.feed

    @property
    def part(self) -> str:
        """Return the system's anode."""
        return SYSTEM

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the system's anode let into her hull."""
        place = Place(
            x_m=round(0.55 * boat.hull.length_m, 2), y_m=0.0, height_m=round(-0.4 * boat.hull.draft_m, 2)
        )
        anode = Metal(
            id=SYSTEM, label="anode of the impressed-current system", place=place, metal="platinised_titanium",
            shape="through_hull", wetted_area_m2=0.02, length_m=0.16, basis="a disk of 0.16 m, invented",
        )  # fmt: skip
        return boat.model_copy(update={"metals": (*boat.metals, anode)})

    def pieces(self, wiring: Wiring, setting: Setting) -> Pieces:
        """Return the drive from the bonded metal to the system's anode while its circuit is live."""
        if not wiring.live(self.feed, setting):
            return Pieces()
        emf, ohm = wiring.supply(self.feed)[1:]
        return leak(wiring.node(self.place), wiring.node(SYSTEM), emf, ohm + self.driver_ohm)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at the common bonding point, fed from the first circuit whose breaker can carry it."""
        strong = [c.id for c in boat.circuits if c.breaker_A >= 7.5 and c.load_A < 5.0]
        if boat.battery is None or not strong:
            return ()
        return (cls.at(boat, COMMON_POINT, feed=strong[0]),)
