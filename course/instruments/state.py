"""The state of a slip: everything a reading depends on, but for the slip itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from course.boats.afloat import Afloat, Moment, Setting
from course.instruments.arguments import SlipError

__all__ = [
    "LEADS",
    "CellPlace",
    "Clamp",
    "Lead",
    "SlipError",
    "State",
    "cell_limits",
    "first_state",
    "side_m",
]

SHALLOWEST_M = 0.05
OVERHANG_M = 1.0
SIDE_GAP_M = 0.25
LEADS = ("cell lead", "test lead", "long lead", "bilge probe")
CLIPPED = ("test lead", "long lead")  # the leads that end in a clip


@dataclass(frozen=True)
class CellPlace:
    """Where the reference cell hangs, and since which minute it has been wet."""

    x_m: float
    depth_m: float
    wet_since: int


@dataclass(frozen=True)
class Lead:
    """Where one lead is: the jack it is plugged into, and the point its clip bites."""

    jack: str | None = None
    point: str | None = None


@dataclass(frozen=True)
class Clamp:
    """The clamp's jaw: the conductors in it, and whether its arrow lies with the way they are named ("forward") or against."""

    around: tuple[str, ...] = ()
    arrow: str = "forward"
    null_mA: float = 0.0
    zeroed: int | None = None  # the minute it was last zeroed


def _no_leads() -> Mapping[str, Lead]:
    return {name: Lead() for name in LEADS}


@dataclass(frozen=True)
class State:
    """Everything that a reading depends on, but for the slip itself."""

    minute: int
    moment: Moment
    setting: Setting
    meter: str = "digital"
    dial: str = "off"
    leads: Mapping[str, Lead] = field(default_factory=_no_leads)
    null_ohm: float = 0.0
    fuse_blown: bool = False
    kind: str = ""  # which reference cell is in hand
    cell: CellPlace | None = None
    dipped: int | None = None  # the minute the bilge probe went in
    scraped: frozenset[str] = frozenset()
    clamp: Clamp = Clamp()
    tripped: frozenset[str] = frozenset()

    def jack_of(self, lead: str) -> str | None:
        """Return the jack a lead is plugged into."""
        return self.leads[lead].jack

    def lead_in(self, jack: str) -> str | None:
        """Return the lead that is plugged into a jack."""
        return next((name for name, lead in self.leads.items() if lead.jack == jack), None)

    @property
    def cell_jack(self) -> str | None:
        """Return the jack of the cell lead."""
        return self.leads["cell lead"].jack

    @property
    def test_jack(self) -> str | None:
        """Return the jack of the test lead."""
        return self.leads["test lead"].jack

    @property
    def point(self) -> str | None:
        """Return what the test lead is clipped to."""
        return self.leads["test lead"].point

    @property
    def open_breakers(self) -> frozenset[str]:
        """Return the circuits whose breaker is open."""
        return self.setting.open_breakers


def first_state(afloat: Afloat) -> State:
    """Return the slip as the learner finds it: settled, the cell dry, nothing plugged in, what trips at once tripped."""
    setting = afloat.start
    tripped = afloat.trips(setting)
    setting = setting._replace(open_breakers=setting.open_breakers | tripped)
    return State(0, afloat.steady(setting), setting, kind=afloat.plan.kit.cell, tripped=tripped)


def side_m(afloat: Afloat) -> float:
    """Return how far to port of the centreline the cell hangs."""
    return round(afloat.plan.boat.hull.beam_m / 2 + SIDE_GAP_M, 2)


def cell_limits(afloat: Afloat) -> dict[str, tuple[float, float]]:
    """Return how far along the boat and how deep the cell can hang [m]."""
    return {
        "x_m": (-OVERHANG_M, afloat.plan.boat.hull.length_m + OVERHANG_M),
        "depth_m": (SHALLOWEST_M, afloat.plan.berth.depth_m),
    }
