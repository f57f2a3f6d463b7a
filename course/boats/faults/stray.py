"""Stray current straight onto metal: a positive that touches what it should not. Its path decides what it does.

Onto soundly bonded metal it goes home through the wire: a breaker opens, or amperes run in a bonding conductor, and little
enters the water. Onto metal whose bond is poor it goes home through the water, and eats that metal; the bonded metal,
to which the current flows, then reads more negative, not less.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.boat_systems import Circuit
from course.boats.description import Boat
from course.boats.faults.base import Fault, Severity, Told, middle
from course.boats.faults.bonded import bonds_of, is_bonded, nearest_metal, poorly_bonded
from course.boats.setting import Setting, Wiring
from course.boats.wording import in_a_sentence
from course.engine.leakage import leak, shared_return
from course.engine.pieces import Pieces

Path = Literal["bonded", "poor"]
POOR_BOND_OHM = 500.0  # a bond corroded until it hardly conducts (declared)
HOME_BY_WIRE = (
    "The current goes home through the bonding: a clamp round the bond of the {target_label} shows it, in amperes or tenths.",
    "The reading of the bonded metal hardly moves with the breaker of {feed_label}.",
)
TRIPS = (
    "The breaker of {feed_label} opens as soon as it is closed.",
    "Little current enters the water: it goes home through the bonding conductor.",
)
EATS = (
    "The {target_label} reads volts or tenths of a volt less negative while the breaker of {feed_label} is closed.",
    "The rest of the bonded metal may read more negative at the same time: the current flows to it.",
    "The {target_label} is eaten in days, and the more so beside the edges nearest the bonded metal.",
)


class Stray(Fault):
    """A circuit's positive joined to a metal; ``path`` tells whether that metal is soundly bonded."""

    feed: str
    feed_label: str
    target: str
    target_label: str
    path: Path
    by_path: ClassVar[dict[str, Told]]
    poor_severity: ClassVar[Severity | None] = None  # the range where its metal is poorly bonded, if another

    @property
    def span(self) -> Severity | None:
        """Return the range of its severity, by its path."""
        return (self.path == "poor" and self.poor_severity) or self.severity

    def told(self) -> Told:
        """Return its words, by its path."""
        return self.by_path[self.path]

    @property
    def circuit(self) -> str:
        """Return the circuit that feeds it."""
        return self.feed

    @property
    def part(self) -> str:
        """Return the circuit: its wiring or what it feeds is mended."""
        return self.feed

    @property
    def leak_resistance(self) -> float:
        """Return the resistance [ohm] of the leak itself."""
        assert self.severity is not None
        return float(getattr(self, self.severity.field))

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the target's bonds gone bad, if that is the path."""
        return boat if self.path == "bonded" else poorly_bonded(boat, self.target, POOR_BOND_OHM)

    def bad_bonds(self, boat: Boat) -> tuple[str, ...]:
        """Return the bonds of the target that are bad beside the leak; they can be remade by themselves."""
        return () if self.path == "bonded" else tuple(bond.id for bond in bonds_of(boat, self.target))

    def rebonded(self) -> Fault:
        """Return what is left of it once those bonds are remade: the leak, now onto soundly bonded metal."""
        return self.model_copy(update={"path": "bonded"})

    def pieces(self, wiring: Wiring, setting: Setting) -> Pieces:
        """Return the leak, while its circuit is live."""
        if not wiring.live(self.feed, setting):
            return Pieces()
        negative, emf, ohm = wiring.supply(self.feed)
        if negative == wiring.node(self.target):
            return Pieces()  # a short of the battery in itself
        return leak(negative, wiring.node(self.target), emf, ohm + self.leak_resistance)

    @classmethod
    def onto(cls, boat: Boat, circuit: Circuit, target: str) -> tuple[Fault, ...]:
        """Return both forms of it from a circuit onto a metal; only the poor one onto a metal that is not bonded."""
        if boat.battery is None or target == boat.battery.negative_at:
            return ()
        paths: tuple[Path, ...] = ("bonded", "poor") if is_bonded(boat, target) else ("poor",)
        named = {"feed_label": in_a_sentence(circuit.label), "target_label": boat.label(target)}
        return tuple(
            cls.at(
                boat,
                target,
                f"{circuit.id}:{path}",
                feed=circuit.id,
                target=target,
                path=path,
                **named,
                **cls.middling(path),
            )
            for path in paths
        )

    @classmethod
    def middling(cls, path: Path) -> dict[str, float]:
        """Return its severity in the middle of the range of a path."""
        span = (path == "poor" and cls.poor_severity) or cls.severity
        assert span is not None
        return {span.field: middle(span)}

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits that can have it."""
        raise NotImplementedError

    @classmethod
    def target_of(cls, boat: Boat, circuit: Circuit) -> str | None:
        """Return the metal it falls on: that which is nearest."""
        place = circuit.place or boat.common_bonding_point
        return nearest_metal(boat, place.x_m, place.y_m)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return both forms from each circuit that can have it onto the metal nearest to it."""
        pairs = ((c, cls.target_of(boat, c)) for c in cls.circuits(boat))
        return tuple(
            fault for c, target in pairs if target is not None for fault in cls.onto(boat, c, target)
        )


