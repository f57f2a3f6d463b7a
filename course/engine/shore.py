"""Between boat and shore: safety earth, dock earth, galvanic isolator, isolation transformer.

The safety earth saves lives and is never opened to stop corrosion: an isolator or a transformer, fitted to
the local code by a licensed person, is what stops it. What is here computes the direct currents only.
"""

from __future__ import annotations

import math
from typing import Literal, get_args

from course.engine.conductors import DiodeString, conductor_resistance, isolator
from course.engine.constants import BOLTZMANN_OVER_CHARGE, ZERO_CELSIUS
from course.engine.errors import EngineError, require
from course.engine.pieces import Pieces, path

IsolatorState = Literal["healthy", "failed short", "failed open", "bypassed"]

PLUG = 5e-3  # ohm, the earth pins of plug and inlet together (declared)
FUSED = 2e-3  # ohm, a diode stack burnt to a short (declared)
BYPASS = 5e-3  # ohm, the link a fail-safe isolator closes across itself (declared)
SATURATION, EMISSION, JUNCTIONS = DiodeString._field_defaults.values()


def safety_earth(a: int, b: int, gauge: int, length: float, plug_resistance: float = PLUG) -> Pieces:
    """The safety earth of the shore lead, boat `a` to pedestal `b`: a copper core of `gauge` (AWG), `length` [m].

    plug_resistance [ohm] 0 to 1e3: corroded pins. Raises OutOfRange.
    """
    require("length of the shore lead", length, "m", 0.1, 200.0)
    require("resistance of the earth pins", plug_resistance, "ohm", 0.0, 1e3)
    return path(a, b, conductor_resistance(gauge, length) + plug_resistance)


def dock_earth(a: int, b: int, gauge: int, length: float, joint_resistance: float = 1e-3) -> Pieces:
    """The dock's earth conductor from pedestal `a` to pedestal `b` (AWG, m, ohm each end). Raises OutOfRange."""
    require("length of the dock earth", length, "m", 0.1, 5e3)
    require("resistance of each joint", joint_resistance, "ohm", 0.0, 1e3)
    return path(a, b, conductor_resistance(gauge, length) + 2.0 * joint_resistance)


def galvanic_isolator(
    a: int, b: int, state: IsolatorState = "healthy", strings: tuple[DiodeString, DiodeString] | None = None
) -> Pieces:
    """A galvanic isolator in the safety earth between nodes `a` and `b`.

    healthy: blocks up to some 1.2 to 1.4 V either way (two junctions; common trade description), conducts a
    fault. failed short: no barrier. failed open: no earth at all, a danger to life, to be replaced at once.
    bypassed: a fail-safe unit that gave up and closed a link across itself: earth kept, barrier gone.
    `strings` gives the diodes of another isolator. Raises EngineError for another state.
    """
    if state == "healthy":
        return Pieces(diodes=strings or isolator(a, b))
    if state == "failed short":
        return path(a, b, FUSED)
    if state == "bypassed":
        return path(a, b, BYPASS)
    if state == "failed open":
        return Pieces()
    raise EngineError(f"an isolator cannot be {state!r}; allowed is {', '.join(get_args(IsolatorState))}.")


def isolation_transformer(
    boat_earth: int,
    shore_earth: int,
    earth_carried_through: bool = False,
    insulation_resistance: float = math.inf,
    earth_resistance: float = 0.02,
) -> Pieces:
    """An isolation transformer: no conductive path for direct current, however high the voltage.

    insulation_resistance [ohm] 1e3 or more: tired insulation. With its earth carried through (a fault of
    installation) it is a wire of earth_resistance [ohm] 1e-4 to 1e3, and isolates nothing. Raises OutOfRange.
    """
    require("insulation resistance of the transformer", insulation_resistance, "ohm", 1e3, math.inf)
    require("resistance of the carried earth", earth_resistance, "ohm", 1e-4, 1e3)
    found = path(boat_earth, shore_earth, earth_resistance) if earth_carried_through else Pieces()
    if math.isfinite(insulation_resistance):
        found += path(boat_earth, shore_earth, insulation_resistance)
    return found


def biased_resistance(
    leakage: float,
    saturation_current: float = SATURATION,
    emission: float = EMISSION,
    junctions: int = JUNCTIONS,
    temperature: float = ZERO_CELSIUS + 25.0,
) -> float:
    """Resistance [ohm] an isolator shows to small direct currents while alternating leakage flows through it.

    leakage [A rms] 0 to 20, sinusoidal, from a high impedance (filters of chargers and appliances). At
    i = I + sqrt(2) leakage sin(wt) antiparallel strings drop n Vt asinh(i/2Is); the mean over a cycle has,
    at I = 0, the slope n Vt (2/pi) K(-(peak/2Is)^2) / 2Is, K the complete elliptic integral of the
    first kind (parameter m). Holds while the direct current stays under half the peak. Raises OutOfRange.
    """
    from scipy.special import ellipk

    require("alternating leakage current", leakage, "A", 0.0, 20.0)
    require("saturation current", saturation_current, "A", 1e-18, 1e-3)
    volts = junctions * emission * BOLTZMANN_OVER_CHARGE * temperature
    zero = 2.0 * saturation_current
    peak = math.sqrt(2.0) * leakage
    return float(volts * 2.0 / math.pi * ellipk(-((peak / zero) ** 2)) / zero)


def isolator_under_leakage(a: int, b: int, leakage: float) -> Pieces:
    """A healthy isolator held in conduction by alternating leakage [A rms]: strings, and the path averaging adds.

    Declared model, see `biased_resistance`: the added conductance brings the slope at no current to the
    cycle's mean; the strings take over at the full forward voltage. Within 25 % of the true cycle mean up to
    half the peak current. Raises OutOfRange.
    """
    blocked = biased_resistance(0.0)
    added = 1.0 / biased_resistance(leakage) - 1.0 / blocked
    strings = Pieces(diodes=isolator(a, b))
    return strings + path(a, b, 1.0 / added) if added > 1e-12 else strings
