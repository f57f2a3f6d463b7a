"""The expanded plan of a slip: one boat in one berth, with its water, starting state and instruments, as plain data.

A plan holds everything the engine and the instruments need, so that a stored plan gives the same slip for ever;
its digest is its name.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import cached_property
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from course.boats.description import STORED, Boat
from course.boats.faults import AnyFault
from course.boats.surroundings import Dock, Leak, Neighbour, NeighbourMetal

__all__ = ["Berth", "Dock", "Kit", "Leak", "Neighbour", "NeighbourMetal", "SlipPlan", "Start"]

Value = float | str | tuple[str, ...]  # what may stand on a sheet of drawn numbers and words


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Berth(_Part):
    """Where the boat lies, and the water she lies in."""

    marina: str
    name: str
    water: str
    depth_m: float
    temperature_degC: float
    salinity: float
    flow_m_per_s: float
    bed_reflection: float


class Start(_Part):
    """The state in which the learner finds the boat."""

    open_links: tuple[str, ...] = ()
    lifted_anodes: tuple[str, ...] = ()
    open_breakers: tuple[str, ...] = ()
    battery_on: bool = True
    shore_plugged: bool = False


class Kit(_Part):
    """The learner's own instruments: the cells in the box and the one in hand, and what each instrument has wrong with it."""

    cell: str = "silver_chloride_sea_water"
    cells: tuple[str, ...] = ("silver_chloride_sea_water",)
    cell_condition: Literal["good", "dry", "contaminated", "cracked"] = "good"
    meter_gain: float = 1.0
    noise_mV: float = 0.6
    clamp_zero_mA: float = 0.0
    long_lead_ohm: float = 0.3


class SlipPlan(_Part):
    """One slip, expanded. ``seed`` feeds the instruments' noise; ``record_card`` is what the boat's papers tell."""

    schema_: Literal[1] = 1
    exercise: str
    seed: str
    boat: Boat
    berth: Berth
    start: Start = Start()
    kit: Kit = Kit()
    faults: tuple[AnyFault, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    dock: Dock | None = None
    record_card: dict[str, str] = {}
    sheet: dict[str, Value] = {}  # numbers and words drawn for an exercise on paper

    @cached_property
    def _canonical(self) -> str:
        return json.dumps(self.model_dump(mode="json", by_alias=True), sort_keys=True, ensure_ascii=False)

    def canonical_json(self) -> str:
        """Return the plan as JSON with sorted keys: the form that is hashed and stored."""
        return self._canonical

    @cached_property
    def digest(self) -> str:
        """Return the plan's name: the first sixteen hex digits of the SHA-256 of its canonical form."""
        return hashlib.sha256(self._canonical.encode("utf-8")).hexdigest()[:16]

    @classmethod
    def stored(cls, content: bytes, name: str) -> SlipPlan:
        """Return the plan that was stored under a name, its hash; its names were looked through when it was made.

        Raises ValueError where it is another, or no plan.
        """
        if hashlib.sha256(content).hexdigest()[:16] != name:
            raise ValueError(f"what is stored under {name} is not what was stored")
        plan = cls.model_validate_json(content, context=STORED)
        plan.__dict__["digest"] = name
        return plan

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> SlipPlan:
        """Return a copy, by pydantic's own; another plan has another name, so what was kept of this one's is left behind."""
        copied = super().model_copy(update=update, deep=deep)
        for kept in ("_canonical", "digest"):
            copied.__dict__.pop(kept, None)
        return copied
