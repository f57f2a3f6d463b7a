"""Who and what else lies in the water of a berth: neighbours, the dock, and the shore lead that ties a boat to them."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from course.boats.boat_systems import DOCK_EARTH, SHORE_EARTH, ShoreArrangement
from course.boats.bodies import Body
from course.engine import disk_resistance, sphere_resistance
from course.engine.leakage import leak
from course.engine.pieces import Pieces, path
from course.engine.shore import IsolatorState, galvanic_isolator, isolation_transformer, safety_earth

Positive = Annotated[float, Field(gt=0)]
CORD_AWG, CORD_M = 10, 15.0  # a neighbour's shore lead (declared)
SOUND_BOND = 0.01  # ohm, a neighbour's earth to her metal (declared)
DOCK_METAL = "dock_metal"


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Leak(_Part):
    """A neighbour's battery on her own metal, whose bond to her earth is gone: volts over her earth, and ohms."""

    emf_V: float
    ohm: Positive


class NeighbourMetal(_Part):
    """One metal of a neighbour: bare area, and depth of its middle."""

    metal: str
    area_m2: Positive
    depth_m: Positive = 0.5


class Neighbour(_Part):
    """A boat in a berth near by. What is wrong with her is never seen, only inferred."""

    id: str
    label: str
    x_m: float
    y_m: float
    metals: tuple[NeighbourMetal, ...]
    arrangement: ShoreArrangement = "plain"
    plugged: bool = True
    leak: Leak | None = None

    @property
    def node(self) -> str:
        """Return the name of the node of her metal."""
        return f"neighbour:{self.id}"

    @property
    def earth(self) -> str:
        """Return the name of the node of her own earth, aboard."""
        return f"neighbour:{self.id}:earth"

    @property
    def inlet(self) -> str:
        """Return the name of the node at her inlet, on the shore side of her isolator."""
        return f"neighbour:{self.id}:inlet"

    def bodies(self) -> tuple[Body, ...]:
        """Return her metals as patches."""
        found = []
        for k, part in enumerate(self.metals):
            radius = math.sqrt(part.area_m2 / (4 * math.pi))
            place = (self.x_m + 0.9 * k, self.y_m, -part.depth_m)
            ohm = sphere_resistance(radius, 1.0)
            found.append(Body(f"{self.node}:{k}", part.metal, part.area_m2, radius, ohm, place))
        return tuple(found)

    def afloat(self, numbers: dict[str, int]) -> Pieces:
        """Return what joins her metal to her own earth: a sound bond, or a leak where the bond is gone."""
        metal, earth = numbers[self.node], numbers[self.earth]
        if self.leak is None:
            return path(earth, metal, SOUND_BOND)
        return leak(earth, metal, self.leak.emf_V, self.leak.ohm)

    def pieces(self, numbers: dict[str, int]) -> Pieces:
        """Return her wiring from her metal to the dock's earth."""
        earth, inlet = numbers[self.earth], numbers[self.inlet]
        total = self.afloat(numbers) + between(self.arrangement, "healthy", earth, inlet)
        if self.plugged and self.arrangement != "none":
            total += safety_earth(inlet, numbers[DOCK_EARTH], CORD_AWG, CORD_M)
        return total


class Dock(_Part):
    """The dock's earth: metal in the water (piles, a ladder), and the resistance on the way to it."""

    metal: str = "mild_steel"
    area_m2: Positive = 4.0
    bare_fraction: Annotated[float, Field(gt=0, le=1)] = 1.0
    x_m: float = 5.0
    y_m: float = -5.0
    depth_m: Positive = 1.0
    resistance_ohm: Positive = 0.5

    def body(self) -> Body:
        """Return the dock's metal as one patch, a plate in the wall of the dock."""
        radius = math.sqrt(self.area_m2 / math.pi)
        area, ohm = self.area_m2 * self.bare_fraction, disk_resistance(radius, 1.0)
        return Body(DOCK_METAL, self.metal, area, radius, ohm, (self.x_m, self.y_m, -self.depth_m))

    def pieces(self, numbers: dict[str, int]) -> Pieces:
        """Return the way from the dock's earth conductor to its metal."""
        return path(numbers[DOCK_METAL], numbers[DOCK_EARTH], self.resistance_ohm)


def between(arrangement: ShoreArrangement, state: IsolatorState, aboard: int, inlet: int) -> Pieces:
    """Return what stands in the safety earth between a boat's earth and her inlet."""
    if arrangement == "isolator":
        return galvanic_isolator(aboard, inlet, state)
    if arrangement == "transformer":
        return isolation_transformer(aboard, inlet)
    return path(aboard, inlet, 1e-3) if arrangement == "plain" else Pieces()


__all__ = ["DOCK_METAL", "SHORE_EARTH", "Dock", "Leak", "Neighbour", "NeighbourMetal", "between"]
