"""The fittings of a described boat in panels: sheets and rods that stand for them, each cut into patches.

A description gives a place, a length and an area for each metal; the simple shapes are declared here, once. A shape that would
reach into the hull, out of the water or into the bed is shifted clear of it.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from course.boats.description import Anode, Boat, Metal, Place
from course.boats.resolved_hull import SPREAD_M, Lines, anode_area, hull_lines
from course.engine.field import Panels, even, graded, plate, sector, tube

Array = NDArray[np.float64]

BLADES = 4  # of a propeller, half of its disk together (declared, as the demo boat's basis says)
HUB = 0.2  # hub radius over tip radius (declared)
MINIMUM_DEPTH = 0.05  # m, as in the lumped form
CLEAR = 0.03  # m, left between a sheet and the hull or the surface
BESIDE = 0.06  # m, a plate anode stands off the fitting it is bolted to


def clear_of_hull(sheet: Panels, boat: Boat) -> Panels:
    """A sheet shifted aft, if it stands at the stern, or down, until none of it is inside a hull; and under the surface."""
    for lines in hull_lines(boat):
        sheet = _clear_of(sheet, lines)
    top = float(sheet.corners[:, :, 2].max())
    return sheet.moved([0.0, 0.0, -0.02 - top]) if top > -0.02 else sheet


def _clear_of(sheet: Panels, lines: Lines) -> Panels:
    corners = sheet.corners.reshape(-1, 3)
    bottom = lines.bottom_at(corners[:, 0], corners[:, 1])
    inside = corners[:, 2] > bottom - 0.5 * CLEAR
    inside &= bottom < -0.5 * CLEAR
    if not inside.any():
        return sheet
    if float(corners[:, 0].mean()) < lines.aft + 0.05:
        return sheet.moved([lines.aft - CLEAR - float(corners[inside, 0].max()), 0.0, 0.0])
    return sheet.moved([0.0, 0.0, float((bottom - corners[:, 2])[inside].min()) - CLEAR])


def _spot(place: Place) -> Array:
    return np.array([place.x_m, place.y_m, min(place.height_m, -MINIMUM_DEPTH)])


def metal_panels(part: Metal, boat: Boat) -> Panels | None:
    """One metal as a sheet cut into patches 0, 1, ...; None if it is flush."""
    at = _spot(part.place)
    if part.shape == "hull" or (part.shape == "fastening" and part.length_m > SPREAD_M):
        return None
    if part.shape == "through_hull":
        side = math.sqrt(part.wetted_area_m2)
        if any(lines.holds(at[0], at[1]) for lines in hull_lines(boat)):
            return None
        return clear_of_hull(_blade(at, np.array([side, 0.0, 0.0]), np.array([0.0, side, 0.0]), (2, 2)), boat)
    return clear_of_hull(_free(at, part, boat), boat)


def _free(at: Array, part: Metal, boat: Boat) -> Panels:
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


def anode_panels(part: Anode, boat: Boat) -> Panels | None:
    """One anode as a sheet cut into patches; None if it is flush. Worn as in the lumped form."""
    at, area = _spot(part.place), anode_area(part)
    if part.mounting == "flush_plate":
        hulls = hull_lines(boat)
        if any(h.holds(at[0], at[1]) or h.astern(at[0], at[1], at[2]) for h in hulls):
            return None
        wide = math.sqrt(area / 2.0 * part.length_m / part.width_m)
        first, second = np.array([wide, 0.0, 0.0]), np.array([0.0, 0.0, area / 2.0 / wide])
        return clear_of_hull(_blade(at + np.array([0.0, BESIDE, 0.0]), first, second, (4, 3)), boat)
    if part.mounting == "hanging":
        wide = math.sqrt(area / 2.0 * part.width_m / part.length_m)
        return _blade(at, np.array([wide, 0.0, 0.0]), np.array([0.0, 0.0, area / 2.0 / wide]), (3, 4))
    scale = math.sqrt(area / (math.pi * part.width_m * part.length_m))
    length, radius = part.length_m * scale, part.width_m / 2.0 * scale
    half = np.array([length / 2.0, 0.0, 0.0])
    rod = tube(at - half, at + half, radius, even(2), 8)
    return clear_of_hull(rod.numbered(np.arange(rod.size) // 8), boat)


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
