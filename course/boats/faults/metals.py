"""Faults of unlike metals: a fitting of another kind added, copper paint on aluminium, a trim tab tied to its actuator."""

from __future__ import annotations

from typing import ClassVar, Literal

from course.boats.boat_parts import Conductor, Metal
from course.boats.datasets import row
from course.boats.description import COMMON_POINT, Boat
from course.boats.faults.base import Fault, Severity, Told
from course.boats.faults.bonded import is_bonded

ADDED = "added_fitting"
ALUMINIUM_SHAPES = ("hull", "saildrive", "stern_drive", "outboard")


def _joined(boat: Boat, metal: Metal, to: str, ohm: float, label: str) -> Boat:
    contact = Conductor(id=f"{metal.id}_contact", from_=to, to=metal.id, contact_ohm=ohm, label=label)
    return boat.model_copy(
        update={"metals": (*boat.metals, metal), "conductors": (*boat.conductors, contact)}
    )


class DissimilarFitting(Fault):
    """A plate or fitting of copper alloy added without a thought for the anodes, joined to what was there."""

    words = Told(
        "a fitting of copper alloy was added at the {label}",
        "take it off, or part it from the other metal and give it its own protection",
        (
            "The bonded metal reads less negative: the same anodes feed one metal more.",
            "Anodes go faster; aluminium and steel beside the fitting pit.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("area_m2", 0.1, 0.9)
    kind: Literal["dissimilar_fitting"] = "dissimilar_fitting"
    area_m2: float

    @property
    def part(self) -> str:
        """Return the fitting."""
        return ADDED

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the fitting, a plate on her bottom amidships."""
        place = boat.common_bonding_point.model_copy(
            update={
                "x_m": round(0.5 * boat.hull.length_m, 2),
                "y_m": -0.3,
                "height_m": round(-0.6 * boat.hull.draft_m, 2),
            }
        )
        added = Metal(
            id=ADDED, label="new earth plate", place=place, metal="tin_bronze", shape="plate", wetted_area_m2=self.area_m2,
            length_m=0.4, basis="drawn",
        )  # fmt: skip
        return _joined(boat, added, self.place, 0.01, "bolts of the new earth plate")

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at a metal hull, or at the common bonding point."""
        hulls = [m.id for m in boat.metals if m.shape == "hull"]
        return (cls.at(boat, hulls[0] if hulls else COMMON_POINT),)


class CopperPaintOnAluminium(Fault):
    """Antifouling with copper on aluminium, through whose worn barrier coat the copper touches the metal."""

    words = Told(
        "antifouling with copper was put on the {label}",
        "strip it, and paint with a barrier coat and an antifouling without copper",
        (
            "The aluminium reads less negative than it should, and pits where the paint is thin.",
            "Its anodes go faster than last year's did.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("copper_fraction", 0.01, 0.2)
    kind: Literal["copper_on_aluminium"] = "copper_on_aluminium"
    copper_fraction: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the copper that touches, as a share of the wetted area, spread over the same metal."""
        under = next(m for m in boat.metals if m.id == self.place)
        # on half of the area, so that the two patches are not one and the same to the lumped form
        copper = under.model_copy(
            update={"id": f"{under.id}_copper", "label": f"copper paint on the {under.label}", "metal": "copper",
                    "wetted_area_m2": 0.5 * under.wetted_area_m2, "bare_fraction": 2.0 * self.copper_fraction, "coating": ""}
        )  # fmt: skip
        return _joined(boat, copper, under.id, 0.05, "worn paint")

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every hull or drive of aluminium."""
        light = (m for m in boat.metals if row("metals", m.metal)["family"] == "aluminium")
        return tuple(cls.at(boat, m.id) for m in light if m.shape in ALUMINIUM_SHAPES)


class TrimTabTied(Fault):
    """A stainless trim tab, left apart on purpose with its own small anode or none, tied to the bonding by its actuator."""

    words = Told(
        "the {label} is tied to the bonding through its actuator",
        "put the insulating bush back between actuator and tab",
        (
            "The bonded metal reads less negative: its anodes feed the tab as well.",
            "Tab and common bonding point read alike, where they should differ.",
        ),
    )
    severity: ClassVar[Severity | None] = Severity("contact_ohm", 0.05, 0.9)
    kind: Literal["trim_tab_tied"] = "trim_tab_tied"
    contact_ohm: float

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with the actuator's path to the tab."""
        tie = Conductor(id=f"{self.place}_actuator", from_=COMMON_POINT, to=self.place, contact_ohm=self.contact_ohm,
                        label="actuator of the trim tab")  # fmt: skip
        return boat.model_copy(update={"conductors": (*boat.conductors, tie)})

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return it at every trim tab that is not bonded."""
        tabs = (m for m in boat.metals if m.shape == "plate" and "tab" in m.id)
        return tuple(cls.at(boat, m.id) for m in tabs if not is_bonded(boat, m.id))
