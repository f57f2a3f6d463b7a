"""A boat as her YAML file tells it, validated: that every name in it is one she has.

Her parts are in `boat_parts`, what is electrical aboard in `boat_systems`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml
from pydantic import Field, ValidationError, ValidationInfo, model_validator

from course.boats.boat_parts import (
    Anode,
    BoatRow,
    ClipPoint,
    Conductor,
    Hull,
    InsideMetal,
    Metal,
    Part,
    Place,
    RawWaterMetal,
)
from course.boats.boat_systems import BATTERY_POSITIVE, Battery, Bilge, BilgeContact, Circuit, Shore
from course.boats.by_identity import by_identity
from course.boats.datasets import SAFE, datasets_folder, load, nearest

__all__ = [
    "COMMON_POINT",
    "Anode",
    "Battery",
    "Bilge",
    "BilgeContact",
    "Boat",
    "BoatError",
    "Circuit",
    "ClipPoint",
    "Conductor",
    "Hull",
    "InsideMetal",
    "Metal",
    "Part",
    "Place",
    "RawWaterMetal",
    "Shore",
    "boat_from_document",
    "fleet_boat",
    "read_boat",
]

COMMON_POINT = "common_bonding_point"
STORED: dict[
    str, str
] = {}  # the context in which a boat is read again that was looked through when she was stored


class BoatError(ValueError):
    """A boat file that cannot be used; the message is one sentence for the person who wrote it."""


class Boat(BoatRow):
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
    raw_water: tuple[RawWaterMetal, ...] = ()
    conductors: tuple[Conductor, ...] = ()
    clip_points: tuple[ClipPoint, ...]
    battery: Battery | None = None
    circuits: tuple[Circuit, ...] = ()
    bilge: Bilge | None = None
    shore: Shore | None = None

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every piece of metal, in the water and inside."""
        return (*self.metals, *self.anodes, *self.inside, *self.raw_water)

    @property
    def members(self) -> tuple[str, ...]:
        """Every piece of metal by id, the common bonding point first: the nodes of the boat's network."""
        return (COMMON_POINT, *(part.id for part in self.parts))

    def place(self, member: str) -> Place:
        """Return where a member, or the battery's positive post, is."""
        if member == COMMON_POINT:
            return self.common_bonding_point
        if member == BATTERY_POSITIVE and self.battery is not None:
            return self.battery.place
        return next(part.place for part in self.parts if part.id == member)

    def label(self, member: str) -> str:
        """Return the plain name of a member, a conductor, a circuit or the battery's positive post."""
        found = _names(self).get(member, "")
        if found:
            return found
        wire = next((c for c in self.conductors if c.id == member), None)
        if wire is None:
            return member.replace("_", " ")
        if not wire.label:
            return f"bonding conductor from the {self.label(wire.from_)} to the {self.label(wire.to)}"
        shared = sum(c.label == wire.label for c in self.conductors) > 1
        return f"{wire.label} at the {self.label(wire.to)}" if shared else wire.label

    @model_validator(mode="after")
    def _hangs_together(self, info: ValidationInfo) -> Boat:
        if info.context is STORED:
            return self
        for ids, what in ((self.members, "piece of metal"), (self._other_ids(), "thing")):
            doubled = {name for name in ids if ids.count(name) > 1}
            if doubled:
                raise ValueError(f"the id {sorted(doubled)[0]!r} is used twice; every {what} needs its own")
        known = load("metals")
        alloyed = [(m.id, m.metal) for m in self.metals] + [(m.id, m.metal) for m in self.raw_water]
        for part, alloy in [*alloyed, *((a.id, a.alloy) for a in self.anodes)]:
            if alloy not in known:
                raise ValueError(
                    f"{part!r} is of a metal that is not known, {alloy!r}{nearest(alloy, known)}"
                )
        for owner, end, names in self._ends():
            if end not in names:
                raise ValueError(
                    f"{owner!r} is joined to {end!r}, which this boat does not have{nearest(end, names)}"
                )
        return self

    def _other_ids(self) -> tuple[str, ...]:
        return (*(c.id for c in self.conductors), *(c.id for c in self.circuits))

    def _ends(self) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Every (owner, name it uses, names it may use)."""
        names = self.members
        flush = tuple(m.id for m in self.metals)
        clips = (*names, BATTERY_POSITIVE) if self.battery is not None else names
        yield from ((c.id, end, names) for c in self.conductors for end in (c.from_, c.to))
        yield from ((p.id, p.at, clips) for p in self.clip_points)
        yield from ((part.id, part.seacock, flush) for part in self.raw_water)
        if self.battery is not None:
            yield "battery", self.battery.negative_at, names
        if self.bilge is not None:
            yield from (("bilge", contact.to, names) for contact in self.bilge.contacts)
        if self.shore is not None:
            yield "shore", self.shore.earth_at, names


@by_identity
def _names(boat: Boat) -> dict[str, str]:
    battery = "battery" if boat.battery is None else boat.battery.label
    names = {COMMON_POINT: "common bonding point", BATTERY_POSITIVE: f"{battery} positive"}
    return names | {part.id: part.label for part in boat.parts} | {c.id: c.label for c in boat.circuits}


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
        document = yaml.load(path.read_text(encoding="utf-8"), Loader=SAFE)
    except OSError as error:
        raise BoatError(f"the boat file {path.name} cannot be read: {error.strerror}") from error
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise BoatError(
            f"the boat file {path.name} is not readable YAML: {str(error).splitlines()[0]}"
        ) from error
    return boat_from_document(document, path.name)


_ADDED: dict[str, Boat] = {}


def add_boat(boat: Boat) -> None:
    """Let an instructor's own boat be found by `fleet_boat`. Raises BoatError when the fleet has one of that id."""
    if (datasets_folder() / "boats" / f"{boat.id}.yaml").is_file():
        raise BoatError(f"the fleet has a boat {boat.id!r} already; give yours another id")
    _ADDED[boat.id] = boat
    fleet_boat.cache_clear()


@cache
def fleet_boat(name: str) -> Boat:
    """Return a boat of Cormorant Reach by id, or an added one. Raises BoatError, with the nearest name, for another."""
    if name in _ADDED:
        return _ADDED[name]
    path = datasets_folder() / "boats" / f"{name}.yaml"
    if not path.is_file():
        known = [*_ADDED, *(p.stem for p in path.parent.glob("*.yaml"))]
        raise BoatError(f"no boat {name!r} lies at Cormorant Reach{nearest(name, known)}")
    return read_boat(path)
