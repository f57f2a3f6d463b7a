"""The hull of a described boat in panels, with the metal let into it; of two hulls, both.

A description gives a profile and a beam; what it does not give is declared here, once: the plan of the waterline and the
section of the hull. A metal hull is its own panels, cut into a few patches, and so are fastenings spread over a wooden one.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.boats.description import Anode, Boat
from course.engine.field import Panels, cuts, hull, join

Array = NDArray[np.float64]

FULL_AFT = 0.45  # part of the waterline, from the transom, over which the beam is full (declared)
BILGE = 4  # a section is z = -depth (1 - (y/half beam)^BILGE): a flat floor with a round bilge (declared)
SIDE = 0.96  # of the half beam: how far out metal let into the hull may reach
ALONG_SHELL, GIRTH_SHELL = 4, 3  # patches of a metal hull, lengthwise and from side to side
STEEP = 0.35  # slope of the bottom under which its plan stands for it
SPREAD_M = 1.0  # fastenings over a greater length than this are spread over the planking


class Flush(NamedTuple):
    """Metal let into the hull: the bottom (x, y) or the transom (y, z) around a centre, and its sides [m]."""

    id: str
    transom: bool
    centre: tuple[float, float]
    sides: tuple[float, float]
    parts: tuple[int, int]


class Lines:
    """One hull's lines below the water, from profile and beam; y counts from her own centreline, at ``middle`` [m]."""

    def __init__(self, boat: Boat, middle: float = 0.0) -> None:
        below = sorted((x, min(h, 0.0)) for x, h in boat.hull.profile if h <= 0.0)
        keel = np.array(below)
        self.middle = middle
        self.x, self.keel = keel[:, 0], keel[:, 1]
        self.aft, self.stem = float(self.x[0]), float(self.x[-1])
        self.half_beam = (boat.hull.beam_m - (boat.hull.hull_spacing_m or 0.0)) / 2.0

    def beam_at(self, x: Array) -> Array:
        """Half beam at the waterline [m]: full aft, then an ellipse to the stem."""
        shoulder = self.aft + FULL_AFT * (self.stem - self.aft)
        forward = np.clip((x - shoulder) / (self.stem - shoulder), 0.0, 1.0)
        return np.asarray(self.half_beam * np.sqrt(1.0 - forward**2))

    def depth_at(self, x: Array) -> Array:
        """Depth of the keel [m]."""
        return np.asarray(-np.interp(x, self.x, self.keel))

    def bottom_at(self, x: Array, y: Array) -> Array:
        """Height of the hull's bottom [m] at x and y (from the boat's centreline); 0 where there is no hull."""
        beam = np.maximum(self.beam_at(np.clip(x, self.aft, self.stem)), 1e-9)
        aside = np.minimum(np.abs(y - self.middle) / beam, 1.0)
        there = (x > self.aft) & (x < self.stem)
        return np.asarray(np.where(there, -self.depth_at(x) * (1.0 - aside**BILGE), 0.0))

    def outlines(self, x: Array, s: Array) -> Array:
        """Points (k, q, 2) of y, z at stations x and fractions s of the half beam, port (1) to starboard (-1)."""
        y = self.beam_at(x)[:, None] * s
        z = -self.depth_at(x)[:, None] * (1.0 - np.abs(s) ** BILGE)
        return np.stack([y, z], axis=2)

    @property
    def steps(self) -> list[float]:
        """Stations at which the keel's line begins or ends a step, a skeg or the back of a keel: panels must have them."""
        steep = np.abs(np.diff(self.keel)) > np.diff(self.x)
        ends = {float(x) for k in np.flatnonzero(steep) for x in self.x[k : k + 2]}
        return sorted(ends - {self.aft, self.stem})

    @property
    def has_transom(self) -> bool:
        """Whether the hull ends in a transom under water."""
        return float(self.depth_at(np.array([self.aft]))[0]) > 1e-3

    def holds(self, x: float, y: float) -> bool:
        """Whether a spot on the plan lies well within the hull's waterline."""
        return self.aft < x < self.stem and abs(y - self.middle) < SIDE * float(
            self.beam_at(np.array([x]))[0]
        )

    def astern(self, x: float, y: float, height: float) -> bool:
        """Whether a spot lies on the transom."""
        near = self.aft - 0.15 < x <= self.aft
        deep = -float(self.depth_at(np.array([self.aft]))[0]) < height < 0.0
        return self.has_transom and near and deep and abs(y - self.middle) < SIDE * self.half_beam


def hull_lines(boat: Boat) -> tuple[Lines, ...]:
    """The lines of her hull, or of both hulls, port first."""
    if boat.hull.hulls == 1:
        return (Lines(boat),)
    half = (boat.hull.hull_spacing_m or 0.0) / 2.0
    return Lines(boat, half), Lines(boat, -half)


