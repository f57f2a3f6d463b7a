"""Metals, a small bonded boat and random circuits for the engine's tests."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest

from course.boats.datasets import load
from course.engine import Kinetics, Network, System, Water, isolator, law, sphere_resistance, transfer_matrix

SEA = Water(288.15, 35.0)


@pytest.fixture(scope="session")
def metals() -> dict[str, Kinetics]:
    return {name: Kinetics(**row["kinetics"]) for name, row in load("metals").items()}


@dataclass
class Boat:
    """Two propellers, a shaft, a through-hull and two zincs on one bus; node k is fitting k, then the bus."""

    metals: dict[str, Kinetics]
    water: Water = SEA
    names: tuple[str, ...] = (
        "nickel_aluminium_bronze",
        "nickel_aluminium_bronze",
        "stainless_316_passive",
        "silicon_bronze",
        "zinc_anode",
        "zinc_anode",
    )
    area: tuple[float, ...] = (0.12, 0.12, 0.2, 0.02, 0.05, 0.05)
    bond: tuple[float, ...] = (0.01, 0.01, 0.02, 0.02, 0.005, 0.005)
    sources: list[tuple[int, int, float, float]] = field(default_factory=list)

    @property
    def positions(self) -> np.ndarray:
        along = np.array([0.6, 0.6, 1.4, 5.0, 0.4, 1.0])
        across = np.array([0.7, -0.7, 0.0, 0.5, 0.3, -0.4])
        return np.stack([along, across, np.full(6, -0.7)], axis=1)

    @property
    def radii(self) -> np.ndarray:
        return np.sqrt(np.array(self.area) / (4.0 * math.pi))

    def system(self) -> System:
        alone = np.array([sphere_resistance(float(r)) for r in self.radii])
        transfer = transfer_matrix(self.positions, alone, self.radii, 3.5, 0.7) / self.water.conductivity
        bus = len(self.names)
        wires = [(k, bus, 1.0 / r) for k, r in enumerate(self.bond) if math.isfinite(r)]
        network = Network(bus + 1, wires, self.sources)
        laws = law([self.metals[name] for name in self.names], self.water)
        return System(transfer, np.array(self.area), laws, np.arange(bus), network)


@pytest.fixture
def boat(metals: dict[str, Kinetics]) -> Boat:
    return Boat(metals)


@pytest.fixture(scope="session")
def circuit(metals: dict[str, Kinetics]) -> Callable[[int], System]:
    """Return a maker of random circuits: areas of four decades, wires 1e-4 to 1e2 ohm, stray 12 or 24 V."""
    kinds = list(metals.values())

    def make(seed: int) -> System:
        rng = np.random.default_rng(seed)
        n, extra = int(rng.integers(3, 15)), int(rng.integers(0, 6))
        m = n + 2 + extra
        area = 10.0 ** rng.uniform(-3.5, 0.5, n)
        at = np.stack([rng.uniform(0, 12, n), rng.uniform(-2, 2, n), -rng.uniform(0.1, 1.5, n)], axis=1)
        radii = np.sqrt(area / (4.0 * math.pi))
        alone = 1.0 / (4.0 * math.pi * radii)
        transfer = transfer_matrix(at, alone, radii, float(rng.uniform(2, 6)), float(rng.uniform(-0.5, 0.9)))
        water = Water(
            273.15 + float(rng.uniform(2, 30)),
            float(np.exp(rng.uniform(np.log(0.5), np.log(35.0)))),
            flow=float(rng.uniform(0, 4)),
            oxygen_saturation=float(rng.uniform(0.2, 1.2)),
        )
        wires = [(k, n, 10.0 ** rng.uniform(-2, 4)) for k in range(n) if rng.random() < 0.85]
        wires += [(int(rng.integers(0, n)), n + 2 + k, 10.0 ** rng.uniform(-2, 4)) for k in range(extra)]
        leaks = []
        for _ in range(int(rng.integers(0, 4))):
            a, b = (int(v) for v in rng.choice(m, 2, replace=False))
            leaks.append((a, b, float(rng.choice([-24, -12, 12, 24])), 10.0 ** rng.uniform(-2, 5)))
        strings = isolator(n, n + 1) if rng.random() < 0.6 else ()
        laws = law([kinds[i] for i in rng.integers(0, len(kinds), n)], water)
        network = Network(m, wires, leaks, strings)
        return System(transfer / water.conductivity, area, laws, np.arange(n), network)

    return make
