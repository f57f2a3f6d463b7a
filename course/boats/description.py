"""A boat as its YAML file tells it, validated: hull, metals, anodes, bonding conductors, circuits.

Places are metres: ``x_m`` forward of the transom, ``y_m`` to port, ``height_m`` above the water's surface.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal

import yaml
from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from course.boats.datasets import datasets_folder, load, nearest

COMMON_POINT = "common_bonding_point"
Positive = Annotated[float, Field(gt=0)]
Fraction = Annotated[float, Field(gt=0, le=1)]


class BoatError(ValueError):
    """A boat file that cannot be used; the message is one sentence for the person who wrote it."""


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Place(_Row):
    """A point on the boat."""

    x_m: float
    y_m: float
    height_m: float


class Hull(_Row):
    """The hull and its outline from the side (``[x_m, height_m]`` points)."""

    material: Literal["fibreglass", "wood", "steel", "aluminium"]
    length_m: Positive
    beam_m: Positive
    draft_m: Positive
    cabin_sole_height_m: float = 0.0
    profile: tuple[tuple[float, float], ...]
    deckhouse: tuple[tuple[float, float], ...] = ()


class Part(_Row):
    """A piece of metal: its id, its plain name, its place."""

    id: str
    label: str
    place: Place


class Metal(Part):
    """One piece of metal in the water."""

    metal: str
    shape: Literal["propeller", "shaft", "rudder", "strut", "through_hull", "plate"]
    wetted_area_m2: Positive
    bare_fraction: Fraction = 1.0
    length_m: Positive
    basis: str = ""


class InsideMetal(Part):
    """A piece of metal that the water does not touch."""

    shape: Literal["engine", "fitting"]
    length_m: Positive


class Anode(Part):
    """A sacrificial anode; ``remaining`` is the fraction of its mass still there."""

    alloy: str
    mounting: Literal["flush_plate", "collar", "hanging"]
    mass_kg: Positive
    length_m: Positive
    width_m: Positive
    thickness_m: Positive
    remaining: Fraction = 1.0


class Conductor(_Row):
    """A bonding conductor by gauge and length, or a contact by its resistance."""

    id: str
    from_: str = Field(alias="from")
    to: str
    gauge_awg: int | None = None
    length_m: Positive | None = None
    joints_ohm: Annotated[float, Field(ge=0)] = 0.0
    contact_ohm: Positive | None = None
    openable: bool = False
    broken: bool = False
    label: str = ""

    @model_validator(mode="after")
    def _has_resistance(self) -> Conductor:
        if (self.contact_ohm is None) == (self.gauge_awg is None or self.length_m is None):
            raise ValueError(f"the conductor {self.id!r} needs either gauge_awg and length_m, or contact_ohm")
        return self


class ClipPoint(_Row):
    """A place inside the boat where a test clip can bite."""

    id: str
    at: str
    label: str


class Circuit(_Row):
    """A direct-current circuit with its breaker."""

    id: str
    label: str
    note: str = ""


class Boat(_Row):
    """A whole boat."""

    schema_: Literal[1] = Field(alias="schema")
    id: str
    name: str
    kind: str
    history: str = ""
    status: str
    hull: Hull
    common_bonding_point: Place
    metals: tuple[Metal, ...]
    inside: tuple[InsideMetal, ...] = ()
    anodes: tuple[Anode, ...] = ()
    conductors: tuple[Conductor, ...] = ()
    clip_points: tuple[ClipPoint, ...]
    circuits: tuple[Circuit, ...] = ()

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every piece of metal, in the water and inside."""
        return (*self.metals, *self.anodes, *self.inside)

    @property
    def members(self) -> tuple[str, ...]:
        """Every piece of metal by id, the common bonding point first: the nodes of the boat's network."""
        return (COMMON_POINT, *(part.id for part in self.parts))

    def place(self, member: str) -> Place:
        """Return where a member is."""
        if member == COMMON_POINT:
            return self.common_bonding_point
        return next(part.place for part in self.parts if part.id == member)

    @model_validator(mode="after")
    def _hangs_together(self) -> Boat:
        names = self.members
        doubled = {name for name in names if names.count(name) > 1}
        if doubled:
            raise ValueError(
                f"the id {sorted(doubled)[0]!r} is used twice; every piece of metal needs its own"
            )
        known = load("metals")
        for part, alloy in [*((m, m.metal) for m in self.metals), *((a, a.alloy) for a in self.anodes)]:
            if alloy not in known:
                raise ValueError(
                    f"{part.id!r} is of a metal that is not known, {alloy!r}{nearest(alloy, known)}"
                )
        ends = [(c.id, end) for c in self.conductors for end in (c.from_, c.to)]
        for owner, end in [*ends, *((p.id, p.at) for p in self.clip_points)]:
            if end not in names:
                raise ValueError(
                    f"{owner!r} is joined to {end!r}, which this boat does not have{nearest(end, names)}"
                )
        return self


def _spot(document: Any, steps: tuple[int | str, ...]) -> str:
    """Return the place of an error in words: list entries by their id, not by their number."""
    words: list[str] = []
    for step in steps:
        try:
            document = document[step]
        except (KeyError, IndexError, TypeError):
            document = None
        named = document.get("id") if isinstance(step, int) and isinstance(document, dict) else None
        words.append(str(named or step))
    return ", ".join(words)


def _sentence(where: str, document: Any, error: ValidationError) -> str:
    first = error.errors()[0]
    message = first["msg"].removeprefix("Value error, ").replace("Input should", "it should")
    spot = _spot(document, first["loc"])
    value = "" if first["type"] == "value_error" else f", and is {first['input']!r}"[:80]
    return f"{where}: {spot + ': ' if spot else ''}{message}{value}"


def boat_from_document(document: Any, where: str) -> Boat:
    """Return the boat a parsed YAML document describes.

    Raises BoatError with one sentence naming the place, the value and what is allowed.
    """
    try:
        return Boat.model_validate(document)
    except ValidationError as error:
        raise BoatError(_sentence(where, document, error)) from error


def read_boat(path: Path) -> Boat:
    """Return the boat described by a YAML file. Raises BoatError when the file cannot be used."""
    try:
        document = yaml.safe_load(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise BoatError(f"the boat file {path.name} cannot be read: {error.strerror}") from error
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise BoatError(
            f"the boat file {path.name} is not readable YAML: {str(error).splitlines()[0]}"
        ) from error
    return boat_from_document(document, path.name)


@cache
def fleet_boat(name: str) -> Boat:
    """Return a boat of Cormorant Reach by id. Raises BoatError, with the nearest name, for another."""
    path = datasets_folder() / "boats" / f"{name}.yaml"
    if not path.is_file():
        known = [p.stem for p in path.parent.glob("*.yaml")]
        raise BoatError(f"no boat {name!r} lies at Cormorant Reach{nearest(name, known)}")
    return read_boat(path)
