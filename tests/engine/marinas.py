"""Invented marinas for tests and benchmarks: unlike boats, unlike berths, a dock with steel piles, some faults."""

from __future__ import annotations

import math

import numpy as np

from course.boats.datasets import load
from course.engine import Kinetics, Network, Water, law
from course.engine.bonding import joint
from course.engine.marina import Marina
from course.engine.marina.craft import Craft
from course.engine.pieces import Pieces, assemble
from course.engine.shore import dock_earth, galvanic_isolator, isolator_under_leakage, safety_earth

KINETICS = {name: Kinetics(**row["kinetics"]) for name, row in load("metals").items()}
FITTINGS = (
    "nickel_aluminium_bronze",
    "manganese_bronze",
    "stainless_316_passive",
    "silicon_bronze",
    "mild_steel",
)
PLOT = 170.0  # m2 of water a boat, fairways included (invented)


def boat(rng: np.random.Generator, water: Water, leaky: bool = False) -> Craft:
    """6 to 16 patches, a fifth of them zinc; one bonding point, and the earth beside it as the last node."""
    n = int(rng.integers(6, 17))
    kinds = [str(rng.choice(FITTINGS)) for _ in range(n)]
    kinds[: max(1, n // 5)] = ["zinc_anode"] * max(1, n // 5)
    at = np.stack([rng.uniform(0, 11, n), rng.uniform(-1.5, 1.5, n), -rng.uniform(0.1, 1.2, n)], axis=1)
    area = 10.0 ** rng.uniform(-2.3, -0.5, n)
    radii = np.sqrt(area / (4.0 * math.pi))
    wires = [(k, n, 10.0 ** rng.uniform(1, 3)) for k in range(n) if rng.random() < 0.92]
    leaks = [(n, int(rng.integers(0, n)), 12.0, 10.0 ** rng.uniform(1, 3))] if leaky else []
    network = Network(n + 2, [*wires, (n, n + 1, 100.0)], leaks)
    laws = law([KINETICS[kind] for kind in kinds], water)
    return Craft(at, 1.0 / (4.0 * math.pi * radii), radii, area, laws, np.arange(n), network)


def pile(water: Water) -> Craft:
    """A steel pile of 0.4 m, 3 m of it wet, poorly coated."""
    laws = law([KINETICS["mild_steel"]], water)
    at = np.array([[0.0, 0.0, -1.5]])
    return Craft(at, np.array([0.15]), np.array([0.2]), np.array([1.2]), laws, np.array([0]), Network(1))


def earth(marina_first: np.ndarray, crafts: list[Craft], number: int) -> int:
    """Number of the earth of a boat among all nodes."""
    return int(marina_first[number]) + crafts[number].network.size - 1


def leads(
    rng: np.random.Generator, boats: int, docks: int, first: np.ndarray, crafts: list[Craft]
) -> list[Pieces]:
    """Six in ten on a bare earth, two on an isolator, a few biased or rafted to the boat before."""
    found = []
    for k in range(boats):
        here, pedestal, luck = earth(first, crafts, k), int(rng.integers(0, docks)), rng.random()
        if luck < 0.6:
            found.append(safety_earth(here, pedestal, 10, 15.0))
        elif luck < 0.8:
            found.append(galvanic_isolator(here, pedestal))
        elif luck < 0.84:
            found.append(isolator_under_leakage(here, pedestal, 0.3))
        elif luck > 0.96 and k:
            found.append(joint(here, earth(first, crafts, k - 1), 0.05))
    return found


def marina(boats: int, seed: int = 0, salinity: float = 35.0, depth: float = 4.0, bed: float = 0.7) -> Marina:
    """`boats` unlike boats, a pile for every 20 of them, pedestals in a row; all invented."""
    rng = np.random.default_rng(seed)
    water = Water(288.15, salinity)
    piles, row = max(1, boats // 20), math.ceil(math.sqrt(boats))
    wide, deep = 1.5 * math.sqrt(PLOT), math.sqrt(PLOT) / 1.5
    crafts = [boat(rng, water, leaky=rng.random() < 0.05) for _ in range(boats)]
    crafts += [pile(water) for _ in range(piles)]
    berths = [
        (
            (k % row + 0.5 + rng.uniform(-0.12, 0.12)) * wide,
            (k // row + 0.5 + rng.uniform(-0.25, 0.25)) * deep,
            rng.uniform(-0.1, 0.1),
        )
        for k in range(boats)
    ]
    berths += [(rng.uniform(0, row * wide), (rng.integers(0, row) + 0.03) * deep, 0.0) for _ in range(piles)]
    docks = piles + 1
    first = np.cumsum([docks, *(craft.network.size for craft in crafts)])
    pieces = [dock_earth(k, k + 1, 4, 20.0) for k in range(docks - 1)]
    pieces += [joint(k % docks, int(first[boats + k]), 0.01) for k in range(piles)]
    pieces += leads(rng, boats, docks, first, crafts)
    shore = assemble(int(first[-1]), pieces)
    return Marina(crafts, np.array(berths), water.conductivity, shore, docks, depth, bed)
