"""Writes a system as text for circuit simulators of the SPICE family, so that others can check an answer.

Water nodes are p0, p1, ...; network nodes n0, n1, ...; node 0 is remote water. The water is the inverse of the
transfer matrix, as resistors between every two patches (negative ones occur, and are right). Electrodes and
junctions are behavioural current sources with kT/q as a number, because simulators carry older constants. An
emf is written as the current it drives through its own resistance, which spares the simulator a branch current.
The ties and shunts of the engine's own network are written too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from course.engine.constants import BOLTZMANN_OVER_CHARGE
from course.engine.electrode import LOGISTIC, STRAIGHT_FROM
from course.engine.errors import Array, EngineError, require
from course.engine.system import Solution, System
from course.engine.tree import SHUNT, TIE

OPTIONS = ".options reltol=1e-10 abstol=1e-18 vntol=1e-13 gmin=1e-18 itl1=2000"


def netlist(system: System, near: Solution | None = None, grain: float = 1e-3, title: str = "wetslip") -> str:
    """SPICE text of `system` that prints every water and network node at its operating point, 16 digits.

    near : a solution to start the simulator from, rounded to `grain` [V, 1e-12 to 1] so that it has work
        left. Simulators have no step limit on such sources and seldom settle from further than some 10 mV.

    Raises OutOfRange. Read the answer with `read_voltages`.
    """
    require("grain of the start", grain, "V", 1e-12, 1.0)
    names = [f"p{k}" for k in range(system.law.size)] + [f"n{k}" for k in range(system.network.size)]
    lines = [f"* {title}", *_water(system), *_electrodes(system), *_conductors(system), *_strings(system)]
    if near is not None:
        at = np.concatenate([near.water_potential, near.node_voltage])
        start = (
            f"v({name})={round(float(v) / grain) * grain:.12g}" for name, v in zip(names, at, strict=True)
        )
        lines.append(".nodeset " + " ".join(start))
    lines += [OPTIONS, ".control", "set numdgt=16", "op"]
    lines += [f"print v({name})" for name in names]
    return "\n".join([*lines, "quit", ".endc", ".end", ""])


def read_voltages(printed: str, system: System) -> tuple[Array, Array]:
    """Water potentials (n,) and node voltages (m,) [V] from what a simulator printed for `netlist(system)`.

    Raises EngineError where some are missing: the simulator did not settle.
    """
    found = dict(re.findall(r"^v\((\w+)\) = (\S+)", printed, flags=re.MULTILINE))
    n, m = system.law.size, system.network.size
    if len(found) != n + m:
        raise EngineError(f"the simulator gave {len(found)} of {n + m} voltages: it did not settle.")
    water = np.array([float(found[f"p{k}"]) for k in range(n)])
    return water, np.array([float(found[f"n{k}"]) for k in range(m)])


def _water(system: System) -> Iterator[str]:
    inverse = np.linalg.inv(system.transfer)
    inverse = 0.5 * (inverse + inverse.T)
    for i in range(system.law.size):
        to_remote = float(inverse[i].sum())
        if to_remote != 0.0:
            yield f"Rw{i} p{i} 0 {1.0 / to_remote!r}"
        for j in range(i):
            if inverse[i, j] != 0.0:
                yield f"Rw{i}_{j} p{i} p{j} {-1.0 / float(inverse[i, j])!r}"


def _electrodes(system: System) -> Iterator[str]:
    law = system.law
    for k in range(law.size):
        across = f"v(n{system.node[k]},p{k})"
        parts = [f"{float(law.floor[k])!r}*({across}-({float(law.floor_potential[k])!r}))"]
        for r in range(law.amplitude.shape[0]):
            height = float(law.amplitude[r, k])
            x = f"({across}-({float(law.centre[r, k])!r}))*({float(law.inverse_slope[r, k])!r})"
            if height != 0.0:
                parts.append(f"({height!r})*{f'(1/(1+exp(-({x}))))' if r < LOGISTIC else _exponential(x)}")
        yield f"B{k} n{system.node[k]} p{k} I={float(system.area[k])!r}*({'+'.join(parts)})"


def _exponential(x: str) -> str:
    """exp(x), continued by its tangent as the engine continues it."""
    capped = f"min({x},{STRAIGHT_FROM!r})"
    return f"exp({capped})*(1+({x})-{capped})"


def _conductors(system: System) -> Iterator[str]:
    for n, (a, b, g) in enumerate(system.network.branches):
        if g > 0.0:
            yield f"Rn{n} n{a} n{b} {1.0 / float(g)!r}"
    for n, (a, b, emf, ohm) in enumerate(system.network.sources):
        yield f"Is{n} n{a} n{b} {float(emf) / float(ohm)!r}"
        yield f"Rs{n} n{a} n{b} {float(ohm)!r}"
    component = system.tree.component
    wet = {component[int(node)] for node in system.node}
    for root in sorted(set(component) - wet):
        yield f"Rt{root} n{root} 0 {1.0 / TIE!r}"


def _strings(system: System) -> Iterator[str]:
    thermal = BOLTZMANN_OVER_CHARGE * system.network.temperature
    for n, (a, b, saturation, emission, junctions) in enumerate(system.network.diodes):
        x = f"v(n{a},n{b})*({1.0 / (junctions * emission * thermal)!r})"
        yield f"Bd{n} n{a} n{b} I={float(saturation)!r}*({_exponential(x)}-1)"
        yield f"Rd{n} n{a} n{b} {1.0 / SHUNT!r}"
