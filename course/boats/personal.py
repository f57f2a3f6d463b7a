"""From a seed to a slip: the numbers that make one learner's boat differ from another's.

seed = SHA-256 over scheme version, purpose, cohort, learner, exercise and attempt. Same seed, same slip, everywhere:
draws use whole-number hashing only, and every drawn number is rounded to a decimal.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from course.boats.datasets import row
from course.boats.description import Anode, Boat, Conductor, Metal, fleet_boat
from course.boats.plan import Berth, Kit, SlipPlan, Start

SCHEME = "wetslip seed 1"
SHAFT_ANODE_REMAINING = (0.06, 0.16)  # they go first: small, and next to the propellers; invented
SHAFT_ANODE_NEARLY_GONE = (0.01, 0.04)
Purpose = Literal["practice", "assignment", "paper"]


def seed_for(purpose: str, cohort: str, learner: str, exercise: str, attempt: int) -> str:
    """Return the seed, 64 hex digits, of one learner's try at one exercise."""
    parts = (SCHEME, purpose, cohort, learner, exercise, str(attempt))
    text = "\x1f".join(f"{len(part)}:{part}" for part in parts)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@dataclass(frozen=True)
class Draw:
    """Numbers drawn from a seed by name, so that adding one changes no other."""

    seed: str

    def number(self, name: str, low: float, high: float, decimals: int) -> float:
        """Return a number between two bounds, rounded."""
        digest = hashlib.sha256(f"{self.seed}|{name}".encode()).digest()
        return round(low + (high - low) * int.from_bytes(digest[:6], "big") / 2**48, decimals)

    def choice(self, name: str, options: tuple[str, ...]) -> str:
        """Return one of several options."""
        digest = hashlib.sha256(f"{self.seed}|{name}".encode()).digest()
        return options[int.from_bytes(digest[:6], "big") % len(options)]

    def between(self, name: str, bounds: dict[str, float], decimals: int) -> float:
        """Return a number within the low and high of a dataset's range."""
        return self.number(name, bounds["low"], bounds["high"], decimals)


def berth_of(draw: Draw, marina: str) -> Berth:
    """Return a berth of a marina with the water of the day."""
    place = row("marina", marina)
    return Berth(
        marina=place["name"],
        name=draw.choice("berth", tuple(place["berths"])),
        water=place["water"],
        depth_m=draw.between("depth", place["depth_m"], 1),
        temperature_degC=draw.between("temperature", place["temperature_degC"], 1),
        salinity=draw.between("salinity", place["salinity"], 1),
        flow_m_per_s=draw.between("flow", place["flow_m_per_s"], 3),
        bed_reflection=draw.between("bed", place["bed_reflection"], 2),
    )


def middle_berth(marina: str) -> Berth:
    """Return a berth in the middle of everything a marina offers."""
    place = row("marina", marina)

    def middle(name: str) -> float:
        return round((float(place[name]["low"]) + float(place[name]["high"])) / 2, 3)

    return Berth(
        marina=place["name"],
        name=place["berths"][0],
        water=place["water"],
        depth_m=middle("depth_m"),
        temperature_degC=middle("temperature_degC"),
        salinity=middle("salinity"),
        flow_m_per_s=middle("flow_m_per_s"),
        bed_reflection=middle("bed_reflection"),
    )


