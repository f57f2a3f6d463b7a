"""Resistance of metal in water: closed forms of single bodies, and (from `transfer`) of many together.

Potential at the metal against remote water, per ampere. `conductivity` [S/m] 1e-6 to 1e3; lengths in m.
Each raises OutOfRange for a length that is not positive.
"""

from __future__ import annotations

import math

from course.engine.errors import OutOfRange, require
from course.engine.transfer import transfer_matrix, transfer_to_points

__all__ = [
    "compact_resistance",
    "disk_resistance",
    "flush_plate_resistance",
    "hemisphere_resistance",
    "oblate_spheroid_resistance",
    "prolate_spheroid_resistance",
    "short_rod_resistance",
    "slender_rod_resistance",
    "sphere_resistance",
    "transfer_matrix",
    "transfer_to_points",
]


def _checked(conductivity: float, **lengths: float) -> float:
    for name, length in lengths.items():
        require(name.replace("_", " "), length, "m", 1e-6, 1e5)
    return require("conductivity", conductivity, "S/m", 1e-6, 1e3)


def sphere_resistance(radius: float, conductivity: float = 1.0) -> float:
    """Sphere in unbounded water [ohm]: 1/(4 pi k a). Classical."""
    return 1.0 / (4.0 * math.pi * _checked(conductivity, radius=radius) * radius)


def hemisphere_resistance(radius: float, conductivity: float = 1.0) -> float:
    """Half a sphere standing on an insulating plane [ohm]: 1/(2 pi k a). Classical."""
    return 1.0 / (2.0 * math.pi * _checked(conductivity, radius=radius) * radius)


def disk_resistance(radius: float, conductivity: float = 1.0) -> float:
    """Disk flush in an insulating plane [ohm]: 1/(4 k a). Newman, J. Electrochem. Soc. 113 (1966) 501."""
    return 1.0 / (4.0 * _checked(conductivity, radius=radius) * radius)


def prolate_spheroid_resistance(half_length: float, radius: float, conductivity: float = 1.0) -> float:
    """Cigar of half length a and radius b <= a in unbounded water [ohm]: ln((1+e)/(1-e))/(8 pi k a e).

    e = sqrt(1 - (b/a)^2). Smythe, Static and Dynamic Electricity (from memory).
    """
    k = _checked(conductivity, half_length=half_length, radius=radius)
    if radius > half_length:
        raise OutOfRange(
            f"the radius is {radius:g} m; a prolate spheroid's is at most its half length, {half_length:g} m."
        )
    e = math.sqrt(1.0 - (radius / half_length) ** 2)
    if e < 1e-4:
        return sphere_resistance(half_length, k)
    return math.atanh(e) / (4.0 * math.pi * k * half_length * e)


def oblate_spheroid_resistance(radius: float, half_thickness: float, conductivity: float = 1.0) -> float:
    """Lens of radius a and half thickness c <= a in unbounded water [ohm]: asin(e)/(4 pi k a e).

    e = sqrt(1 - (c/a)^2); tends to a free disk, 1/(8 k a). Smythe (from memory).
    """
    k = _checked(conductivity, radius=radius, half_thickness=half_thickness)
    if half_thickness > radius:
        raise OutOfRange(
            f"the half thickness is {half_thickness:g} m; an oblate spheroid's is at most {radius:g} m."
        )
    e = math.sqrt(1.0 - (half_thickness / radius) ** 2)
    if e < 1e-4:
        return sphere_resistance(radius, k)
    return math.asin(e) / (4.0 * math.pi * k * radius * e)


def slender_rod_resistance(length: float, radius: float, conductivity: float = 1.0) -> float:
    """Rod in unbounded water [ohm], length at least 4 radii: (ln(4L/r) - 1)/(2 pi k L), modified Dwight.

    As in DNV-RP-B401 for a long slender stand-off anode (from memory).
    """
    k = _checked(conductivity, length=length, radius=radius)
    if length < 4.0 * radius:
        raise OutOfRange(
            f"the rod is {length:g} m long; the slender form needs at least 4 radii, {4 * radius:g} m."
        )
    return (math.log(4.0 * length / radius) - 1.0) / (2.0 * math.pi * k * length)


def short_rod_resistance(length: float, radius: float, conductivity: float = 1.0) -> float:
    """Rod in unbounded water [ohm], any length: the short slender form of DNV-RP-B401 (from memory)."""
    k = _checked(conductivity, length=length, radius=radius)
    x = radius / (2.0 * length)
    q = math.sqrt(1.0 + x * x)
    return (math.log(2.0 * length / radius * (1.0 + q)) + x - q) / (2.0 * math.pi * k * length)


def flush_plate_resistance(length: float, width: float, conductivity: float = 1.0) -> float:
    """Plate anode on a hull [ohm]: 1/(2 k S), S the mean of its sides (Lloyd; agrees with an ABS example)."""
    k = _checked(conductivity, length=length, width=width)
    return 1.0 / (k * (length + width))


def compact_resistance(area: float, conductivity: float = 1.0) -> float:
    """Short flush or bracelet anode of exposed `area` [m2], in ohm: 0.315/(k sqrt(A)) (McCoy)."""
    require("exposed area", area, "m2", 1e-10, 1e6)
    return 0.315 / (_checked(conductivity) * math.sqrt(area))
