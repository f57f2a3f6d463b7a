"""Slow states of metal surfaces, outside the solve: deposit, coating, biofilm, and stainless in a crevice.

A law with memory would have no single answer, so each state here is a number that a caller keeps, a pure
function that says what it is some seconds later, and a pure function that says what it does to a law. All
models are declared, first order, and checked for direction only unless a source is named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from course.engine.adjust import adjusted
from course.engine.constants import FARADAY, GAS_CONSTANT, REFERENCE_TEMPERATURE, YEAR
from course.engine.electrode import Law
from course.engine.errors import Array, require, require_array
from course.engine.water import Water

DAY = 86400.0

# Calcareous deposit. Two points were fitted: half the surface covered at -0.80 V against Ag/AgCl in sea water
# (mean over initial current density of DNV-RP-B401, 0-30 m, is 0.47 to 0.50), and four fifths at -1.00 V
# (well polarised steel settles at about a fifth of its first demand: from memory).
HALF_COVERED = -0.55  # V SHE
SPREAD = 0.20 / math.log(4.0)  # V: makes the cover 0.8 at -0.75 V SHE
LOOSENED, LOOSE_SPREAD = -1.00, 0.05  # V SHE: hydrogen lifts the deposit below this (declared)
DEPOSIT_DAYS = 25.0  # time constant of growth (declared: weeks)
SHEDDING_DAYS = 60.0  # of dissolving again (declared)
MINERAL_SALINITY = 10.0  # water fresher than this grows less in proportion (declared)

BIOFILM_FREE = 0.2  # oxygen reduction of passive metal before a biofilm lives on it (declared: some fifth)
BIOFILM_DAYS = 10.0  # time constant of settling (declared: one to two weeks, from memory)

CHLORIDE_PER_SALINITY = (
    546.0 / 35.0
)  # mol/m3: reference sea water, Millero et al. 2008, at about 1 kg per litre
CHLORIDE_DIFFUSIVITY = 2.0e-9  # m2/s at 25 degC (from memory), moved as oxygen's
PASSIVE_ENERGY = 30e3  # J/mol, as in the electrode law
OUTSIDE_CURRENT = 0.005  # A/m2 that passive metal outside can reduce near rest (the metals table)


def deposit_ceiling(potential: ArrayLike, water: Water) -> Array:
    """Fraction of the surface (n,) that deposit covers in the end, at `potential` [V SHE] (n,) in `water`."""
    at = require_array("potential", potential, "V SHE", -20.0, 20.0)
    grown = 1.0 / (1.0 + np.exp(np.clip((at - HALF_COVERED) / SPREAD, -60.0, 60.0)))
    held = 1.0 / (1.0 + np.exp(np.clip((LOOSENED - at) / LOOSE_SPREAD, -60.0, 60.0)))
    return np.asarray(grown * held * min(1.0, water.salinity / MINERAL_SALINITY))


def deposit_rate(cover: ArrayLike, potential: ArrayLike, water: Water) -> Array:
    """d(cover)/dt [1/s] (n,): first order towards `deposit_ceiling`, slower where deposit dissolves."""
    now = require_array("deposit cover", cover, "", 0.0, 1.0)
    away = deposit_ceiling(potential, water) - now
    days = np.where(away > 0.0, DEPOSIT_DAYS, SHEDDING_DAYS)
    return np.asarray(away / (days * DAY))


def under_deposit(law: Law, cover: ArrayLike) -> Law:
    """The law of patches whose surface is covered by the fraction `cover` (n,): all reactions go on beside
    it."""
    bare = 1.0 - require_array("deposit cover", cover, "", 0.0, 1.0)
    return adjusted(law, dissolution=bare, oxygen=bare, hydrogen=bare)


def _settling(water: Water) -> float:
    """Pace [1/s] at which a biofilm settles: twice as fast for each 10 K warmer (declared)."""
    return float(2.0 ** ((water.temperature - REFERENCE_TEMPERATURE) / 10.0)) / (BIOFILM_DAYS * DAY)


def biofilm_rate(share: ArrayLike, water: Water) -> Array:
    """d(share)/dt [1/s] (n,) of a biofilm that has `share` (n,) of its full effect."""
    now = require_array("share of biofilm", share, "", 0.0, 1.0)
    return np.asarray(_settling(water) * (1.0 - now))


def biofilm_after(share: ArrayLike, water: Water, seconds: float) -> Array:
    """Share (n,) of its full effect that a biofilm has `seconds` later; first order, faster when warm."""
    now = require_array("share of biofilm", share, "", 0.0, 1.0)
    gone = math.exp(-_settling(water) * require("time", seconds, "s", 0.0, 1e12))
    return np.asarray(1.0 - (1.0 - now) * gone)


def with_biofilm(law: Law, passive: ArrayLike, share: ArrayLike = 0.0) -> Law:
    """The law where patches marked in `passive` (n,) bear `share` of a settled biofilm.

    The laws of passive metals are those of natural sea water, biofilm settled (share 1). Without it (new
    metal, sterile or chlorinated water) their oxygen reduction is slower: natural sea water and laboratory
    brine put titanium and stainless at different ranks of the cathodes for this reason.
    """
    part = require_array(
        "share of biofilm", np.broadcast_to(np.asarray(share, float), (law.size,)), "", 0.0, 1.0
    )
    live = BIOFILM_FREE + (1.0 - BIOFILM_FREE) * part
    return adjusted(law, oxygen=np.where(np.asarray(passive, bool), live, 1.0))


@dataclass(frozen=True)
class Coating:
    """A coating that breaks down in a straight line: bare fraction a + b t (DNV-RP-B401).

    a is the fraction bare when new (0 to 1), b the growth per year (0 to 1). Category III at 0-30 m is
    Coating(0.02, 0.012), read in a transcription of the standard.
    """

    a: float
    b: float

    def __post_init__(self) -> None:
        require("coating breakdown when new", self.a, "", 0.0, 1.0)
        require("coating breakdown per year", self.b, "1/yr", 0.0, 1.0)

    def bare(self, seconds: float) -> float:
        """Bare fraction after `seconds`."""
        years = require("time", seconds, "s", 0.0, 1e12) / YEAR
        return min(1.0, self.a + self.b * years)

    def mean(self, seconds: float) -> float:
        """Mean bare fraction from new to `seconds`: a + b t/2 until the coating is gone."""
        whole = self.bare(seconds)
        if whole < 1.0:
            return 0.5 * (self.a + whole)
        years, gone = seconds / YEAR, (1.0 - self.a) / self.b if self.b else 0.0
        return (0.5 * (self.a + 1.0) * gone + years - gone) / years if years else 1.0


@dataclass(frozen=True)
class Crevice:
    """A crevice on passive metal.

    gap [m, 1e-9 to 1e-3]; depth [m, 1e-5 to 1]; cathode_ratio, passive area outside over area inside (0 to
    1e6); critical_chloride [mol/m3] at which the film inside fails (2500 for 304, 4000 for 316: Oldfield and
    Sutton 1978, from memory); passive_current [A/m2] inside at 20 degC (declared, same source);
    protected_below [V SHE], at which inside dissolution stops (-0.25: -0.50 V against Ag/AgCl in sea water,
    EN 12473, from memory).
    """

    gap: float
    depth: float
    cathode_ratio: float
    critical_chloride: float = 4000.0
    passive_current: float = 0.01
    protected_below: float = -0.25

    def __post_init__(self) -> None:
        require("crevice gap", self.gap, "m", 1e-9, 1e-3)
        require("crevice depth", self.depth, "m", 1e-5, 1.0)
        require("cathode ratio", self.cathode_ratio, "", 0.0, 1e6)
        require("critical chloride", self.critical_chloride, "mol/m3", 1.0, 2e4)
        require("passive current", self.passive_current, "A/m2", 1e-8, 10.0)
        require("protection potential", self.protected_below, "V SHE", -3.0, 2.0)


@dataclass(frozen=True)
class CreviceState:
    """What is in a crevice: oxygen and chloride [mol/m3], and whether its film has failed."""

    oxygen: float
    chloride: float
    attacked: bool = False


def fresh_crevice(water: Water) -> CreviceState:
    """A crevice that just filled with `water`."""
    return CreviceState(water.oxygen, water.salinity * CHLORIDE_PER_SALINITY)


def _exchange_time(crevice: Crevice, water: Water, diffusivity_25: float) -> float:
    """First-mode time constant [s] of diffusion out of a slot open at one end: 4 d2/(pi2 D)."""
    diffusivity = diffusivity_25 * water.oxygen_diffusivity / 2.0e-9
    return 4.0 * crevice.depth**2 / (math.pi**2 * diffusivity)


def _inside_current(crevice: Crevice, water: Water) -> float:
    """Dissolution [A/m2] inside: the passive current in series with what the metal outside can reduce."""
    pace = PASSIVE_ENERGY / GAS_CONSTANT * (1.0 / REFERENCE_TEMPERATURE - 1.0 / water.temperature)
    passive = crevice.passive_current * math.exp(pace)
    outside = crevice.cathode_ratio * OUTSIDE_CURRENT
    return passive * outside / (passive + outside) if outside else 0.0


def _oxygen_spell(crevice: Crevice, water: Water, oxygen: float) -> tuple[float, float, float]:
    """(seconds until oxygen is gone or infinity, level it tends to, time constant)."""
    tau = _exchange_time(crevice, water, 2.0e-9)
    pace = PASSIVE_ENERGY / GAS_CONSTANT * (1.0 / REFERENCE_TEMPERATURE - 1.0 / water.temperature)
    use = crevice.passive_current * math.exp(pace) / (4.0 * FARADAY * crevice.gap)
    level = water.oxygen - use * tau
    if oxygen <= 0.0:
        return (0.0 if level <= 0.0 else math.inf), level, tau
    return (tau * math.log((oxygen - level) / -level) if level < 0.0 else math.inf), level, tau


def crevice_after(
    crevice: Crevice, state: CreviceState, water: Water, seconds: float, potential: float = 1.0
) -> CreviceState:
    """The crevice `seconds` later, its metal held at `potential` [V SHE] (default: not protected).

    Passive metal inside uses up the oxygen; then its dissolution is balanced outside and draws chloride in,
    which diffuses out again; past the critical chloride the film fails and attack goes on until the metal is
    protected and the chloride has fallen to half of that. Exact for constant conditions.
    """
    left = require("time", seconds, "s", 0.0, 1e12)
    bulk = water.salinity * CHLORIDE_PER_SALINITY
    held = require("potential", potential, "V SHE", -20.0, 20.0) < crevice.protected_below
    spell, level, tau = _oxygen_spell(crevice, water, state.oxygen)
    wait = 0.0 if state.attacked else min(left, spell)
    oxygen = max(0.0, level + (state.oxygen - level) * math.exp(-wait / tau)) if wait else state.oxygen
    if spell <= left or state.attacked:
        oxygen = 0.0
    salt_tau = _exchange_time(crevice, water, CHLORIDE_DIFFUSIVITY)
    chloride = bulk + (state.chloride - bulk) * math.exp(-wait / salt_tau)
    left -= wait
    drawn = 0.0 if held or oxygen > 0.0 else _inside_current(crevice, water) / (FARADAY * crevice.gap)
    end = bulk + drawn * salt_tau
    chloride = end + (chloride - end) * math.exp(-left / salt_tau)
    attacked = state.attacked or chloride >= crevice.critical_chloride
    if held and chloride < 0.5 * crevice.critical_chloride:
        attacked = False
    return replace(state, oxygen=oxygen, chloride=chloride, attacked=attacked)


def time_to_attack(crevice: Crevice, water: Water) -> float:
    """Seconds from filling with `water` to attack, or infinity for a crevice too open to be attacked.

    Direction after Oldfield and Sutton (1978, from memory) and Corrosion 40 (1984) 313 (abstract): sooner for
    a tighter and deeper gap, warmer and saltier water, a larger cathode, a leaner alloy.
    """
    start = fresh_crevice(water)
    spell, _, _ = _oxygen_spell(crevice, water, start.oxygen)
    if math.isinf(spell):
        return math.inf
    tau = _exchange_time(crevice, water, CHLORIDE_DIFFUSIVITY)
    rise = _inside_current(crevice, water) / (FARADAY * crevice.gap) * tau
    wanted = crevice.critical_chloride - start.chloride
    if wanted <= 0.0:
        return spell
    return spell - tau * math.log(1.0 - wanted / rise) if rise > wanted else math.inf


def passive_cover_after(cover: ArrayLike, state: CreviceState | None, seconds: float) -> Array:
    """Fraction of the metal that is passive, `seconds` later: heals in an hour where there is oxygen, is lost
    in a day where the crevice is attacked (declared). Split the area between the passive and the active row
    of the metals table by it."""
    now = require_array("passive cover", cover, "", 0.0, 1.0)
    lost = state is not None and state.attacked
    span = require("time", seconds, "s", 0.0, 1e12) / (DAY if lost else 3600.0)
    end = 0.0 if lost else 1.0
    return np.asarray(end + (now - end) * math.exp(-span))
