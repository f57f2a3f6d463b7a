"""The metal of a boat as her file tells it: hull, metals in the water and inside, anodes, bonding conductors.

Places are metres: ``x_m`` forward of the transom, ``y_m`` to port, ``height_m`` above the water's surface.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Fraction = Annotated[float, Field(gt=0, le=1)]


class BoatRow(BaseModel):
    """What every row of a boat file is: fixed, and without fields that are not known."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Place(BoatRow):
    """A point on the boat."""

    x_m: float
    y_m: float
    height_m: float


class Hull(BoatRow):
    """The hull and its outline from the side (``[x_m, height_m]`` points).

    Two hulls (a catamaran, pontoons) have the same outline, ``hull_spacing_m`` between their centrelines.
    """

    material: Literal["fibreglass", "wood", "steel", "aluminium"]
    length_m: Positive
    beam_m: Positive
    draft_m: Positive
    hulls: Literal[1, 2] = 1
    hull_spacing_m: Positive | None = None
    displacement_kg: Positive | None = None
    cabin_sole_height_m: float = 0.0
    profile: tuple[tuple[float, float], ...]
    deckhouse: tuple[tuple[float, float], ...] = ()
    basis: str = ""

    @model_validator(mode="after")
    def _two_stand_apart(self) -> Hull:
        if (self.hulls == 2) != (self.hull_spacing_m is not None):
            raise ValueError("a boat of two hulls needs hull_spacing_m, and a boat of one has none")
        return self


class Part(BoatRow):
    """A piece of metal: its id, its plain name, its place."""

    id: str
    label: str
    place: Place


MetalShape = Literal[
    "propeller", "shaft", "rudder", "strut", "through_hull", "plate", "hull", "keel", "saildrive", "stern_drive",
    "outboard", "fastening",
]  # fmt: skip


class Metal(Part):
    """One piece of metal in the water; ``bare_fraction`` of its wetted area is bare under its coating."""

    metal: str
    shape: MetalShape
    wetted_area_m2: Positive
    bare_fraction: Fraction = 1.0
    length_m: Positive
    coating: str = ""
    basis: str = ""


class InsideMetal(Part):
    """A piece of metal that the water does not touch."""

    shape: Literal["engine", "fitting"]
    length_m: Positive


class RawWaterMetal(Part):
    """Metal inside that sea water wets, coming through a hose from a seacock."""

    metal: str
    shape: Literal["strainer", "pump", "heat_exchanger"]
    wetted_area_m2: Positive
    hose_length_m: Positive
    hose_bore_m: Positive
    seacock: str
    length_m: Positive
    basis: str = ""


class Anode(Part):
    """A sacrificial anode; ``remaining`` is the fraction of its mass still there.

    ``painted_fraction`` of its face is under paint; ``coating`` says so.
    """

    alloy: str
    mounting: Literal["flush_plate", "collar", "hanging"]
    mass_kg: Positive
    length_m: Positive
    width_m: Positive
    thickness_m: Positive
    remaining: Fraction = 1.0
    painted_fraction: Annotated[float, Field(ge=0, lt=1)] = 0.0
    coating: str = ""
    basis: str = ""


class Conductor(BoatRow):
    """A bonding conductor by gauge and length, or a contact by its resistance."""

    id: str
    from_: str = Field(alias="from")
    to: str
    gauge_awg: int | None = None
    length_m: Positive | None = None
    joints_ohm: NotNegative = 0.0
    contact_ohm: Positive | None = None
    openable: bool = False
    broken: bool = False
    label: str = ""

    @model_validator(mode="after")
    def _has_resistance(self) -> Conductor:
        if (self.contact_ohm is None) == (self.gauge_awg is None or self.length_m is None):
            raise ValueError(f"the conductor {self.id!r} needs either gauge_awg and length_m, or contact_ohm")
        return self


class ClipPoint(BoatRow):
    """A place inside the boat where a test clip can bite."""

    id: str
    at: str
    label: str
