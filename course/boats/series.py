"""The galvanic series of a water: published ranges where they hold, else what the engine says, with a band."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import kinetics_of
from course.boats.datasets import load, row
from course.boats.waters import water_named
from course.engine.adjust import repeated
from course.engine.couple import couple, drawn_law, joined, rest_bands
from course.engine.earthing import compact_resistance
from course.engine.faraday import penetration_mm_per_year
from course.engine.uncertainty import Band, band, draws

Array = NDArray[np.float64]
FLOWING_M_PER_S = 1.0  # published ranges were measured in water moving at 2.4 to 4 m/s
SALTY = 20.0  # and in sea water
DRAWS = 60
COMMON = (  # metals met on most boats, for a list that is not too long
    "magnesium_anode", "zinc_anode", "aluminium_anode", "aluminium_5083", "mild_steel", "cast_iron",
    "stainless_304_active", "stainless_316_active", "yellow_brass", "naval_brass", "copper", "lead", "manganese_bronze",
    "silicon_bronze", "tin_bronze", "copper_nickel_90_10", "nickel_aluminium_bronze", "alloy_400",
    "stainless_304_passive", "stainless_316_passive", "titanium", "carbon_fibre",
)  # fmt: skip


@dataclass(frozen=True)
class Place:
    """Where a metal stands [V SHE]: low, middle and high; published tells whether measured ranges or the engine say so."""

    metal: str
    label: str
    family: str
    low: float
    middle: float
    high: float
    published: bool


@cache
def series(water: str) -> dict[str, Place]:
    """Return every metal's place in one of the panels' waters, most negative first.

    In flowing sea water: the published range (mV vs SCE, moved by the calomel cell's potential). Elsewhere: the engine's
    corrosion potential, 5 to 95 % of the declared spread. Raises UnknownName for a water that is not on offer.
    """
    bath = water_named(water)
    metals = load("metals")
    if bath.flow >= FLOWING_M_PER_S and bath.salinity >= SALTY:
        calomel = row("reference_cells", "saturated_calomel")["potential_V_SHE"]
        ends = {
            name: [v / 1e3 + calomel for v in found["flowing_range_mV_SCE"]] for name, found in metals.items()
        }
        places = {n: (low, 0.5 * (low + high), high) for n, (low, high) in ends.items()}
    else:
        found = rest_bands([kinetics_of(name) for name in metals], bath, DRAWS)
        rows = zip(found.low, found.middle, found.high, strict=True)
        places = {n: (float(a), float(b), float(c)) for n, (a, b, c) in zip(metals, rows, strict=True)}
    flowing = bath.flow >= FLOWING_M_PER_S and bath.salinity >= SALTY
    ordered = sorted(places, key=lambda name: places[name][1])
    return {
        name: Place(name, metals[name]["label"], metals[name]["family"], *places[name], flowing)
        for name in ordered
    }


@dataclass(frozen=True, eq=False)
class Pair:
    """Two metals joined: bands of the current [A], potentials [V SHE], metal loss [mm/yr] of the one that suffers, joined
    and alone, and of the one that is spared. suffers, spared: metal ids; sure: share of draws in which it is this one that
    suffers; resistance [ohm] of the water between."""

    suffers: str
    spared: str
    sure: float
    current: Band
    potential: Band
    spared_potential: Band
    loss: Band
    alone: Band
    spared_loss: Band
    spared_alone: Band
    resistance: float


def pair(water: str, metals: tuple[str, str], areas: tuple[float, float], apart: bool = True) -> Pair:
    """Join two metals of `areas` [m2] in a water of the panels. Raises UnknownName, OutOfRange.

    apart: the water between them resists as two compact bodies of their size do (DNV-RP-B401's short form); else nothing
    does. The one that gives current in most draws is the one that suffers.
    """
    bath = water_named(water)
    ohm = sum(compact_resistance(area, bath.conductivity) for area in areas) if apart else 0.0
    one, two = (kinetics_of(name) for name in metals)
    found = couple(one, two, bath, areas[0], areas[1], ohm, draws(2, DRAWS))
    first = float(np.mean(found.current)) >= 0.0
    share = float(np.mean(found.current >= 0.0))
    worse, better = metals if first else metals[::-1]
    mine, other = (0, 1) if first else (1, 0)
    losses = ((found.loss_a, found.alone_a), (found.loss_b, found.alone_b))
    potentials = (band(found.potential_a), band(found.potential_b))
    return Pair(
        worse,
        better,
        share if first else 1.0 - share,
        band(np.abs(found.current)),
        potentials[mine],
        potentials[other],
        _eaten(worse, losses[mine][0]),
        _eaten(worse, losses[mine][1]),
        _eaten(better, losses[other][0]),
        _eaten(better, losses[other][1]),
        ohm,
    )


def _eaten(metal: str, density: Array) -> Band:
    data = row("metals", metal)
    return band(penetration_mm_per_year(density, data["equivalent_weight_g"] * 1e-3, data["density_kg_m3"]))


@dataclass(frozen=True, eq=False)
class Curve:
    """A metal's current [A] (k,) against its potential [V SHE] (k,), as a band; positive from metal into water."""

    potential: Array
    current: Band


def curve(metal: str, water: str, area: float, low: float, high: float, points: int = 90) -> Curve:
    """Return the polarisation curve of `area` [m2] of a metal from `low` to `high` [V SHE]. Raises UnknownName."""
    laws = drawn_law(kinetics_of(metal), water_named(water), draws(1, DRAWS)[:, 0])
    at = np.linspace(low, high, points)
    found = laws.current_density(np.repeat(at[:, None], laws.size, axis=1)) * area
    return Curve(at, band(found.T))


@lru_cache(maxsize=64)
def loss_by_ratio(water: str, metals: tuple[str, str], area: float, apart: bool = True) -> tuple[Array, Band]:
    """Return area ratios (k,), second metal over first, and the first metal's loss [mm/yr] (k,) at each, its area kept."""
    bath, ratios = water_named(water), np.geomspace(1e-3, 1e3, 19)
    drawn = draws(2, DRAWS)
    every = np.tile(np.arange(DRAWS), ratios.size)  # all draws at the first ratio, then at the next
    laws = [repeated(drawn_law(kinetics_of(name), bath, drawn[:, k]), every) for k, name in enumerate(metals)]
    ohms = [
        sum(compact_resistance(a, bath.conductivity) for a in (area, area * r)) if apart else 0.0
        for r in ratios.tolist()
    ]
    there = np.repeat(area * ratios, DRAWS)
    found = joined(laws[0], laws[1], np.full(there.size, area), there, np.repeat(ohms, DRAWS))
    return ratios, _eaten(metals[0], found.loss_a.reshape(ratios.size, DRAWS).T)
