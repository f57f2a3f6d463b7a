"""One answer from any start: random circuits, each solved from rest and from a start scattered over six volts.

The equations are the gradient of a strictly convex function, so mathematics says that there is exactly one answer
(Rockafellar, Convex Analysis: a strictly convex function has at most one minimum); this asks whether floating
point always finds it. 1e-9 V is the gate. The whole, 100,000 circuits, runs in some ten minutes with
`pytest -m long tests/outside/test_uniqueness.py` and keeps its result, dated, beside this file.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from course.boats.datasets import load
from course.engine import (
    Kinetics,
    Network,
    NotConverged,
    Solution,
    System,
    Water,
    isolator,
    law,
    solve,
    transfer_matrix,
    warm,
)

SAME = 1e-9  # V
ALWAYS, WHOLE = 400, 100_000
KINDS = [Kinetics(**row["kinetics"]) for row in load("metals").values()]
RESULT = Path(__file__).parent / "results" / "uniqueness.md"


def random_circuit(seed: int) -> System:
    """Areas of four decades, wires 1e-4 to 1e2 ohm, broken bonds, leaks of 12 or 24 V, fresh to sea water."""
    rng = np.random.default_rng([20_260, seed])
    n, extra = int(rng.integers(3, 15)), int(rng.integers(0, 6))
    area = 10.0 ** rng.uniform(-3.5, 0.5, n)
    at = np.stack([rng.uniform(0, 12, n), rng.uniform(-2, 2, n), -rng.uniform(0.1, 1.5, n)], axis=1)
    radii = np.sqrt(area / (4.0 * math.pi))
    bed = (float(rng.uniform(2, 6)), float(rng.uniform(-0.5, 0.9))) if rng.random() < 0.2 else ()
    transfer = transfer_matrix(at, 1.0 / (4.0 * math.pi * radii), radii, *bed)
    water = Water(
        273.15 + float(rng.uniform(0, 34)),
        float(np.exp(rng.uniform(np.log(0.03), np.log(40.0)))),
        flow=float(rng.uniform(0, 4)),
        oxygen_saturation=float(rng.uniform(0.05, 1.5)),
        ph=float(rng.uniform(5.5, 9.0)),
    )
    wires = [(k, n, 10.0 ** rng.uniform(-2, 4)) for k in range(n) if rng.random() < 0.85]
    wires += [(int(rng.integers(0, n)), n + 2 + k, 10.0 ** rng.uniform(-2, 4)) for k in range(extra)]
    leaks = []
    for _ in range(int(rng.integers(0, 4))):
        a, b = (int(v) for v in rng.choice(n + 2 + extra, 2, replace=False))
        leaks.append((a, b, float(rng.choice([-24, -12, 12, 24])), 10.0 ** rng.uniform(-2, 5)))
    strings = isolator(n, n + 1) if rng.random() < 0.6 else ()
    laws = law([KINDS[i] for i in rng.integers(0, len(KINDS), n)], water)
    network = Network(n + 2 + extra, wires, leaks, strings)
    return System(transfer / water.conductivity, area, laws, np.arange(n), network)


def scattered(system: System, seed: int) -> Solution:
    rng = np.random.default_rng([7, seed])
    n, m = system.law.size, system.network.size
    far, node = rng.uniform(-3.0, 3.0, n), rng.uniform(-1.0, 1.0, m)
    return Solution(np.zeros(n), node, far, np.zeros(n), 0, math.inf)


@dataclass
class Tally:
    """What a run of circuits came to; lists have an entry a circuit."""

    apart: list[float]
    unbalanced: list[float]
    from_rest: list[int]
    from_far: list[int]
    failed: list[int]

    @property
    def line(self) -> str:
        rest, far = np.array(self.from_rest), np.array(self.from_far)
        return (
            f"| {len(self.apart) + len(self.failed)} | {len(self.failed)} | {max(self.apart):.1e} | "
            f"{max(self.unbalanced):.1e} | {rest.mean():.1f} / {np.quantile(rest, 0.99):.0f} / {rest.max()} | "
            f"{far.mean():.1f} / {np.quantile(far, 0.99):.0f} / {far.max()} |"
        )


def tally(count: int) -> Tally:
    """Solve `count` circuits from two starts each."""
    assert warm()
    found = Tally([], [], [], [], [])
    for seed in range(count):
        system = random_circuit(seed)
        try:
            rest, far = solve(system), solve(system, scattered(system, seed))
        except NotConverged:
            found.failed.append(seed)
            continue
        names = ("node_voltage", "water_potential", "polarisation")
        found.apart.append(max(float(np.abs(getattr(rest, n) - getattr(far, n)).max()) for n in names))
        found.unbalanced.append(abs(float(rest.current.sum())))
        found.from_rest.append(rest.iterations)
        found.from_far.append(far.iterations)
    return found


def test_random_circuits_have_one_answer() -> None:
    found = tally(ALWAYS)
    assert found.failed == []
    assert max(found.apart) < SAME
    assert max(found.unbalanced) < 1e-10


def test_starts_are_far_from_the_answer() -> None:
    """Or the check would prove nothing."""
    for seed in range(20):
        system = random_circuit(seed)
        away = np.abs(solve(system).polarisation - scattered(system, seed).polarisation)
        assert away.max() > 0.5


@pytest.mark.long
def test_the_whole() -> None:
    """A hundred thousand circuits; the result is kept and dated."""
    found = tally(WHOLE)
    day = datetime.datetime.now(datetime.UTC).date().isoformat()
    with RESULT.open("w", encoding="utf-8") as stream:
        stream.write(
            f"# Uniqueness of the answer: {WHOLE:,} random circuits from two starts each, {day}\n\n"
            "Areas over four decades, wires of 1e-4 to 1e2 ohm, broken bonds, up to three leaks of 12 or 24 V through\n"
            "0.01 to 1e5 ohm, isolators, fresh to sea water. One start is the solver's own, the other scattered over\n"
            "+-3 V. Steps are mean / 99 % / most. Gate: nothing fails, and both answers agree to 1e-9 V.\n\n"
            "| circuits | failed | largest difference [V] | largest imbalance [A] | steps from rest | from afar |\n"
            f"|---|---|---|---|---|---|\n{found.line}\n"
        )
    assert found.failed == []
    assert max(found.apart) < SAME
    assert max(found.unbalanced) < 1e-10