def flush_parts(boat: Boat, lines: Lines) -> list[Flush]:
    """The metals that are part of one hull's surface; centres from her own centreline."""
    found = []
    for metal in boat.metals:
        at = metal.place
        if metal.shape == "through_hull" and lines.holds(at.x_m, at.y_m):
            side = math.sqrt(metal.wetted_area_m2)
            found.append(_bottom(lines, metal.id, (at.x_m, at.y_m), (side, side), (3, 3)))
    for anode in boat.anodes:
        if anode.mounting != "flush_plate":
            continue
        at, area = anode.place, anode_area(anode)
        wide = math.sqrt(area * anode.length_m / anode.width_m)
        if lines.astern(at.x_m, at.y_m, at.height_m):
            centre = (at.y_m - lines.middle, at.height_m)
            found.append(Flush(anode.id, True, centre, (wide, area / wide), (4, 3)))
        elif lines.holds(at.x_m, at.y_m):
            found.append(_bottom(lines, anode.id, (at.x_m, at.y_m), (wide, area / wide), (4, 3)))
    return found


def _bottom(
    lines: Lines, name: str, at: tuple[float, float], sides: tuple[float, float], parts: tuple[int, int]
) -> Flush:
    """Metal let into the bottom or the side, its width on the plan narrowed by the slope it lies on, kept within the hull."""
    beam = float(lines.beam_at(np.array([at[0]]))[0])
    aside = (at[1] - lines.middle) / beam
    slope = BILGE * abs(aside) ** (BILGE - 1) * float(lines.depth_at(np.array([at[0]]))[0]) / beam
    wide = sides[1] / math.hypot(1.0, slope) if slope > STEEP else sides[1]
    wide = min(wide, beam)
    reach = SIDE * beam - wide / 2.0
    y = min(max(at[1] - lines.middle, -reach), reach)
    x = min(max(at[0], lines.aft + sides[0] / 2.0 + 0.01), lines.stem - sides[0] / 2.0 - 0.01)
    return Flush(name, False, (x, y), (sides[0], wide), parts)


def anode_area(anode: Anode) -> float:
    """Wet area [m2] of one anode, worn as the lumped form has it."""
    face = anode.length_m * anode.width_m
    rim = 2 * (anode.length_m + anode.width_m) * anode.thickness_m
    scale: float = anode.remaining ** (2 / 3)
    sides = {"flush_plate": face + rim, "hanging": 2 * face + rim}
    return scale * sides.get(anode.mounting, math.pi * anode.width_m * anode.length_m)


def hull_panels(boat: Boat, along: int, girth: int) -> tuple[Panels, list[str]]:
    """Hull, or hulls, with the flush metals as patches, numbered in the order of the returned ids (one for each patch)."""
    parts: list[Panels] = []
    owners: list[str] = []
    every = hull_lines(boat)
    for lines in every:
        shell, names = _one_hull(boat, lines, along // len(every), girth)
        spread = _shell_owner(boat, lines)
        if spread is not None:
            shell, names = _metal_shell(shell, names, spread, lines)
        numbers = np.where(shell.patch >= 0, shell.patch + len(owners), shell.patch)
        parts.append(shell.numbered(numbers).moved([0.0, lines.middle, 0.0]))
        owners += names
    return join(*parts), owners


def _shell_owner(boat: Boat, lines: Lines) -> str | None:
    """The metal that a hull's own panels are of: a metal hull (of two, the nearer), or fastenings all over it."""
    shells = [m for m in boat.metals if m.shape == "hull" and not m.id.endswith("_copper")]
    shells = shells or [m for m in boat.metals if m.shape == "fastening" and m.length_m > SPREAD_M]
    if not shells:
        return None
    return min(shells, key=lambda m: abs(m.place.y_m - lines.middle)).id


def _metal_shell(shell: Panels, names: list[str], owner: str, lines: Lines) -> tuple[Panels, list[str]]:
    """The shell with what was insulating as patches of a metal, by length and side."""
    at, patch = shell.centre, shell.patch.copy()
    cut = np.clip((at[:, 0] - lines.aft) / (lines.stem - lines.aft), 0.0, 0.999)
    row = (cut * ALONG_SHELL).astype(np.int64)
    beam = np.maximum(lines.beam_at(np.clip(at[:, 0], lines.aft, lines.stem)), 1e-9)
    column = ((np.clip(at[:, 1] / beam, -0.999, 0.999) + 1.0) / 2.0 * GIRTH_SHELL).astype(np.int64)
    free = patch < 0
    cells, number = np.unique((row * GIRTH_SHELL + column)[free], return_inverse=True)
    patch[free] = len(names) + number
    return shell.numbered(patch), names + [owner] * len(cells)


def _one_hull(boat: Boat, lines: Lines, along: int, girth: int) -> tuple[Panels, list[str]]:
    flush = flush_parts(boat, lines)
    bottom, stern = [f for f in flush if not f.transom], [f for f in flush if f.transom]
    x = cuts(lines.aft, lines.stem, along, [*lines.steps, *(v for f in bottom for v in _edges(f, 0))])
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
            chosen = _within(shell, f, low, high, floor.get(f.id, 0.0)) & (patch < 0)
            if chosen.any():  # a cell so narrow that no panel's centre lies in it is none
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
