"""A batch gives each boat the answer that numpy gives it alone, its laws and waters those of the single formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine import Kinetics, NotConverged, OutOfRange, Water, law, transfer_matrix, warm
from course.engine.batch import Batch, kinetics_of_row, kinetics_table, solve_batch
from course.engine.companion import Point
from course.engine.errors import EngineError
from course.engine.solve import iterate
from course.engine.start import no_drop_start
from course.engine.waters import Waters

PATCHES, NODES = 8, 12
SAME = 1e-9  # V


def waters(boats: int, rng: np.random.Generator) -> Waters:
    return Waters(
        temperature=rng.uniform(274.0, 303.0, boats),
        salinity=np.exp(rng.uniform(math.log(0.05), math.log(38.0), boats)),
        flow=rng.uniform(0.0, 5.0, boats),
        oxygen_saturation=rng.uniform(0.1, 1.3, boats),
        ph=rng.uniform(5.0, 10.5, boats),
    )


def fleet(metals: dict[str, Kinetics], boats: int, seed: int) -> Batch:
    """Boats of eight patches: two buses behind an isolator, bonds here and there broken, two leaks."""
    rng = np.random.default_rng(seed)
    area = 10.0 ** rng.uniform(-3.5, 0.0, (boats, PATCHES))
    at = np.array([[1.0 + 1.3 * k, (-1) ** k * 0.7, -0.5 - 0.04 * k] for k in range(PATCHES)])
    transfers = []
    for row in area:
        radii = np.sqrt(row / (4.0 * math.pi))
        transfers.append(transfer_matrix(at, 1.0 / (4.0 * math.pi * radii), radii, 4.0, 0.6))
    kinds = kinetics_table(list(metals.values()))
    kinetics = kinds[rng.integers(0, len(kinds), (boats, PATCHES))]
    kinetics[:, :, 1] *= np.exp(rng.normal(0.0, 0.2, (boats, PATCHES)))
    wires = [(k, 8 if k < 5 else 9) for k in range(PATCHES)] + [(8, 10)]
    conductance = 10.0 ** rng.uniform(-2.0, 4.0, (boats, len(wires)))
    conductance[rng.random(conductance.shape) < 0.1] = 0.0
    return Batch(
        waters=waters(boats, rng),
        transfer=np.array(transfers),
        area=area,
        kinetics=kinetics,
        node=np.arange(PATCHES),
        size=NODES,
        wires=wires,
        conductance=conductance,
        sources=[(8, 2), (11, 9)],
        emf=rng.choice([-24.0, -12.0, 12.0, 24.0], (boats, 2)),
        resistance=10.0 ** rng.uniform(-2.0, 5.0, (boats, 2)),
        diodes=[(8, 9), (9, 8)],
        saturation=10.0 ** rng.uniform(-10.0, -7.0, (boats, 2)),
        emission=rng.uniform(2.0, 4.0, (boats, 2)),
    )


@pytest.fixture(scope="module")
def batch(metals: dict[str, Kinetics]) -> Batch:
    assert warm()
    return fleet(metals, 300, 3)


def test_each_boat_as_numpy_solves_it_alone(batch: Batch) -> None:
    found = solve_batch(batch)
    for boat in range(batch.count):
        system = batch.system(boat)
        twin = iterate(system, Point(no_drop_start(system), np.zeros(2)))
        assert twin is not None
        for name in ("polarisation", "node_voltage", "water_potential"):
            assert np.abs(getattr(found, name)[boat] - getattr(twin, name)).max() < SAME, (
                f"{name} of boat {boat}"
            )
    assert np.abs(found.current.sum(axis=1)).max() < 1e-10


def test_all_boats_settle_without_help(batch: Batch) -> None:
    assert (solve_batch(batch).iterations > 0).all()


def test_threads_change_nothing(batch: Batch) -> None:
    one, three = solve_batch(batch, threads=1), solve_batch(batch, threads=3)
    np.testing.assert_array_equal(one.polarisation, three.polarisation)


def test_without_the_kernel_boats_are_solved_singly(metals, monkeypatch: pytest.MonkeyPatch) -> None:
    few = fleet(metals, 5, 4)
    quick = solve_batch(few)
    monkeypatch.setattr("course.engine.batch.batch_kernel", lambda: None)
    np.testing.assert_allclose(solve_batch(few).node_voltage, quick.node_voltage, atol=SAME)


def test_laws_by_arrays_are_laws_one_by_one(metals) -> None:
    """Every metal in fifty waters, to the last digits."""
    warm()
    from course.engine.kernel.terms import water_row, write_law

    many = waters(50, np.random.default_rng(8))
    kinds = kinetics_table(list(metals.values()))
    for number in range(many.count):
        table = np.empty((len(kinds), 17))
        assert write_law(kinds, water_row(many.rows[number]), table)
        single = law(list(metals.values()), many.one(number)).table
        np.testing.assert_allclose(table, single, rtol=1e-12, atol=1e-14)


def test_waters_by_arrays_are_waters_one_by_one() -> None:
    many = waters(40, np.random.default_rng(2))
    for number in range(many.count):
        one: Water = many.one(number)
        assert many.conductivity[number] == pytest.approx(one.conductivity, rel=1e-13)
        assert many.rows[number, 4:] == pytest.approx([one.density, one.oxygen], rel=1e-13)


def test_a_metal_survives_the_table(metals) -> None:
    for metal in metals.values():
        assert kinetics_of_row(kinetics_table([metal])[0]) == metal


def test_one_array_may_serve_all_boats(metals) -> None:
    boats = fleet(metals, 4, 6)
    shared = Batch(boats.waters, boats.transfer[0], boats.area[0], boats.kinetics[0], boats.node, NODES)
    found = solve_batch(shared)
    assert found.polarisation.shape == (4, PATCHES)
    assert np.ptp(found.polarisation, axis=0).max() > 0.0


def small(**changes: object) -> Batch:
    sea = {"waters": Waters(288.15, [35.0, 5.0]), "transfer": np.eye(2) * 0.1, "area": [0.1, 0.2], "size": 3}
    kinetics = kinetics_table([Kinetics(-0.7, 0.1, 1e-5), Kinetics(-0.1, 0.1, 1e-5)])
    wires = {"kinetics": kinetics, "node": np.array([0, 1]), "wires": [(0, 1)], "conductance": [10.0]}
    return Batch(**{**sea, **wires, **changes})


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"area": [0.1, -1.0]}, "area of patch number 1 is -1 m2; allowed is 1e-12 to 1e\\+06 m2"),
        ({"area": [0.1, math.nan]}, "area of patch number 1 is nan"),
        ({"area": np.ones((3, 2))}, "shape \\(3, 2\\); expected is \\(2, 2\\)"),
        ({"transfer": np.array([[1.0, 0.5], [0.4, 1.0]])}, "not symmetric"),
        ({"node": np.array([0, 3])}, "nodes of 0 to 2"),
        ({"wires": [(0, 5)]}, "nodes of 0 to 2"),
        ({"wires": [(1, 1)]}, "must join two"),
        ({"conductance": [-1.0]}, "conductance of wire"),
        ({"kinetics": np.zeros((2, 3))}, "kinetics has shape"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(change: dict[str, object], words: str) -> None:
    with pytest.raises(EngineError, match=words):
        small(**change)


def test_a_water_that_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="practical salinity number 1 is 400; allowed is"):
        Waters(288.15, [35.0, 400.0])


def test_a_metal_that_cannot_be_is_refused_and_not_a_nan() -> None:
    """Its breakdown lies under its corrosion potential."""
    kinetics = kinetics_table([Kinetics(-0.7, 0.1, 1e-5), Kinetics(-0.1, 0.1, 1e-5)])
    kinetics[1, 8] = -0.9
    with pytest.raises(EngineError, match="its breakdown potential must be higher"):
        solve_batch(small(kinetics=kinetics))


def test_a_boat_that_does_not_settle_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(_: object) -> None:
        raise NotConverged("the circuit did not settle.")

    monkeypatch.setattr("course.engine.batch.batch_kernel", lambda: None)
    monkeypatch.setattr("course.engine.batch.solve", never)
    with pytest.raises(NotConverged, match="boat 0 of the batch: the circuit did not settle"):
        solve_batch(small())
