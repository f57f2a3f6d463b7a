"""Bands: what tens of per cent in the kinetics mean for a potential, a current, a rate, a life.

The engine has no randomness: the draws are a fixed table, so the same question always has the same band. It is a Latin
hypercube whose shuffles come from raw Philox integers of a fixed key (they are the same in every version), mirrored,
and with its columns made uncorrelated. Sobol's and Halton's sequences were tried: at a hundred points in thirty to a
hundred dimensions their columns are correlated up to 0.9. All patches of one metal share a draw; metals are
independent. What is sampled are the laws themselves, about the fitted ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.adjust import adjusted_many
from course.engine.craft import Craft
from course.engine.electrode import Law, law
from course.engine.errors import Array, EngineError, require, require_array
from course.engine.film import under_deposit
from course.engine.kinetics import Kinetics
from course.engine.seasons import Spell, Voyage, sail
from course.engine.solve import solve
from course.engine.system import System
from course.engine.weather import DAY, WaterYear

DRAWS = 200
LEVELS = (0.05, 0.5, 0.95)
DEVIATES = 5  # a metal: shift, dissolution, oxygen, oxygen supply, hydrogen
KEY = 12473  # of the fixed table; any other would do as well
STAGES = (0.25, 0.75)  # of an anode's life at which draws are compared with the law


@dataclass(frozen=True)
class Spread:
    """One standard deviation of each thing sampled: declared, of the size that published rates and ranges differ by.

    shift [V]; the others are factors, as deviations of their natural logarithm: dissolution, oxygen reduction's
    kinetics, the supply of oxygen through film and water, hydrogen evolution.
    """

    shift: float = 0.010
    dissolution: float = 0.30
    oxygen: float = 0.35
    oxygen_supply: float = 0.35
    hydrogen: float = 0.50

    def __post_init__(self) -> None:
        require("spread of potentials", self.shift, "V", 0.0, 0.3)
        for name in ("dissolution", "oxygen", "oxygen_supply", "hydrogen"):
            require(f"spread of {name.replace('_', ' ')}", getattr(self, name), "", 0.0, 3.0)


@dataclass(frozen=True, eq=False)
class Band:
    """A low, middle and high value (5, 50 and 95 % of the draws), each of the shape of what was asked."""

    low: Array
    middle: Array
    high: Array


def band(values: ArrayLike, levels: tuple[float, float, float] = LEVELS) -> Band:
    """The band of `values`, whose first axis is the draws. Raises EngineError for fewer than ten or a nan."""
    drawn = np.asarray(values, dtype=np.float64)
    if drawn.ndim == 0 or drawn.shape[0] < 10:
        raise EngineError("a band needs ten draws or more along the first axis.")
    if np.isnan(drawn).any():
        raise EngineError("a band was asked of values that are no numbers.")
    return Band(*(np.asarray(q) for q in np.quantile(drawn, levels, axis=0)))


def draws(metals: int, count: int = DRAWS) -> Array:
    """Normal deviates (count, metals, 5) of the fixed table; count 10 to 4096, metals 1 to 200.

    Rows come in pairs z, -z, so that medians stay where the law is. Columns are uncorrelated where half the count
    exceeds their number.
    """
    half = (int(require("number of draws", count, "", 10, 4096)) + 1) // 2
    dimensions = int(require("number of metals", metals, "", 1, 200)) * DEVIATES
    raw = np.random.Philox(key=KEY).random_raw(half * dimensions).reshape(half, dimensions)
    deviates = _stratified(raw)
    if dimensions < half:
        spread = np.linalg.cholesky(np.cov(deviates.T).reshape(dimensions, dimensions))
        deviates = _stratified(np.linalg.solve(spread, deviates.T).T)
    both = np.stack([deviates, -deviates], axis=1).reshape(2 * half, metals, DEVIATES)
    return np.asarray(both[:count])


def _stratified(order: Array | NDArray[np.uint64]) -> Array:
    """Normal deviates, one in each equal share of probability, in the order of each column."""
    from scipy.special import ndtri

    rank = np.argsort(np.argsort(order, axis=0, kind="stable"), axis=0, kind="stable")
    return np.asarray(ndtri((rank + 0.5) / order.shape[0]))


def kinds_of(kinetics: Sequence[Kinetics]) -> NDArray[np.int64]:
    """Number of its metal (n,) for each patch: patches of one metal share draws."""
    first: dict[Kinetics, int] = {}
    return np.array([first.setdefault(metal, len(first)) for metal in kinetics], dtype=np.int64)


def sampled(laws: Law, deviates: ArrayLike, spread: Spread | None = None) -> list[Law]:
    """`laws` of n patches moved by `deviates` (count, n, 5) times `spread`: count laws."""
    z = require_array("deviate", deviates, "", -10.0, 10.0)
    if z.ndim != 3 or z.shape[1:] != (laws.size, DEVIATES):
        raise EngineError(f"the deviates have shape {z.shape}; expected is (draws, {laws.size}, {DEVIATES}).")
    s = spread if spread is not None else Spread()
    return adjusted_many(
        laws,
        z.shape[0],
        shift=s.shift * z[..., 0],
        dissolution=np.exp(s.dissolution * z[..., 1]),
        oxygen=np.exp(s.oxygen * z[..., 2]),
        oxygen_supply=np.exp(s.oxygen_supply * z[..., 3]),
        hydrogen=np.exp(s.hydrogen * z[..., 4]),
    )


@dataclass(frozen=True, eq=False)
class Bands:
    """Bands of polarisation [V SHE], current [A] and dissolution [A/m2], each (n,)."""

    polarisation: Band
    current: Band
    dissolution: Band


def system_bands(
    system: System, kinds: ArrayLike, deviates: Array | None = None, spread: Spread | None = None
) -> Bands:
    """Bands of a system whose patches are of the metals numbered `kinds` (n,), over `deviates` (count, metals, 5).

    Without deviates: 200 draws of `draws`. Raises what `solve` raises.
    """
    of = np.asarray(kinds, dtype=np.int64)
    if of.shape != (system.law.size,) or int(of.min()) < 0:
        raise EngineError(f"each of the {system.law.size} patches needs the number of its metal.")
    drawn = draws(int(of.max()) + 1) if deviates is None else np.asarray(deviates, dtype=np.float64)
    if drawn.ndim != 3 or drawn.shape[1] <= int(of.max()) or drawn.shape[2] != DEVIATES:
        raise EngineError(f"the deviates have shape {drawn.shape}; expected is (draws, metals, {DEVIATES}).")
    found = [_drawn(system, one) for one in sampled(system.law, drawn[:, of], spread)]
    polarisation, current, loss = (np.array(part) for part in zip(*found, strict=True))
    return Bands(band(polarisation), band(current), band(loss))


def _drawn(system: System, laws: Law) -> tuple[Array, Array, Array]:
    solution = solve(system.with_law(laws))
    return solution.polarisation, solution.current, laws.dissolution(solution.polarisation)


def life_band(
    craft: Craft,
    year: WaterYear,
    spells: Sequence[Spell],
    deviates: Array | None = None,
    spread: Spread | None = None,
) -> Band:
    """Band of each anode's life [s] (anodes,) from now until it is spent, in the seasons of `year` and `spells`.

    The voyage is sailed once; at two stages of each anode's life its dissolution current in each draw is compared
    with the law's, and its life is shortened in proportion (first order in the draw). An anode that outlasts the
    voyage is given its mean wear so far until it is spent. Tide and hours under way are in the voyage, not in the
    comparison.
    """
    of, anodes = kinds_of(craft.kinetics), craft.anodes
    if not anodes.size:
        raise EngineError("this craft has no anodes whose life could be told.")
    drawn = draws(int(of.max()) + 1) if deviates is None else np.asarray(deviates, dtype=np.float64)
    voyage = sail(craft, year, spells)
    whole = (1.0 - craft.spent) * craft.mass[anodes] * craft.capacity[anodes]
    span = voyage.time[-1]
    lives = np.where(
        np.isfinite(voyage.gone_at[anodes]),
        voyage.gone_at[anodes],
        span * whole / voyage.dissolved[-1, anodes],
    )
    shares = np.zeros((drawn.shape[0], anodes.size))
    for place, patch in enumerate(anodes):
        for stage in STAGES:
            time = float(min(lives[place], span)) * stage
            shares[:, place] += _share(craft, year, spells, voyage, time, int(patch), drawn[:, of], spread)
    return band(lives * len(STAGES) / shares)


def _share(
    craft: Craft,
    year: WaterYear,
    spells: Sequence[Spell],
    voyage: Voyage,
    time: float,
    patch: int,
    deviates: Array,
    spread: Spread | None,
) -> Array:
    """Dissolution current of `patch` in each draw over that of the law, at one time of a voyage."""
    here = np.flatnonzero(voyage.gone_at > time)
    left = np.array([np.interp(time, voyage.time, column) for column in voyage.mass.T])
    remaining = np.where(craft.mass > 0.0, left / np.where(craft.mass > 0.0, craft.mass, 1.0), 1.0)
    area, transfer = craft.geometry(remaining, time)
    ends = np.cumsum([spell.days * DAY for spell in spells])
    spell = spells[min(int(np.searchsorted(ends, time)), len(spells) - 1)]
    water = year.at(time)[0]
    laws = law([craft.kinetics[k] for k in here], water)
    if craft.deposit:
        cover = np.array([np.interp(time, voyage.time, column) for column in voyage.cover.T])
        laws = under_deposit(laws, np.clip(cover[here], 0.0, 1.0))
    system = System(
        transfer[np.ix_(here, here)] / water.conductivity,
        area[here],
        laws,
        craft.node[here],
        craft.networks[spell.network],
    )
    nominal, at = solve(system), int(np.searchsorted(here, patch))
    base = float(laws.dissolution(nominal.polarisation)[at])
    drawn = sampled(laws, deviates[:, here], spread)
    return np.array([float(_drawn(system, one)[2][at]) / base for one in drawn])
