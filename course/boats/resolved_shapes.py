"""The shape of a described boat in panels: her hull below the water, and each metal cut into patches.

A description gives a profile, a beam and a place and length for each metal; what it does not give is declared here, once:
the plan of the waterline, the section of the hull, and the simple shapes that stand for fittings.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.boats.description import Anode, Boat, Metal, Place
from course.engine.field import Panels, cuts, even, graded, hull, plate, sector, tube

Array = NDArray[np.float64]

FULL_AFT = 0.45  # part of the waterline, from the transom, over which the beam is full (declared)
BILGE = 4  # a section is z = -depth (1 - (y/half beam)^BILGE): a flat floor with a round bilge (declared)
BLADES = 4  # of a propeller, half of its disk together (declared, as the demo boat's basis says)
HUB = 0.2  # hub radius over tip radius (declared)
MINIMUM_DEPTH = 0.05  # m, as in the lumped form


class Flush(NamedTuple):
    """Metal let into the hull: the bottom (x, y) or the transom (y, z) around a centre, and its sides [m]."""

    id: str
    transom: bool
    centre: tuple[float, float]
    sides: tuple[float, float]
    parts: tuple[int, int]


class Lines:
    """The hull's lines below the water, from profile and beam."""

    def __init__(self, boat: Boat) -> None:
        below = sorted((x, min(h, 0.0)) for x, h in boat.hull.profile if h <= 0.0)
        keel = np.array(below)
        self.x, self.keel = keel[:, 0], keel[:, 1]
        self.aft, self.stem = float(self.x[0]), float(self.x[-1])
        self.half_beam = boat.hull.beam_m / 2.0

    def beam_at(self, x: Array) -> Array:
        """Half beam at the waterline [m]: full aft, then an ellipse to the stem."""
        shoulder = self.aft + FULL_AFT * (self.stem - self.aft)
        forward = np.clip((x - shoulder) / (self.stem - shoulder), 0.0, 1.0)
        return np.asarray(self.half_beam * np.sqrt(1.0 - forward**2))

    def depth_at(self, x: Array) -> Array:
        """Depth of the keel [m]."""
        return np.asarray(-np.interp(x, self.x, self.keel))

    def outlines(self, x: Array, s: Array) -> Array:
        """Points (k, q, 2) of y, z at stations x and fractions s of the half beam, port (1) to starboard (-1)."""
        y = self.beam_at(x)[:, None] * s
        z = -self.depth_at(x)[:, None] * (1.0 - np.abs(s) ** BILGE)
        return np.stack([y, z], axis=2)


def flush_parts(boat: Boat) -> list[Flush]:
    """The metals that are part of the hull's surface."""
    found = []
    for metal in boat.metals:
        if metal.shape == "through_hull":
            side = math.sqrt(metal.wetted_area_m2)
            found.append(Flush(metal.id, False, (metal.place.x_m, metal.place.y_m), (side, side), (3, 3)))
    for anode in boat.anodes:
        if anode.mounting == "flush_plate":
            area = _anode_area(anode)
            wide = math.sqrt(area * anode.length_m / anode.width_m)
            centre = (anode.place.y_m, anode.place.height_m)
            found.append(Flush(anode.id, True, centre, (wide, area / wide), (4, 3)))
    return found


def _anode_area(anode: Anode) -> float:
    """Wet area [m2] of one anode, worn as the lumped form has it."""
    face = anode.length_m * anode.width_m
    rim = 2 * (anode.length_m + anode.width_m) * anode.thickness_m
    scale: float = anode.remaining ** (2 / 3)
    sides = {"flush_plate": face + rim, "hanging": 2 * face + rim}
    return scale * sides.get(anode.mounting, math.pi * anode.width_m * anode.length_m)


def hull_panels(boat: Boat, along: int, girth: int) -> tuple[Panels, list[str]]:
    """Hull with its flush metals as patches, numbered in the order of the returned ids (one for each patch)."""
    lines, flush = Lines(boat), flush_parts(boat)
    bottom, stern = [f for f in flush if not f.transom], [f for f in flush if f.transom]
    x = cuts(lines.aft, lines.stem, along, [v for f in bottom for v in _edges(f, 0)])
    beam = {f.id: float(lines.beam_at(np.array([lines.aft if f.transom else f.centre[0]]))[0]) for f in flush}
    sides = [v / beam[f.id] for f in flush for v in _edges(f, 0 if f.transom else 1)]
    s = cuts(-1.0, 1.0, girth, sides)[::-1]
    floor = {f.id: _floor(lines, f, beam[f.id]) for f in stern}
    levels = cuts(0.0, 1.0, 3, [1.0 - v / floor[f.id] for f in stern for v in _edges(f, 1)])
    shell = hull(x, lines.outlines(x, s), levels)
    patch = np.full(shell.size, -1, dtype=np.int64)
    owners: list[str] = []
    for f in flush:
        for low, high in _cells(f):
            chosen = _within(shell, f, low, high, floor.get(f.id, 0.0))
            patch[chosen] = len(owners)
            owners.append(f.id)
    return shell.numbered(patch), owners


def _edges(f: Flush, axis: int) -> list[float]:
    half = f.sides[axis] / 2.0
    return [float(v) for v in f.centre[axis] + half * np.linspace(-1.0, 1.0, f.parts[axis] + 1)]


