"""A thousand unlike boats solved together, their laws set up by arrays as well.

The boats are alike in what is joined to what and in nothing else: areas, kinetics, water, transfer, wires,
leaks and diodes differ. The compiled kernel walks through them in two threads; until it is compiled they are
solved one by one, with the same answers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import astuple, dataclass, field, fields
from itertools import pairwise
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.compiled import batch_kernel
from course.engine.conductors import Network
from course.engine.constants import BOLTZMANN_OVER_CHARGE, ZERO_CELSIUS
from course.engine.electrode import law
from course.engine.errors import Array, EngineError, NotConverged, require_array
from course.engine.kinetics import Kinetics
from course.engine.solve import solve
from course.engine.system import ASYMMETRY, System
from course.engine.tree import SHUNT
from course.engine.waters import Waters

Numbers = NDArray[np.int64]
COLUMNS = tuple(part.name for part in fields(Kinetics))
BREAKDOWN = COLUMNS.index("breakdown_potential")
THREADS = 2
NONE: Array = np.empty((0,))
NOBODY: Numbers = np.empty((0, 2), np.int64)


def kinetics_table(kinetics: Sequence[Kinetics]) -> Array:
    """Return metals as rows (k, 15) whose columns are named in COLUMNS; a nan stands for no breakdown."""
    return np.array([[math.nan if v is None else float(v) for v in astuple(one)] for one in kinetics])


def kinetics_of_row(row: ArrayLike) -> Kinetics:
    """Return the metal of one row of a table. Raises OutOfRange as Kinetics does."""
    values: dict[str, Any] = dict(zip(COLUMNS, (float(v) for v in np.asarray(row)), strict=True))
    values["passive"] = bool(values["passive"])
    if math.isnan(values["breakdown_potential"]):
        values["breakdown_potential"] = None
    return Kinetics(**values)


@dataclass(frozen=True, eq=False)
class Batch:
    """b boats of n patches on m nodes. Where an array may differ between boats, its first axis (b) may be left out.

    Parameters
    ----------
    waters : Waters of b boats
    transfer : (b, n, n) ohm at 1 S/m, symmetric and positive definite
    area : (b, n) m2
    kinetics : (b, n, 15), rows of `kinetics_table`
    node : (n,) network node of each patch
    size : number of nodes
    wires, conductance : (w, 2) ends and (b, w) S; 0 is an open one
    sources, emf, resistance : (s, 2) ends as in conductors.Source, (b, s) V and (b, s) ohm
    diodes, saturation, emission : (d, 2) ends, (b, d) A, and (b, d) emission coefficient times junctions
    network_temperature : K, of the diodes

    Raises EngineError or OutOfRange for shapes or values that cannot be.
    """

    waters: Waters
    transfer: Array
    area: Array
    kinetics: Array
    node: Numbers
    size: int
    wires: Numbers = field(default_factory=lambda: NOBODY)
    conductance: Array = field(default_factory=lambda: NONE)
    sources: Numbers = field(default_factory=lambda: NOBODY)
    emf: Array = field(default_factory=lambda: NONE)
    resistance: Array = field(default_factory=lambda: NONE)
    diodes: Numbers = field(default_factory=lambda: NOBODY)
    saturation: Array = field(default_factory=lambda: NONE)
    emission: Array = field(default_factory=lambda: NONE)
    network_temperature: float = ZERO_CELSIUS + 25.0

    def __post_init__(self) -> None:
        b, node = self.waters.count, np.ascontiguousarray(self.node, dtype=np.int64)
        n, w, s, d = node.shape[0], len(self.wires), len(self.sources), len(self.diodes)
        shapes = {
            "transfer": ("transfer matrix", "ohm", -1e12, 1e12, (n, n)),
            "area": ("area of patch", "m2", 1e-12, 1e6, (n,)),
            "conductance": ("conductance of wire", "S", 0.0, 1e9, (w,)),
            "emf": ("emf of source", "V", -1e3, 1e3, (s,)),
            "resistance": ("resistance of source", "ohm", 1e-9, 1e15, (s,)),
            "saturation": ("saturation current of diode string", "A", 1e-18, 1e-3, (d,)),
            "emission": ("emission coefficient of diode string", "", 0.5, 80.0, (d,)),
        }
        for name, (words, unit, low, high, shape) in shapes.items():
            given = require_array(words, getattr(self, name), unit, low, high)
            object.__setattr__(self, name, _widened(words, given, (b, *shape)))
        object.__setattr__(self, "kinetics", _metals(self.kinetics, (b, n, len(COLUMNS))))
        object.__setattr__(self, "node", node)
        for name in ("wires", "sources", "diodes"):
            object.__setattr__(self, name, _ends(name, getattr(self, name), self.size))
        if n == 0 or node.min() < 0 or node.max() >= self.size:
            raise EngineError(f"the patches need nodes of 0 to {self.size - 1}.")
        upper, lower = np.triu_indices(n, 1)
        skew = self.transfer[:, upper, lower] - self.transfer[:, lower, upper]
        if np.abs(skew).max(initial=0.0) > ASYMMETRY * max(self.transfer.max(), -self.transfer.min()):
            raise EngineError("a transfer matrix is not symmetric; symmetrise it before building a batch.")

    @property
    def count(self) -> int:
        """How many boats."""
        return self.waters.count

    def system(self, boat: int) -> System:
        """Return one of the boats as a System, as `solve` takes it."""
        water = self.waters.one(boat)
        network = Network(
            self.size,
            [
                (int(a), int(b), float(g))
                for (a, b), g in zip(self.wires, self.conductance[boat], strict=True)
            ],
            [
                (int(a), int(b), float(v), float(r))
                for (a, b), v, r in zip(self.sources, self.emf[boat], self.resistance[boat], strict=True)
            ],
            self._strings(boat),
            self.network_temperature,
        )
        kinetics = [kinetics_of_row(row) for row in self.kinetics[boat]]
        transfer = self.transfer[boat] / water.conductivity
        return System(transfer, self.area[boat].copy(), law(kinetics, water), self.node, network)

    def _strings(self, boat: int) -> list[tuple[int, int, float, float, int]]:
        """Diode strings with the junctions that leave an emission coefficient between 0.5 and 4."""
        made = []
        for (a, b), current, emission in zip(
            self.diodes, self.saturation[boat], self.emission[boat], strict=True
        ):
            junctions = max(1, math.ceil(float(emission) / 4.0))
            made.append((int(a), int(b), float(current), float(emission) / junctions, junctions))
        return made


@dataclass(frozen=True, eq=False)
class BatchSolution:
    """What `solve_batch` found: the fields of Solution, each with the boats (b) as first axis."""

    water_potential: Array
    node_voltage: Array
    polarisation: Array
    current: Array
    iterations: Numbers
    residual: Array


def solve_batch(batch: Batch, threads: int = THREADS) -> BatchSolution:
    """Solve every boat of `batch`, as `solve` would.

    Raises NotConverged with the number of a boat that did not settle, EngineError for one that cannot be.
    """
    b, n, m = batch.count, batch.node.shape[0], batch.size
    found = BatchSolution(
        np.empty((b, n)),
        np.empty((b, m)),
        np.empty((b, n)),
        np.empty((b, n)),
        np.zeros(b, np.int64),
        np.empty(b),
    )
    machine = batch_kernel()
    if machine is not None:
        _by_kernel(machine, batch, found, max(1, threads))
    for boat in np.flatnonzero(found.iterations == 0):
        _singly(batch, int(boat), found)
    return found


def _by_kernel(machine: ModuleType, batch: Batch, found: BatchSolution, threads: int) -> None:
    waters = batch.waters
    physics = (
        batch.transfer,
        waters.conductivity,
        batch.area,
        batch.kinetics,
        waters.rows,
        batch.node,
    )
    b = batch.count
    shunts = np.full((b, len(batch.diodes)), SHUNT)
    wiring = (
        batch.size,
        len(batch.wires),
        np.concatenate([batch.wires, batch.sources, batch.diodes]),
        np.concatenate([batch.conductance, 1.0 / batch.resistance, shunts], axis=1),
        np.concatenate([np.zeros_like(batch.conductance), batch.emf, np.zeros_like(shunts)], axis=1),
        batch.diodes,
        batch.saturation,
        batch.emission * (BOLTZMANN_OVER_CHARGE * batch.network_temperature),
    )
    answers = tuple(getattr(found, part.name) for part in fields(found))
    marks = np.linspace(0, b, threads + 1).astype(int)
    with ThreadPoolExecutor(threads) as pool:
        for done in [
            pool.submit(machine.solve_boats, int(low), int(high), physics, wiring, answers)
            for low, high in pairwise(marks)
        ]:
            done.result()


def _singly(batch: Batch, boat: int, found: BatchSolution) -> None:
    try:
        one = solve(batch.system(boat))
    except NotConverged as error:
        raise NotConverged(f"boat {boat} of the batch: {error}") from None
    for part in fields(found):
        getattr(found, part.name)[boat] = getattr(one, part.name)


def _widened(words: str, values: Array, shape: tuple[int, ...]) -> Array:
    try:
        wide = values if values.shape == shape else np.broadcast_to(values, shape)
        return np.require(wide, np.float64, ["C", "W"])
    except ValueError:
        raise EngineError(
            f"the {words} has shape {values.shape}; expected is {shape} or {shape[1:]}."
        ) from None


def _metals(given: ArrayLike, shape: tuple[int, ...]) -> Array:
    """Kinetics in full shape; the smallest and largest value of each column pass the checks of one metal."""
    values = np.asarray(given, dtype=np.float64)
    wide = _widened("kinetics", values, shape)
    columns = np.ascontiguousarray(values.reshape(-1, shape[-1]).T)
    breakdown = columns[BREAKDOWN][~np.isnan(columns[BREAKDOWN])]
    for extreme in (np.min, np.max):
        row = extreme(columns, axis=1)
        row[BREAKDOWN] = extreme(breakdown) if breakdown.size else math.nan
        kinetics_of_row(row)
    return wide


def _ends(name: str, given: Numbers, size: int) -> Numbers:
    ends = np.ascontiguousarray(np.asarray(given, np.int64).reshape(-1, 2))
    if ends.size and (ends.min() < 0 or ends.max() >= size):
        raise EngineError(f"the {name} must end on nodes of 0 to {size - 1}.")
    if (ends[:, 0] == ends[:, 1]).any():
        raise EngineError(f"one of the {name} starts and ends on one node; it must join two.")
    return ends