def _named(boat: Boat, *words: str) -> tuple[Circuit, ...]:
    return tuple(c for c in boat.circuits if any(word in f"{c.id} {c.label}".lower() for word in words))


class ChafedPositive(Stray):
    """A positive wire chafed through against a metal."""

    mended: ClassVar[str] = (
        "renew the wire of {feed_label}, and clip and sleeve it where it passes the {target_label}"
    )
    by_path: ClassVar[dict[str, Told]] = {
        "bonded": Told("the positive of {feed_label} is chafed through on the {target_label}, which is soundly bonded",
                       mended, TRIPS, "{feed}:{target}:bonded"),
        "poor": Told("the positive of {feed_label} is chafed through on the {target_label}, whose bond is bad",
                     mended, EATS, "{feed}:{target}:poor"),
    }  # fmt: skip
    severity: ClassVar[Severity | None] = Severity("chafe_ohm", 0.02, 0.3)
    poor_severity: ClassVar[Severity | None] = Severity(
        "chafe_ohm", 5.0, 200.0
    )  # damp, and not under amperes
    kind: Literal["chafed_positive"] = "chafed_positive"
    chafe_ohm: float

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits whose wire runs low."""
        return tuple(c for c in boat.circuits if c.route == "bilge")


class BrushDust(Stray):
    """A pump or blower motor with brush dust from its winding to its frame, bolted to metal."""

    mended: ClassVar[str] = "renew or clean the motor of {feed_label}"
    by_path: ClassVar[dict[str, Told]] = {
        "bonded": Told("the motor of {feed_label} leaks to its frame, on the soundly bonded {target_label}",
                       mended, HOME_BY_WIRE, "{feed}:{target}:bonded"),
        "poor": Told("the motor of {feed_label} leaks to its frame, on the {target_label}, whose bond is bad",
                     mended, EATS, "{feed}:{target}:poor"),
    }  # fmt: skip
    severity: ClassVar[Severity | None] = Severity("dust_ohm", 8.0, 400.0)
    kind: Literal["brush_dust"] = "brush_dust"
    dust_ohm: float

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits with a motor."""
        return _named(boat, "pump", "blower", "sump", "windlass", "winch", "refrigerator")