def _floor(lines: Lines, f: Flush, beam: float) -> float:
    """Height of the transom's lower edge under a flush plate [m]."""
    depth = float(lines.depth_at(np.array([lines.aft]))[0])
    return -depth * (1.0 - abs(f.centre[0] / beam) ** BILGE)


def _cells(f: Flush) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    first, second = _edges(f, 0), _edges(f, 1)
    return [
        ((first[i], second[j]), (first[i + 1], second[j + 1]))
        for i in range(len(first) - 1)
        for j in range(len(second) - 1)
    ]


def _within(
    shell: Panels, f: Flush, low: tuple[float, float], high: tuple[float, float], floor: float
) -> NDArray[np.bool_]:
    """Panels of the shell, or of the transom, that lie in one cell of a flush metal."""
    at = shell.centre
    stern = (np.ptp(shell.corners[:, :, 0], axis=1) < 1e-9) & (at[:, 0] < shell.corners[:, :, 0].mean())
    if not f.transom:
        plane = np.stack([at[:, 0], at[:, 1]], axis=1)
        return np.asarray(~stern & (plane > low).all(axis=1) & (plane < high).all(axis=1))
    # level of the panel between the surface and the floor of its own column, put on the plate's own floor
    lowest = np.full(shell.size, np.nan)
    for k in np.nonzero(stern)[0]:
        same = stern & (np.abs(at[:, 1] - at[k, 1]) < 1e-6)
        lowest[k] = shell.corners[same][:, :, 2].min()
    level = at[:, 2] / np.where(stern, lowest, 1.0) * floor
    inside = (at[:, 1] > low[0]) & (at[:, 1] < high[0]) & (level > low[1]) & (level < high[1])
    return np.asarray(stern & inside)


def _spot(place: Place) -> Array:
    return np.array([place.x_m, place.y_m, min(place.height_m, -MINIMUM_DEPTH)])


def metal_panels(part: Metal, boat: Boat) -> Panels | None:
    """One metal as a sheet cut into patches 0, 1, ...; None if it is flush."""
    at = _spot(part.place)
    if part.shape == "through_hull":
        return None
    if part.shape == "propeller":
        return _propeller(at, part)
    if part.shape == "shaft":
        return _shaft(at, part, boat)
    wide = part.length_m
    high = part.wetted_area_m2 / 2.0 / wide
    if part.shape == "plate":  # a trim tab: level, its length across the boat
        return _blade(at, np.array([0.0, wide, 0.0]), np.array([high, 0.0, 0.0]), (4, 3))
    cells = (3, 2) if part.shape == "strut" else (4, 3)
    return _blade(at, np.array([wide, 0.0, 0.0]), np.array([0.0, 0.0, high]), cells)


def anode_panels(part: Anode) -> Panels | None:
    """One anode as a sheet cut into patches; None if it is flush. Worn as in the lumped form."""
    at, area = _spot(part.place), _anode_area(part)
    if part.mounting == "flush_plate":
        return None
    if part.mounting == "hanging":
        wide = math.sqrt(area / 2.0 * part.width_m / part.length_m)
        return _blade(at, np.array([wide, 0.0, 0.0]), np.array([0.0, 0.0, area / 2.0 / wide]), (3, 4))
    scale = math.sqrt(area / (math.pi * part.width_m * part.length_m))
    length, radius = part.length_m * scale, part.width_m / 2.0 * scale
    half = np.array([length / 2.0, 0.0, 0.0])
    rod = tube(at - half, at + half, radius, even(2), 8)
    return rod.numbered(np.arange(rod.size) // 8)


def _blade(at: Array, first: Array, second: Array, cells: tuple[int, int]) -> Panels:
    """A flat blade around `at`, finer towards its edges, each cell a patch."""
    sheet = plate(at - 0.5 * (first + second), first, second, (graded(cells[0]), graded(cells[1])))
    return sheet.numbered(np.arange(sheet.size))


def _propeller(at: Array, part: Metal) -> Panels:
    """Blades square to the shaft; their width makes up the wetted area."""
    tip = part.length_m / 2.0
    hub = HUB * tip
    opening = part.wetted_area_m2 / BLADES / (tip**2 - hub**2)  # two sides of a sector of this angle
    pieces = []
    for blade in range(BLADES):
        middle = math.pi / 4 + blade * 2.0 * math.pi / BLADES
        piece = sector(tuple(at), (hub, tip), (middle - opening / 2, middle + opening / 2), (2, 2))
        pieces.append(piece.corners)
    corners = np.concatenate(pieces)
    numbers = np.arange(corners.shape[0])
    return Panels(corners, numbers, np.full_like(numbers, -1))


def _shaft(at: Array, part: Metal, boat: Boat) -> Panels:
    """A rod that slopes as the line from the nearest propeller to the shaft's middle; a length each patch."""
    half = part.length_m / 2.0
    slope = 0.0
    wheels = [m for m in boat.metals if m.shape == "propeller"]
    if wheels:
        wheel = min((_spot(m.place) for m in wheels), key=lambda p: float(np.linalg.norm(p - at)))
        run = float(at[0] - wheel[0])
        slope = float(at[2] - wheel[2]) / run if abs(run) > 0.1 else 0.0
    along = np.array([1.0, 0.0, slope]) / math.hypot(1.0, slope) * half
    radius = part.wetted_area_m2 / (2.0 * math.pi * part.length_m)
    rod = tube(at - along, at + along, radius, graded(10), 6)
    return rod.numbered(np.arange(rod.size) // 6)
