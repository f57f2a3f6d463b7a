"""A crevice on stainless steel or aluminium through the days: oxygen, chloride, the film, and what it costs in metal."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import kinetics_of
from course.boats.datasets import load, row
from course.boats.waters import water_named
from course.engine.couple import couple
from course.engine.faraday import penetration_mm_per_year
from course.engine.film import DAY, Crevice, crevice_after, fresh_crevice, passive_cover_after, time_to_attack
from course.engine.uncertainty import Band, band, draws

Array = NDArray[np.float64]
POINTS, FIRST_DAY = 81, 0.001


def crevice_metals() -> tuple[tuple[str, str], ...]:
    """Return (words, id) of the metals whose crevices are known."""
    return tuple((found["label"], name) for name, found in load("crevices").items())


@dataclass(frozen=True, eq=False)
class Starved:
    """A crevice: days (k,);
    oxygen as a share of that outside (k,), chloride [mol/m3] (k,), share of the film left (k,);
    attack: day on which the film fails or infinity; critical: chloride at which it does; loss: band of mm/yr in the gap
    once it has failed, beside sound metal outside; sound: band of mm/yr with the film whole."""

    days: Array
    oxygen: Array
    chloride: Array
    film: Array
    attack: float
    critical: float
    loss: Band
    sound: Band


def starved(
    metal: str, water: str, gap: float, depth: float, ratio: float, days: float, held: bool = False
) -> Starved:
    """Follow a crevice of `gap` and `depth` [m] with `ratio` of sound area outside to area inside, for `days`.

    Times stand closer at first, from 0.001 days on (a minute and a half).

    held: the metal is bonded to anodes and stands below its protection potential. Raises UnknownName or OutOfRange.
    """
    data, bath = row("crevices", metal), water_named(water)
    crevice = Crevice(
        gap,
        depth,
        ratio,
        data["critical_chloride_mol_m3"],
        data["passive_current_A_m2"],
        data["protected_below_V_SHE"],
    )
    potential = data["protected_below_V_SHE"] - 0.05 if held else 1.0
    time = np.geomspace(FIRST_DAY, days, POINTS)
    state, cover, rows, before = fresh_crevice(bath), 1.0, [], 0.0
    for day in time:
        step, before = float(day - before) * DAY, float(day)
        state = crevice_after(crevice, state, bath, step, potential)
        cover = float(passive_cover_after(cover, state, step)) if state.attacked else cover
        rows.append((state.oxygen / bath.oxygen, state.chloride, cover))
    oxygen, chloride, film = np.array(rows).T
    attack = float("inf") if held else time_to_attack(crevice, bath) / DAY
    return Starved(
        time, oxygen, chloride, film, attack, crevice.critical_chloride, *_losses(metal, water, ratio)
    )


@lru_cache(maxsize=256)
def _losses(metal: str, water: str, ratio: float) -> tuple[Band, Band]:
    """Bands [mm/yr] of bare metal in the gap that the passive metal outside drives, and of the metal with its film."""
    data, bath = row("crevices", metal), water_named(water)
    passive, active = kinetics_of(data["passive"]), kinetics_of(data["active"])
    found = couple(active, passive, bath, 1e-4, 1e-4 * max(ratio, 1e-3), deviates=draws(2, 60))
    kept = row("metals", data["passive"])
    weight, density = kept["equivalent_weight_g"] * 1e-3, kept["density_kg_m3"]
    lost, sound = (penetration_mm_per_year(d, weight, density) for d in (found.loss_a, found.alone_b))
    return band(lost), band(sound)
