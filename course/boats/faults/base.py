"""What every fault is: a kind, a place, a severity, what it does to the boat and her network, and how it is told.

A fault changes the description (`boat`), the neighbours (`neighbours`), or adds pieces to the network (`pieces`).
What it is called and what it does to readings is said in words here; what the readings are, the engine says.
"""

from __future__ import annotations

import math
from decimal import Decimal
from functools import cache
from typing import Any, ClassVar, NamedTuple, Self

from pydantic import BaseModel, ConfigDict, model_validator

from course.boats.description import Boat
from course.boats.setting import Setting, Wiring
from course.boats.surroundings import Neighbour
from course.engine.pieces import Pieces


class Severity(NamedTuple):
    """The range of a fault's severity: the name of its field, with its unit, and the least and the most."""

    field: str
    low: float
    high: float


class Told(NamedTuple):
    """A fault in words: what it is called, what is done about it, what it does to readings, its group."""

    title: str
    mend: str
    traces: tuple[str, ...]
    group: str = "{kind}:{place}"


class Fault(BaseModel):
    """A fault at one place of one boat. ``label`` is the plain name of that place."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    words: ClassVar[Told]
    severity: ClassVar[Severity | None] = None
    wets_bilge: ClassVar[bool] = False

    kind: str
    id: str
    place: str
    label: str

    @model_validator(mode="after")
    def _within_range(self) -> Self:
        if self.span is not None:
            name, low, high = self.span
            value = getattr(self, name)
            if not low <= value <= high:
                raise ValueError(f"{name} of a {self.kind} is {value:g}; allowed is {low:g} to {high:g}")
        return self

    @property
    def circuit(self) -> str | None:
        """Return the id of the circuit that feeds it, if one does."""
        return None

    @property
    def span(self) -> Severity | None:
        """Return the range of its severity, or None for a fault that is there or not."""
        return self.severity

    def told(self) -> Told:
        """Return how it is told; every field of the fault may stand in braces."""
        return self.words

    @property
    def title(self) -> str:
        """Return what is wrong, in a few words."""
        return self._say(self.told().title)

    @property
    def mend(self) -> str:
        """Return what is done about it."""
        return self._say(self.told().mend)

    @property
    def traces(self) -> tuple[str, ...]:
        """Return what it does to readings, in sentences."""
        return tuple(self._say(sentence) for sentence in self.told().traces)

    @property
    def group(self) -> str:
        """Return the name it shares with the faults that no measurement can tell from it, or that are mended alike."""
        return self._say(self.told().group)

    @property
    def part(self) -> str:
        """Return the id of the thing one would mend."""
        return self.place

    def _say(self, text: str) -> str:
        return text.format(**dict(self))

    def boat(self, boat: Boat) -> Boat:
        """Return the boat with this fault in her description."""
        return boat

    def bad_bonds(self, boat: Boat) -> tuple[str, ...]:  # noqa: ARG002 - a fault that has some asks the boat
        """Return the bonds that are bad beside what is mended at ``part``; they can be remade by themselves."""
        return ()

    def rebonded(self) -> Fault:
        """Return what is left of it once those bonds are remade."""
        return self

    def neighbours(self, neighbours: tuple[Neighbour, ...]) -> tuple[Neighbour, ...]:
        """Return the neighbours with this fault."""
        return neighbours

    def pieces(self, wiring: Wiring, setting: Setting) -> Pieces:  # noqa: ARG002 (most faults add none)
        """Return what it adds to the network in a setting."""
        return Pieces()

    def weighed(self, value: float) -> Self:
        """Return the same fault at another severity. Raises ValidationError for one outside its range."""
        assert self.span is not None
        return self.model_validate({**dict(self), self.span.field: value})

    @classmethod
    def at(cls, boat: Boat, place: str, tail: str = "", **fields: Any) -> Self:
        """Return this fault at a place of a boat, at a middling severity unless told another."""
        if cls.severity is not None and cls.severity.field not in fields:
            fields[cls.severity.field] = middle(cls.severity)
        kind = cls.model_fields["kind"].default
        name = ":".join(part for part in (kind, place, tail) if part)
        return cls(id=name, place=place, label=fields.pop("label", None) or boat.label(place), **fields)

    @classmethod
    def candidates(cls, boat: Boat) -> tuple[Fault, ...]:
        """Return this fault at every place where a boat can have it, at a middling severity."""
        raise NotImplementedError


@cache
def grid(low: float, high: float) -> tuple[float, ...]:
    """Return every number of three significant digits from low to high, small to large; 0 itself is left out.

    Whole-number arithmetic makes them, so that the same place in the grid is the same number everywhere.
    """
    first, last = math.floor(math.log10(low)), math.floor(math.log10(high))
    edges = Decimal(repr(low)), Decimal(repr(high))
    values = (Decimal(m).scaleb(e - 2) for e in range(first, last + 1) for m in range(100, 1000))
    return tuple(float(v) for v in values if edges[0] <= v <= edges[1])


def middle(severity: Severity) -> float:
    """Return the middle of a severity's grid."""
    values = grid(severity.low, severity.high)
    return values[len(values) // 2]


def with_conductor(boat: Boat, name: str, **changes: Any) -> Boat:
    """Return the boat with one conductor changed."""
    changed = tuple(c.model_copy(update=changes) if c.id == name else c for c in boat.conductors)
    return boat.model_copy(update={"conductors": changed})


def with_anode(boat: Boat, name: str, **changes: Any) -> Boat:
    """Return the boat with one anode changed."""
    changed = tuple(a.model_copy(update=changes) if a.id == name else a for a in boat.anodes)
    return boat.model_copy(update={"anodes": changed})


def in_series(boat: Boat, name: str, ohm: float) -> Boat:
    """Return the boat with a resistance more in one conductor."""
    found = next(c for c in boat.conductors if c.id == name)
    if found.contact_ohm is not None:
        return with_conductor(boat, name, contact_ohm=found.contact_ohm + ohm)
    return with_conductor(boat, name, joints_ohm=found.joints_ohm + ohm)