class PumpShaftShort(Stray):
    """A short from a pump's winding to its shaft, and by the water in the pump to the fitting it draws from."""

    mended: ClassVar[str] = "renew the pump of {feed_label}"
    by_path: ClassVar[dict[str, Told]] = {
        "bonded": Told("the pump of {feed_label} is shorted to its shaft, at the soundly bonded {target_label}",
                       mended, TRIPS, "{feed}:{target}:bonded"),
        "poor": Told("the pump of {feed_label} is shorted to its shaft, at the {target_label}, whose bond is bad",
                     mended, EATS, "{feed}:{target}:poor"),
    }  # fmt: skip
    severity: ClassVar[Severity | None] = Severity("short_ohm", 0.05, 0.5)
    poor_severity: ClassVar[Severity | None] = Severity("short_ohm", 3.0, 80.0)
    kind: Literal["pump_shaft_short"] = "pump_shaft_short"
    short_ohm: float

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits with a pump."""
        return _named(boat, "pump")

    @classmethod
    def target_of(cls, boat: Boat, circuit: Circuit) -> str | None:
        """Return the through-hull fitting nearest to the pump."""
        place = circuit.place or boat.common_bonding_point
        near = [m for m in boat.metals if m.shape == "through_hull"]
        if not near:
            return None
        return min(
            near, key=lambda m: ((m.place.x_m - place.x_m) ** 2 + (m.place.y_m - place.y_m) ** 2, m.id)
        ).id


class TabActuatorLeak(Stray):
    """A trim tab's actuator with water in its motor: its positive leaks through the ram to the tab."""

    mended: ClassVar[str] = "renew the actuator, and part the tab from it with a bush"
    by_path: ClassVar[dict[str, Told]] = {
        "bonded": Told("the actuator of the {target_label} leaks to the tab, which is soundly bonded",
                       mended, HOME_BY_WIRE, "{feed}:{target}:bonded"),
        "poor": Told("the actuator of the {target_label} leaks to the tab, whose bond is bad or wanting",
                     mended, EATS, "{feed}:{target}:poor"),
    }  # fmt: skip
    severity: ClassVar[Severity | None] = Severity("actuator_ohm", 4.0, 300.0)
    kind: Literal["tab_actuator_leak"] = "tab_actuator_leak"
    actuator_ohm: float

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuit of the trim tabs."""
        return _named(boat, "trim tab", "trim_tab")

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return both forms at each tab."""
        tabs = [m.id for m in boat.metals if m.shape == "plate" and "tab" in m.id]
        return tuple(fault for c in cls.circuits(boat) for tab in tabs for fault in cls.onto(boat, c, tab))


class SharedReturn(Stray):
    """A load whose negative wire has gone bad and whose frame sits on metal: the bonding is its return.

    The load's current over the resistance of its negative wire lifts the metal; see `leakage.shared_return`.
    """

    mended: ClassVar[str] = "renew the negative wire of {feed_label} all the way to the bus"
    by_path: ClassVar[dict[str, Told]] = {
        "bonded": Told(
            "the bonding carries the return of {feed_label}, by way of the soundly bonded {target_label}", mended,
            ("A clamp round the bond of the {target_label} shows amperes while {feed_label} runs, and nothing with it off.",
             "The reading of the bonded metal hardly moves."), "{feed}:{target}:bonded"),
        "poor": Told(
            "the bad return of {feed_label} lifts the {target_label}, whose bond is bad", mended,
            ("The {target_label} stands above the bonded metal by the drop along the wire, only while {feed_label} runs.",
             "With the breaker open nothing is wrong but the bond."), "{feed}:{target}:poor"),
    }  # fmt: skip
    severity: ClassVar[Severity | None] = Severity("return_ohm", 0.1, 0.9)
    kind: Literal["shared_return"] = "shared_return"
    return_ohm: float

    def pieces(self, wiring: Wiring, setting: Setting) -> Pieces:
        """Return the drop along the wire, while the load runs."""
        battery, circuit = wiring.boat.battery, wiring.circuit(self.feed)
        if battery is None or not wiring.live(self.feed, setting):
            return Pieces()
        bus, end = wiring.node(battery.negative_at), wiring.node(self.target)
        return Pieces() if bus == end else shared_return(bus, end, self.return_ohm, circuit.load_A)

    @classmethod
    def circuits(cls, boat: Boat) -> tuple[Circuit, ...]:
        """Return the circuits that carry two amperes or more."""
        return tuple(c for c in boat.circuits if c.load_A >= 2.0 and c.place is not None)
