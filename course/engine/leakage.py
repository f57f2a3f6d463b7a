"""Stray current: from a battery through something wet to a metal, to bilge water, or down a shared return.

A positive on soundly bonded metal goes home through the wire: a fuse blows, and little enters the water. It
takes a poor bond, bilge water or a shared return with a voltage drop to send current through the water.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from course.engine.conductors import Branch, Source
from course.engine.electrode import Law
from course.engine.errors import require, require_array
from course.engine.pieces import Pieces, path


def battery(negative: int, positive: int, emf: float, resistance: float = 0.01) -> Pieces:
    """A battery or charged system: emf [V] 0 to 1000 between its nodes, internal resistance [ohm] 1e-4 to 1e3."""
    require("emf of the battery", emf, "V", 0.0, 1e3)
    require("internal resistance of the battery", resistance, "ohm", 1e-4, 1e3)
    return Pieces(sources=(Source(negative, positive, emf, resistance),))


def wet_path(a: int, b: int, resistance: float) -> Pieces:
    """Leakage over wet or damaged insulation: resistance [ohm] 1e-3 (a chafed wire) to 1e12. Raises OutOfRange."""
    return path(a, b, require("resistance of the wet path", resistance, "ohm", 1e-3, 1e12))


def leak(negative: int, metal: int, emf: float, resistance: float) -> Pieces:
    """Battery and wet path in one: `metal` is fed from emf [V] over node `negative` through resistance [ohm].

    A negative emf makes the metal a cathode. Ranges +-1000 V, 1e-3 to 1e12 ohm. Raises OutOfRange.
    """
    require("emf of the leak", emf, "V", -1e3, 1e3)
    require("resistance of the leak", resistance, "ohm", 1e-3, 1e12)
    return Pieces(sources=(Source(negative, metal, emf, resistance),))


def bilge_water(bilge: int, contacts: Mapping[int, float], conductivity: float) -> Pieces:
    """Bilge water as a node: contacts {node: cell length [m]} joined to it by conductivity [S/m] times length.

    The cell length of a contact is 1/(resistance x conductivity), some tenths of a metre for a wetted
    fitting (declared). Volts of leak against tenths of a volt of metal: the metals' own potentials inside the
    bilge are left out. A splice under water is then `wet_path(positive, bilge, ...)`. Raises OutOfRange.
    """
    require("conductivity of the bilge water", conductivity, "S/m", 1e-4, 30.0)
    for node, length in contacts.items():
        require(f"cell length of the contact with node {node}", length, "m", 1e-6, 1e3)
    return Pieces(tuple(Branch(bilge, node, conductivity * length) for node, length in contacts.items()))


def with_openings(laws: Law, conductance_per_area: ArrayLike) -> Law:
    """`laws` followed by openings through which water inside meets the water outside (a hose, a limber hole).

    An opening is a patch without metal: its current density is conductance_per_area [S/m2, 1e-3 to 1e9]
    times the potential inside over that outside. Give it its area, its place in the transfer matrix (a hole
    in the hull is a disk) and the node of the water inside. Raises OutOfRange.
    """
    g = require_array("conductance of opening", conductance_per_area, "S/m2", 1e-3, 1e9)
    none, one = np.zeros((5, g.size)), np.ones((5, g.size))
    return Law(
        np.concatenate([laws.centre, none], axis=1),
        np.concatenate([laws.inverse_slope, one], axis=1),
        np.concatenate([laws.amplitude, none], axis=1),
        np.concatenate([laws.floor, g]),
        np.concatenate([laws.floor_potential, np.zeros(g.size)]),
    )


def shared_return(bus: int, load_end: int, resistance: float, load_current: float) -> Pieces:
    """A negative return shared by a load: load_current [A] through resistance [ohm] lifts `load_end` over `bus`.

    What is earthed at the load's end then stands current x resistance over the bus. The load is a constant
    current (declared); seen from elsewhere the return is an emf of that drop behind its own resistance.
    Ranges: 1e-5 to 1e3 ohm, 0 to 1000 A, a drop of at most 50 V. Raises OutOfRange.
    """
    require("resistance of the shared return", resistance, "ohm", 1e-5, 1e3)
    require("load current", load_current, "A", 0.0, 1e3)
    drop = require("drop along the shared return", resistance * load_current, "V", 0.0, 50.0)
    return Pieces(sources=(Source(bus, load_end, drop, resistance),))
