"""The pontoon of the marina view: boats on shore power, their earths joined through the dock; who feeds whom."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import kinetics_of
from course.boats.datasets import load, row
from course.boats.waters import water_named
from course.engine.conductors import Network
from course.engine.earthing import sphere_resistance
from course.engine.electrode import law
from course.engine.faraday import mass_kg_per_year
from course.engine.marina import Marina
from course.engine.marina.craft import Craft
from course.engine.pieces import Pieces, assemble, path
from course.engine.shore import dock_earth, galvanic_isolator, safety_earth
from course.engine.solve import solve
from course.engine.uncertainty import Band, band, draws, kinds_of, sampled
from course.engine.water import Water

Array = NDArray[np.float64]
Arrangement = Literal["unplugged", "plain earth", "isolator", "transformer"]
ARRANGEMENTS: tuple[Arrangement, ...] = ("unplugged", "plain earth", "isolator", "transformer")
DOCK_GAUGE, DOCK_M = 4, 9.0  # AWG, and metres between pedestals (invented)
TIE_OHM = 1e-4  # inside the boat, bonded metal to the inlet
DEPTH_M, BED = 4.0, 0.5
DRAWS = 24


@dataclass(frozen=True)
class Moored:
    """What becomes of one boat: current [A] in her safety earth (positive: from boat to dock through the wire, and so from
    the water into her metal), potential [V SHE] as the mean over her bare area, loss [kg/yr] of the metal that wastes most,
    and what it loses with everybody unplugged."""

    name: str
    label: str
    arrangement: Arrangement
    earth: Band
    potential: Band
    wasting: str
    loss: Band
    alone: float


@dataclass(frozen=True)
class Quay:
    """The boats of the pontoon, and the current [A] that the dock's piles give to the water (negative: they take it, and the
    boats protect the dock)."""

    boats: tuple[Moored, ...]
    piles: Band


def quay_boats() -> tuple[tuple[str, str], ...]:
    """Return (words, id) of the boats of the pontoon."""
    return tuple((found["label"], name) for name, found in load("quay").items() if found["kind"] == "boat")


def _craft(name: str, bath: Water) -> Craft:
    found = row("quay", name)
    metals: list[dict[str, Any]] = found["metals"]
    area = np.array([m["area_m2"] for m in metals])
    radii = np.sqrt(area / (4.0 * math.pi))
    return Craft(
        positions=np.array([[m["ahead_m"], 0.0, -m["depth_m"]] for m in metals]),
        self_resistance=np.array([sphere_resistance(float(r)) for r in radii]),
        radii=radii,
        area=area,
        law=law([kinetics_of(m["metal"]) for m in metals], bath),
        node=np.zeros(len(metals), dtype=np.int64),
        network=Network(2 if found["kind"] == "boat" else 1),
    )


def _between(arrangement: Arrangement, metal: int, inlet: int) -> Pieces:
    if arrangement == "plain earth":
        return path(metal, inlet, TIE_OHM)
    return galvanic_isolator(metal, inlet) if arrangement == "isolator" else Pieces()


def _marina(
    names: tuple[str, ...], arrangements: tuple[Arrangement, ...], bath: Water
) -> tuple[Marina, list[int]]:
    """The marina, and for each boat the number of her inlet's node; pedestal k is dock node k."""
    crafts = [_craft(name, bath) for name in (*names, "piles")]
    places = [row("quay", name) for name in (*names, "piles")]
    first = np.cumsum([len(names), *(c.network.size for c in crafts)]).tolist()
    pieces = [path(0, first[len(names)], 1e-3)]  # the dock's earth goes down to its piles
    pieces += [dock_earth(k, k + 1, DOCK_GAUGE, DOCK_M) for k in range(len(names) - 1)]
    inlets = [first[k] + 1 for k in range(len(names))]
    for k, (name, arrangement) in enumerate(zip(names, arrangements, strict=True)):
        found = row("quay", name)
        pieces.append(_between(arrangement, first[k], inlets[k]))
        if arrangement != "unplugged":
            pieces.append(safety_earth(inlets[k], k, found["gauge_awg"], found["lead_m"]))
    berths = np.array([[p["x_m"], p["y_m"], math.pi / 2] for p in places])
    shore = assemble(first[-1], pieces)
    return Marina(crafts, berths, bath.conductivity, shore, len(names), DEPTH_M, BED), inlets


@lru_cache(maxsize=128)
def _answers(arrangements: tuple[Arrangement, ...], water: str) -> tuple[Array, Array, Array]:
    """Earth currents (draws + 1, boats), potentials and dissolution [A] of every patch (draws + 1, patches)."""
    bath, names = water_named(water), tuple(name for _, name in quay_boats())
    marina, inlets = _marina(names, arrangements, bath)
    system = marina.system()
    kinetics = [kinetics_of(m["metal"]) for name in (*names, "piles") for m in row("quay", name)["metals"]]
    of = kinds_of(kinetics)
    laws = [system.law, *sampled(system.law, draws(int(of.max()) + 1, DRAWS)[:, of])]
    earths, potentials, losses, start = [], [], [], None
    for one in laws:
        found = start = solve(system.with_law(one), start)
        volts = found.node_voltage
        flow = []
        for k, arrangement in enumerate(arrangements):
            ends = {inlets[k], k}
            wire = [(a, b, g) for a, b, g in marina.shore.branches if {a, b} == ends]
            flow.append(
                sum(g * (volts[inlets[k]] - volts[k]) for _, _, g in wire)
                if arrangement != "unplugged"
                else 0.0
            )
        earths.append(flow)
        potentials.append(found.polarisation)
        losses.append(system.area * one.dissolution(found.polarisation))
    return np.array(earths), np.array(potentials), np.array(losses)


def quay(arrangements: Mapping[str, Arrangement], water: str) -> Quay:
    """Return what becomes of each boat of the pontoon with her arrangement (by id) in a water of the panels.

    Bands are 5 to 95 % of 24 draws. Raises UnknownName, or EngineError for an arrangement that is not known.
    """
    names = tuple(name for _, name in quay_boats())
    chosen = tuple(arrangements.get(name, "unplugged") for name in names)
    earths, potentials, losses = _answers(chosen, water)
    alone = _answers(("unplugged",) * len(names), water)[2][0]
    boats, first = [], 0
    for k, name in enumerate(names):
        found = row("quay", name)
        mine = slice(first, first + len(found["metals"]))
        area = np.array([m["area_m2"] for m in found["metals"]])
        weigh = [row("metals", m["metal"])["equivalent_weight_g"] * 1e-3 for m in found["metals"]]
        eaten = np.array([mass_kg_per_year(losses[:, mine][:, n], w) for n, w in enumerate(weigh)])
        worst = int(np.argmax(np.median(eaten, axis=1)))
        boats.append(
            Moored(
                name, found["label"], chosen[k], band(earths[1:, k]),
                band(potentials[1:, mine] @ area / area.sum()), found["metals"][worst]["metal"], band(eaten[worst, 1:]),
                float(mass_kg_per_year(alone[mine][worst], weigh[worst])),
            )
        )  # fmt: skip
        first = mine.stop
    return Quay(tuple(boats), band(earths[1:].sum(axis=1)))
