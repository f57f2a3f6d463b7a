"""An operating point against ngspice, another house's circuit simulator: resistors, B sources, diodes."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from course.boats.datasets import load
from course.engine import Kinetics, Network, System, Water, isolator, law, solve, transfer_matrix

SIMULATOR = shutil.which("ngspice")
NAMES = ("zinc_anode", "nickel_aluminium_bronze", "mild_steel")
AREA = np.array([0.03, 0.2, 0.1])


def build() -> System:
    """Zinc and bronze on node 3; a neighbour's steel behind an isolator, 12 V leaking in through 2 kohm."""
    kinetics = [Kinetics(**load("metals")[name]["kinetics"]) for name in NAMES]
    water = Water(298.15, 5.0)
    radii = np.sqrt(AREA / (4 * np.pi))
    at = [[0, 0, -0.5], [1.5, 0.2, -0.6], [6.0, 1.0, -0.8]]
    transfer = transfer_matrix(at, 1 / (4 * np.pi * radii), radii, 3.0, 0.6) / water.conductivity
    network = Network(
        4, [(0, 3, 1 / 0.02), (1, 3, 1 / 0.5)], [(3, 2, 12.0, 2000.0)], isolator(2, 3), temperature=298.15
    )
    return System(transfer, AREA, law(kinetics, water), np.arange(3), network)


def netlist(system: System) -> str:
    """The circuit for ngspice: the water as the inverse of the transfer matrix, the laws as B sources."""
    lines = ["* bonded pair and a neighbour"]
    water = np.linalg.inv(system.transfer)
    for i in range(3):
        lines.append(f"Rw{i} p{i} 0 {1 / water[i].sum():.17g}")
        lines += [f"Rw{i}{j} p{i} p{j} {-1 / water[i, j]:.17g}" for j in range(i)]
    for k in range(3):
        parts = []
        for r, (centre, inverse, height) in enumerate(
            zip(
                system.law.centre[:, k],
                system.law.inverse_slope[:, k],
                system.law.amplitude[:, k],
                strict=True,
            )
        ):
            x = f"(v(n{k},p{k})-({centre:.17g}))*({inverse:.17g})"
            shape = f"1/(1+exp(-({x})))" if r < 3 else f"exp({x})"
            parts.append(f"({height:.17g})*({shape})")
        floor = f"{system.law.floor[k]:.17g}*(v(n{k},p{k})-({system.law.floor_potential[k]:.17g}))"
        lines.append(f"B{k} n{k} p{k} I = {system.area[k]:.17g}*({' + '.join(parts)} + {floor})")
    lines += [f"Rn{n} n{a} n{b} {1 / g:.17g}" for n, (a, b, g) in enumerate(system.network.branches)]
    for n, (a, b, emf, ohm) in enumerate(system.network.sources):
        lines += [f"V{n} m{n} n{a} {emf:.17g}", f"Rs{n} m{n} n{b} {ohm:.17g}"]
    for n, (a, b, *_) in enumerate(system.network.diodes):
        lines.append(f"D{n} n{a} n{b} junctions")
    _, _, saturation, emission, count = system.network.diodes[0]
    lines.append(f".model junctions D(IS={saturation:.17g} N={emission * count:.17g})")
    lines.append(".nodeset v(n0)=-0.7 v(n1)=-0.7 v(n2)=-0.3 v(n3)=-0.7")
    lines.append(".options reltol=1e-9 abstol=1e-14 vntol=1e-12 gmin=1e-15 temp=25 tnom=25 itl1=1000")
    lines += [".control", "set numdgt=14", "op"]
    lines += [f"print v(n{k})" for k in range(4)] + [f"print v(p{k})" for k in range(3)]
    return "\n".join([*lines, "quit", ".endc", ".end", ""])


@pytest.mark.skipif(SIMULATOR is None, reason="no ngspice on this machine: install the package ngspice")
def test_operating_point(tmp_path: Path) -> None:
    """ngspice from coarse rest potentials; 1e-8 V allows for its own constants and accuracy."""
    system = build()
    source = tmp_path / "boat.cir"
    source.write_text(netlist(system), encoding="utf-8")
    ran = subprocess.run(
        [str(SIMULATOR), "-b", str(source)], capture_output=True, encoding="utf-8", timeout=60, check=False
    )
    read = dict(re.findall(r"^v\((\w+)\) = (\S+)", ran.stdout, flags=re.MULTILINE))
    assert len(read) == 7, ran.stdout + ran.stderr
    found = solve(system)
    theirs = np.array([float(read[f"n{k}"]) for k in range(4)])
    np.testing.assert_allclose(found.node_voltage, theirs, atol=1e-8)
    np.testing.assert_allclose(found.water_potential, [float(read[f"p{k}"]) for k in range(3)], atol=1e-8)
