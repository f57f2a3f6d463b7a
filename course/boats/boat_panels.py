"""A boat in panels, and her field reduced once: what the resolved form is made of, and fresh water's lumped form."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from course.boats.bodies import boat_bodies
from course.boats.description import Boat
from course.boats.plan import Berth
from course.boats.resolved_hull import hull_panels
from course.boats.resolved_shapes import anode_panels, metal_panels
from course.engine.field import Basin, Field, Panels, join, water_field

Array = NDArray[np.float64]


def boat_panels(boat: Boat, along: int, girth: int) -> tuple[Panels, list[str]]:
    """All panels of a boat and the owner of each patch: flush metals first, then metals, then anodes."""
    shell, owners = hull_panels(boat, along, girth)
    parts: list[Panels] = [shell]
    drawn = [(m.id, metal_panels(m, boat)) for m in boat.metals if m.id not in hosts(boat)]
    drawn += [(a.id, anode_panels(a, boat)) for a in boat.anodes]
    for owner, sheet in drawn:
        if sheet is None:
            continue
        parts.append(sheet.numbered(sheet.patch + len(owners)))
        owners += [owner] * sheet.patches
    return join(*parts), owners


def hosts(boat: Boat) -> dict[str, str]:
    """The metals without panels of their own, and whose they share: behind a hose its seacock's, copper paint what it is on."""
    behind = {part.id: part.seacock for part in boat.raw_water}
    names = {m.id for m in boat.metals}
    return behind | {
        m: m.removesuffix("_copper")
        for m in names
        if m.endswith("_copper") and m.removesuffix("_copper") in names
    }


@dataclass(frozen=True, eq=False)
class Pool:
    """The field of a boat's patches, guests (see `hosts`) after the others.

    owners (n,) the metal of each patch; transfer (n, n) ohm at 1 S/m; drawn (n,) m2 of each patch as drawn, guests' as described.
    """

    field: Field
    owners: tuple[str, ...]
    transfer: Array
    drawn: Array
    seats: Array  # (guests, patches with panels): the part of each patch in a guest's place

    def to_points(self, points: Array) -> Array:
        """Potential at points (p, 3) m per ampere from each patch (p, n) [ohm at 1 S/m]."""
        own = self.field.to_points(points)
        return np.concatenate([own, own @ self.seats.T], axis=1)

    def of_panels(self, current: Array) -> Array:
        """Currents of the patches with panels, guests' given to their hosts': what a map of the field is handed."""
        own = self.field.patches
        return np.asarray(current[:own] + self.seats.T @ current[own:])

    @cached_property
    def metals(self) -> tuple[str, ...]:
        """Every metal once, in the order of its first patch."""
        return tuple(dict.fromkeys(self.owners))


def pool_of(boat: Boat, berth: Berth, along: int, girth: int) -> Pool:
    """Draw a boat in panels, and reduce her field; a guest adds its own resistance to what its host's patches feel."""
    panels, owners = boat_panels(boat, along, girth)
    field = water_field(panels, Basin(True, berth.depth_m, berth.bed_reflection))
    bodies = {body.id: body for body in boat_bodies(boat)}
    guests = [(guest, host) for guest, host in hosts(boat).items() if host in owners]
    seats = np.zeros((len(guests), field.patches))
    for k, (_, host) in enumerate(guests):
        mine = np.array([owner == host for owner in owners])
        seats[k, mine] = field.patch_area[mine] / field.patch_area[mine].sum()
    own = np.diag([_own_resistance(bodies[guest].self_resistance, guest) for guest, _ in guests])
    across = seats @ field.transfer
    transfer = np.block(
        [[field.transfer, across.T], [across, across @ seats.T + own.reshape(len(guests), len(guests))]]
    )
    drawn = np.concatenate([field.patch_area, [bodies[guest].area for guest, _ in guests]])
    return Pool(field, (*owners, *(guest for guest, _ in guests)), transfer, drawn, seats)


def _own_resistance(alone: float, guest: str) -> float:
    """What a guest has besides its host: a hose's whole column; of paint's bare specks, half of what its area would have."""
    return 0.5 * alone if guest.endswith("_copper") else alone
