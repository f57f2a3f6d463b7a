"""Metal to metal on board: bonding wires, joints, shaft contact, shaft brush, rudder strap.

Each function returns what the fitting adds to a network between nodes `a` and `b` (see `pieces`).
"""

from __future__ import annotations

import math

from course.engine.conductors import conductor_resistance
from course.engine.constants import ZERO_CELSIUS
from course.engine.errors import require
from course.engine.pieces import Pieces, path

CLEAN_JOINT = 5e-4  # ohm, a clean tight ring terminal (declared)
BRUSH = 5e-3  # ohm, brush on a clean slip ring (declared)
OIL_FILM = 1e5  # ohm, a shaft that floats on oil and water in its bearings (declared)
BEST, WORST = 1e-6, 1e9  # ohm: what a joint or contact may be


def joint(a: int, b: int, resistance: float = CLEAN_JOINT) -> Pieces:
    """A joint, clean or corroded: resistance 1e-6 to 1e9 ohm. Raises OutOfRange."""
    return path(a, b, require("resistance of the joint", resistance, "ohm", BEST, WORST))


def bonding_wire(
    a: int,
    b: int,
    gauge: int,
    length: float,
    joint_resistance: float = CLEAN_JOINT,
    joints: int = 2,
    temperature: float = ZERO_CELSIUS + 20.0,
) -> Pieces:
    """A copper wire of `gauge` (AWG) and `length` [m, 1e-3 to 1e4] with its joints [ohm each] in series.

    Resistance as `conductor_resistance`. Raises OutOfRange.
    """
    require("length of the bonding wire", length, "m", 1e-3, 1e4)
    require("resistance of each joint", joint_resistance, "ohm", 0.0, WORST)
    require("number of joints", joints, "", 0, 100)
    return path(a, b, conductor_resistance(gauge, length, temperature) + joints * joint_resistance)


def shaft_contact(
    a: int, b: int, share: float, closed_resistance: float = 0.01, open_resistance: float = OIL_FILM
) -> Pieces:
    """A turning shaft that touches its gearbox or bearing for `share` (0 to 1) of the time.

    Declared model: contact comes and goes within a turn, far faster than metal polarises (minutes), so the
    metals see the mean conductance, share/closed + (1 - share)/open. For a shaft at rest use
    `shaft_contact_at_rest`. Resistances 1e-6 to 1e9 ohm, open at least closed. Raises OutOfRange.
    """
    require("share of the time in contact", share, "", 0.0, 1.0)
    require("resistance in contact", closed_resistance, "ohm", BEST, WORST)
    require("resistance out of contact", open_resistance, "ohm", closed_resistance, WORST)
    return path(a, b, 1.0 / (share / closed_resistance + (1.0 - share) / open_resistance))


def shaft_contact_at_rest(
    a: int,
    b: int,
    turned: float,
    share: float,
    closed_resistance: float = 0.01,
    open_resistance: float = OIL_FILM,
) -> Pieces:
    """The same shaft stopped at `turned` turns: in contact over the first `share` of each turn (declared).

    Turning it by hand while measuring finds the fault. Ranges as `shaft_contact`. Raises OutOfRange.
    """
    require("turns of the shaft", turned, "turns", -1e6, 1e6)
    require("share of the turn in contact", share, "", 0.0, 1.0)
    touching = turned - math.floor(turned) < share
    return shaft_contact(a, b, 1.0 if touching else 0.0, closed_resistance, open_resistance)


def shaft_brush(a: int, b: int, resistance: float = BRUSH) -> Pieces:
    """A brush on the shaft's slip ring, beside whatever contact there is: 1e-4 (clean) to 1e6 ohm (glazed)."""
    return path(a, b, require("resistance of the brush", resistance, "ohm", 1e-4, 1e6))


def rudder_strap(
    a: int, b: int, gauge: int, length: float, sound: float = 1.0, joint_resistance: float = CLEAN_JOINT
) -> Pieces:
    """A flexible strap to a rudder stock of which the share `sound` (0 to 1) of the strands is whole.

    A strap worn through (0) adds nothing. Raises OutOfRange.
    """
    require("length of the strap", length, "m", 1e-3, 100.0)
    require("sound share of the strap", sound, "", 0.0, 1.0)
    require("resistance of each joint", joint_resistance, "ohm", 0.0, WORST)
    if sound == 0.0:
        return Pieces()
    return path(a, b, conductor_resistance(gauge, length) / sound + 2.0 * joint_resistance)