def varied(
    boat: Boat,
    draw: Draw,
    remaining: tuple[float, float],
    shaft_remaining: tuple[float, float] = SHAFT_ANODE_REMAINING,
) -> Boat:
    """Return the boat with personal areas (+-15 %), shaft contacts, and large anodes worn to a fraction within ``remaining``."""

    def metal(part: Metal) -> Metal:
        twin = part.id.removesuffix("_port").removesuffix("_starboard")
        scale = draw.number(f"area {twin}", 0.85, 1.15, 3)
        return part.model_copy(update={"wetted_area_m2": round(part.wetted_area_m2 * scale, 4)})

    def anode(part: Anode) -> Anode:
        bounds = shaft_remaining if part.mounting == "collar" else remaining
        return part.model_copy(update={"remaining": draw.number(f"remaining {part.id}", *bounds, 2)})

    def conductor(part: Conductor) -> Conductor:
        if part.contact_ohm is None:
            return part
        return part.model_copy(
            update={
                "contact_ohm": round(part.contact_ohm * draw.number(f"contact {part.id}", 0.5, 1.8, 2), 5)
            }
        )

    return boat.model_copy(
        update={
            "metals": tuple(metal(part) for part in boat.metals),
            "anodes": tuple(anode(part) for part in boat.anodes),
            "conductors": tuple(conductor(part) for part in boat.conductors),
        }
    )


def kit_of(draw: Draw) -> Kit:
    """Return the learner's instruments: a meter whose scale is off by up to 0.3 %."""
    return Kit(meter_gain=draw.number("meter gain", 0.997, 1.003, 5))


@dataclass(frozen=True)
class Family:
    """A family of slips: its boat, the marina, and how a draw changes the boat she starts as."""

    boat: str
    marina: str
    change: Callable[[Boat, Draw], tuple[Boat, Start]]


def _as_found(boat: Boat, draw: Draw) -> tuple[Boat, Start]:
    """All anodes in place, somewhat worn."""
    return varied(boat, draw, (0.55, 0.95)), Start()


def _without(boat: Boat, *anodes: str) -> Boat:
    return boat.model_copy(
        update={
            "anodes": tuple(a for a in boat.anodes if a.id not in anodes),
            "conductors": tuple(c for c in boat.conductors if c.to not in anodes),
            "clip_points": tuple(p for p in boat.clip_points if p.at not in anodes),
        }
    )


def _unprotected(boat: Boat, draw: Draw) -> Boat:
    """The large anodes are gone and the shaft anodes nearly so."""
    return varied(_without(boat, "hanging_anode", "hull_anode"), draw, (0.55, 0.95), SHAFT_ANODE_NEARLY_GONE)


def _overprotected(boat: Boat, draw: Draw) -> Boat:
    """A magnesium plate on the transom, in salt water."""
    worn = varied(boat, draw, (0.7, 1.0))
    lighter = {"alloy": "magnesium_anode", "mass_kg": 1.7}
    magnesium = tuple(a.model_copy(update=lighter) if a.mounting == "flush_plate" else a for a in worn.anodes)
    return worn.model_copy(update={"anodes": magnesium})


def _one_of_three(boat: Boat, draw: Draw) -> tuple[Boat, Start]:
    """Protected, unprotected or overprotected, each as likely as the others."""
    state = draw.choice("state", ("protected", "unprotected", "overprotected"))
    if state == "unprotected":
        return _unprotected(boat, draw), Start()
    if state == "overprotected":
        return _overprotected(boat, draw), Start()
    return _as_found(boat, draw)


FAMILIES: dict[str, Family] = {
    "desk": Family("marsh_lantern", "cormorant_reach", _as_found),  # work on paper about a boat
    "hull_potential": Family("marsh_lantern", "cormorant_reach", _as_found),
    "baseline": Family("marsh_lantern", "cormorant_reach", _as_found),
    "verdict": Family("marsh_lantern", "cormorant_reach", _one_of_three),
}


def draw_plan(family: str, exercise: str, seed: str) -> SlipPlan:
    """Return the slip a seed draws from a family; whether it may be used is for the marking side to say.

    Raises KeyError for an unknown family.
    """
    kind = FAMILIES[family]
    draw = Draw(seed)
    boat, start = kind.change(fleet_boat(kind.boat), draw)
    return SlipPlan(
        exercise=exercise,
        seed=seed,
        boat=boat,
        berth=berth_of(draw, kind.marina),
        start=start,
        kit=kit_of(draw),
    )
