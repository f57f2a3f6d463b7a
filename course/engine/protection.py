"""Design of cathodic protection by sacrificial anodes, in the form of DNV-RP-B401.

Demand at the start, on average and at the end; mass from the average; number from mass and from output when new
and when spent; the published resistance formulas within their limits. Numbers of the standard (current densities,
coating constants, utilisation, capacities) are data and are handed in. Lengths m, masses kg, charge C, volts
against any one reference as long as it is the same. Each function raises OutOfRange for what cannot be.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from course.engine.earthing import (
    compact_resistance,
    flush_plate_resistance,
    short_rod_resistance,
    slender_rod_resistance,
)
from course.engine.errors import EngineError, OutOfRange, require
from course.engine.film import Coating

Form = Literal["long slender stand-off", "short slender stand-off", "long flush", "short flush"]
SLENDER = 4.0  # length over radius (stand-off), length over width (flush) from which the long form holds: DNV-RP-B401


@dataclass(frozen=True)
class CurrentDensity:
    """Design current density [A/m2 of bare metal, 0 to 10] when new, on average, and at the end of life."""

    initial: float
    mean: float
    final: float

    def __post_init__(self) -> None:
        for name in ("initial", "mean", "final"):
            require(f"{name} design current density", getattr(self, name), "A/m2", 0.0, 10.0)


@dataclass(frozen=True)
class Demand:
    """Current [A] wanted when new, on average, and at the end of life."""

    initial: float
    mean: float
    final: float

    def __add__(self, other: Demand) -> Demand:
        return Demand(self.initial + other.initial, self.mean + other.mean, self.final + other.final)


def demand(area: float, density: CurrentDensity, seconds: float, coating: Coating | None = None) -> Demand:
    """Current demand of `area` [m2]: area x bare fraction x design current density.

    The bare fraction is a when new, a + b t/2 on average, a + b t at the end of `seconds` (1 without coating).
    """
    require("area to protect", area, "m2", 0.0, 1e8)
    require("design life", seconds, "s", 1.0, 1e11)
    film = coating if coating is not None else Coating(1.0, 0.0)
    return Demand(
        area * film.bare(0.0) * density.initial,
        area * film.mean(seconds) * density.mean,
        area * film.bare(seconds) * density.final,
    )


def anode_mass(mean_current: float, seconds: float, utilisation: float, capacity: float) -> float:
    """Anode mass [kg] for `mean_current` [A] over `seconds`: I t/(u e); capacity e [C/kg] with efficiency in it."""
    require("mean current", mean_current, "A", 0.0, 1e6)
    require("design life", seconds, "s", 0.0, 1e11)
    require("utilisation", utilisation, "", 0.05, 1.0)
    require("capacity of the anode", capacity, "C/kg", 1e3, 1e8)
    return mean_current * seconds / (utilisation * capacity)


def anode_life(mass: float, mean_current: float, utilisation: float, capacity: float) -> float:
    """Seconds that `mass` [kg] of anode lasts at `mean_current` [A]: m u e/I."""
    require("anode mass", mass, "kg", 0.0, 1e9)
    require("mean current", mean_current, "A", 1e-12, 1e6)
    per_second = anode_mass(mean_current, 1.0, utilisation, capacity)
    return mass / per_second


@dataclass(frozen=True)
class DesignAnode:
    """One anode of a design.

    form, and its `length`; `radius` of a stand-off rod (equivalent, circumference over 2 pi) or `width` of a flush
    plate; `thickness` of a plate [m]; mass [kg, without core]; utilisation [1]; density [kg/m3]; core_radius [m] of
    a rod. Raises OutOfRange where the form does not hold: a long stand-off is at least 4 radii, a long flush plate
    at least 4 widths long.
    """

    form: Form
    length: float
    mass: float
    utilisation: float
    density: float
    radius: float = 0.0
    width: float = 0.0
    thickness: float = 0.0
    core_radius: float = 0.0

    def __post_init__(self) -> None:
        require("anode length", self.length, "m", 1e-3, 100.0)
        require("anode mass", self.mass, "kg", 1e-4, 1e5)
        require("utilisation", self.utilisation, "", 0.05, 0.99)
        require("anode density", self.density, "kg/m3", 500.0, 25e3)
        rod = self.form.endswith("stand-off")
        across = require(
            "anode radius" if rod else "anode width", self.radius if rod else self.width, "m", 1e-4, 10.0
        )
        if not rod:
            require("anode thickness", self.thickness, "m", 1e-4, 10.0)
        require("core radius", self.core_radius, "m", 0.0, max(0.0, across))
        if self.form.startswith("long") and self.length < SLENDER * across:
            raise OutOfRange(
                f"the anode is {self.length:g} m long; the {self.form} form needs at least {SLENDER * across:g} m."
            )

    @property
    def exposed_area(self) -> float:
        """Area [m2] that gives current: the side of a rod, the face and rim of a plate."""
        if self.radius:
            return 2.0 * math.pi * self.radius * self.length
        return self.length * self.width + 2.0 * (self.length + self.width) * self.thickness

    def resistance(self, resistivity: float) -> float:
        """Resistance [ohm] to remote water of `resistivity` [ohm m], by the formula of the form."""
        k = 1.0 / require("resistivity", resistivity, "ohm m", 1e-3, 1e6)
        if self.form == "long slender stand-off":
            return slender_rod_resistance(self.length, self.radius, k)
        if self.form == "short slender stand-off":
            return short_rod_resistance(self.length, self.radius, k)
        if self.form == "long flush":
            return flush_plate_resistance(self.length, self.width, k)
        return compact_resistance(self.exposed_area, k)

    def spent(self) -> DesignAnode:
        """The anode at the end of its use, mass 1 - u.

        A rod is shorter by a tenth of u and keeps the metal left round its core; a long flush plate ends as half
        such a rod, as wide as that is; a short flush one gives current from its face alone (DNV-RP-B401; the last
        two from memory). A long form may end as a short one.
        """
        left = self.mass * (1.0 - self.utilisation)
        if self.form == "short flush":
            return replace(self, mass=left, thickness=1e-4)
        length = self.length * (1.0 - 0.1 * self.utilisation)
        section = left / (self.density * length)
        if self.radius:
            radius = math.sqrt(section / math.pi + self.core_radius**2)
            long = self.form.startswith("long") and length >= SLENDER * radius
            form: Form = "long slender stand-off" if long else "short slender stand-off"
            return replace(self, form=form, mass=left, length=length, radius=radius)
        half = math.sqrt(2.0 * section / math.pi)
        form = "long flush" if length >= SLENDER * 2.0 * half else "short flush"
        return replace(self, form=form, mass=left, length=length, width=2.0 * half, thickness=half)


def anode_output(resistance: float, protection: float, closed_circuit: float) -> float:
    """Current [A] of an anode at `closed_circuit` [V] that holds metal at `protection` [V]: difference over R."""
    require("anode resistance", resistance, "ohm", 1e-9, 1e9)
    drive = require("protection potential", protection, "V", -10.0, 10.0)
    drive -= require("closed-circuit potential", closed_circuit, "V", -10.0, 10.0)
    if drive <= 0.0:
        raise EngineError(
            f"the anode at {closed_circuit:g} V drives nothing at metal already at {protection:g} V."
        )
    return drive / resistance


@dataclass(frozen=True)
class Design:
    """A design: the current wanted, net mass [kg], output of one anode new and spent [A], and the number of anodes.

    number is the largest of by_mass, by_initial, by_final: each is rounded up to a whole anode.
    """

    wanted: Demand
    mass: float
    output_initial: float
    output_final: float
    by_mass: int
    by_initial: int
    by_final: int

    @property
    def number(self) -> int:
        """Anodes needed."""
        return max(self.by_mass, self.by_initial, self.by_final)

    @property
    def governed_by(self) -> str:
        """What decided the number: "mass", "initial output" or "final output"."""
        counts = {"mass": self.by_mass, "initial output": self.by_initial, "final output": self.by_final}
        return max(counts, key=lambda name: counts[name])


def whole_anodes(wanted: float, each: float) -> int:
    """Fewest whole anodes of `each` that make up `wanted` (any one unit)."""
    require("amount wanted", wanted, "", 0.0, 1e12)
    return math.ceil(wanted / require("amount of one anode", each, "", 1e-12, 1e12) - 1e-9)


def design(
    wanted: Demand,
    seconds: float,
    anode: DesignAnode,
    capacity: float,
    resistivity: float,
    protection: float = -0.80,
    closed_circuit: float = -1.05,
) -> Design:
    """Number of `anode` for the current `wanted` over `seconds`, by mass, initial and final output (DNV-RP-B401).

    capacity [C/kg]; resistivity [ohm m]; protection and closed_circuit [V, one reference]: -0.80 and -1.05 V
    against Ag/AgCl in sea water are the standard's for steel and Al-Zn-In.
    """
    mass = anode_mass(wanted.mean, seconds, anode.utilisation, capacity)
    new = anode_output(anode.resistance(resistivity), protection, closed_circuit)
    old = anode_output(anode.spent().resistance(resistivity), protection, closed_circuit)
    return Design(
        wanted, mass, new, old,
        whole_anodes(mass, anode.mass), whole_anodes(wanted.initial, new), whole_anodes(wanted.final, old),
    )  # fmt: skip


@dataclass(frozen=True)
class Criterion:
    """When metal counts as protected: between `most_negative` and `least_negative` [V, one reference], and `shift`
    [V] more negative than without protection (0: not asked)."""

    least_negative: float
    most_negative: float
    shift: float = 0.0

    def verdict(self, potential: float, unprotected: float | None = None) -> str:
        """ "unprotected", "protected" or "overprotected". Raises EngineError where the shift cannot be judged."""
        at = require("potential", potential, "V", -10.0, 10.0)
        if at < self.most_negative:
            return "overprotected"
        if self.shift and unprotected is None:
            raise EngineError("this criterion asks for a shift; give the potential without protection.")
        shifted = unprotected is None or at <= unprotected - self.shift
        return "protected" if at <= self.least_negative and shifted else "unprotected"
