"""Cathodic protection by the slope parameter, and resistances of anode groups: for hand-sized checks.

Hartt and Lysogorski, J. Corrosion Sci. Eng. 4, preprint 10: with one circuit resistance R and a cathode of area A,
steel moves along E = E_anode + S i, S = R A. On a pipeline with bracelets, steel polarises linearly.
"""

from __future__ import annotations

import math

from course.engine.errors import require


def slope_parameter(rest: float, anode: float, current_density: float) -> float:
    """S [ohm m2] from the first current density [A/m2] of steel at `rest` [V] joined to anodes at `anode` [V]."""
    require("current density", current_density, "A/m2", 1e-9, 1e4)
    return (require("rest potential", rest, "V", -10.0, 10.0) - anode) / current_density


def pipe_ratio(polarisation: float, pipe_radius: float, spacing: float, anode_resistance: float) -> float:
    """Psi [1]: polarisation resistance of the pipe one anode serves over the anode's: w/(2 pi r L R).

    polarisation w [ohm m2 of whole pipe: alpha x gamma, alpha of bare steel, gamma whole over bare area];
    spacing L [m] between anodes.
    """
    require("polarisation resistance", polarisation, "ohm m2", 1e-6, 1e9)
    require("pipe radius", pipe_radius, "m", 1e-3, 100.0)
    require("anode spacing", spacing, "m", 1e-3, 1e7)
    require("anode resistance", anode_resistance, "ohm", 1e-9, 1e9)
    return polarisation / (2.0 * math.pi * pipe_radius * spacing * anode_resistance)


def pipe_potential(rest: float, anode: float, ratio: float) -> float:
    """Potential [V] of the pipe: (E_rest + E_anode psi)/(1 + psi)."""
    require("ratio of resistances", ratio, "", 0.0, 1e12)
    return (rest + anode * ratio) / (1.0 + ratio)


def spacing_for(
    potential: float,
    rest: float,
    anode: float,
    polarisation: float,
    pipe_radius: float,
    anode_resistance: float,
) -> float:
    """Anode spacing [m] that gives the pipe `potential` [V]: the inverse of `pipe_potential`."""
    ratio = (rest - potential) / (potential - anode)
    require("ratio of resistances", ratio, "", 1e-9, 1e12)
    return pipe_ratio(polarisation, pipe_radius, 1.0, anode_resistance) / ratio


def pipe_current(
    potential: float, rest: float, polarisation: float, pipe_radius: float, spacing: float
) -> float:
    """Current [A] that one anode gives: polarisation over w, times the pipe's area a spacing."""
    require("polarisation resistance", polarisation, "ohm m2", 1e-6, 1e9)
    return (rest - potential) / polarisation * 2.0 * math.pi * pipe_radius * spacing


def coaxial_resistance(
    length: float, anode_diameter: float, tank_diameter: float, conductivity: float = 1.0
) -> float:
    """Rod along the middle of a tank [ohm]: ln(D/d)/(2 pi k L). Classical; ends not counted."""
    require("anode length", length, "m", 1e-3, 1e4)
    require("anode diameter", anode_diameter, "m", 1e-5, 100.0)
    require("tank diameter", tank_diameter, "m", anode_diameter, 1e4)
    require("conductivity", conductivity, "S/m", 1e-6, 1e3)
    return math.log(tank_diameter / anode_diameter) / (2.0 * math.pi * conductivity * length)


def shaped_resistance(length: float, factor: float, conductivity: float = 1.0) -> float:
    """Anode whose shape is given as a `factor` [1] of the handbook: factor/(k L). A slender rod's is (ln(8L/d)-1)/(2 pi)."""
    require("anode length", length, "m", 1e-3, 1e4)
    require("shape factor", factor, "", 1e-6, 1e3)
    require("conductivity", conductivity, "S/m", 1e-6, 1e3)
    return factor / (conductivity * length)


def group_resistance(
    single: float, number: int, spacing: float = math.inf, paralleling: float = 0.0, conductivity: float = 1.0
) -> float:
    """`number` anodes in parallel [ohm]: R/n + p/(k s), p [1] the handbook's paralleling factor, s [m] their spacing."""
    require("resistance of one anode", single, "ohm", 1e-9, 1e9)
    require("number of anodes", number, "", 1, 1e6)
    require("spacing", spacing, "m", 1e-3, math.inf)
    require("paralleling factor", paralleling, "", 0.0, 10.0)
    require("conductivity", conductivity, "S/m", 1e-6, 1e3)
    return single / number + paralleling / (conductivity * spacing)
