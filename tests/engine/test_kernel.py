"""The compiled kernel is held to its plain-numpy twin: same answers, same steps of relaxation, same refusals."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from course.engine import Solution, System, compiled, jit, relax_steps, solve, warm
from course.engine.companion import Point
from course.engine.machine import kernel_for, run
from course.engine.solve import iterate
from course.engine.start import no_drop_start

Maker = Callable[[int], System]
SAME = 1e-10  # V


@pytest.fixture(scope="module", autouse=True)
def machine():
    """Return the kernel; compiled now if it is not in this user's cache."""
    assert warm(), "numba is a dependency, and the user's cache can be written"
    return compiled.kernel(1)


def by_numpy(system: System) -> Solution:
    found = iterate(system, Point(no_drop_start(system), np.zeros(len(system.network.diodes))))
    assert found is not None
    return found


def apart(one: Solution, two: Solution) -> float:
    names = ("node_voltage", "water_potential", "polarisation")
    return max(float(np.abs(getattr(one, name) - getattr(two, name)).max()) for name in names)


def test_random_circuits_are_solved_as_by_numpy(circuit: Maker, machine) -> None:
    """Diodes, stray sources, areas of four decades."""
    for seed in range(400):
        system = circuit(seed)
        found, _, _ = run(machine, system, None, np.zeros(len(system.network.diodes)))
        assert found is not None, f"circuit {seed} did not settle"
        twin = by_numpy(system)
        assert apart(found, twin) < SAME, f"circuit {seed}"
        np.testing.assert_allclose(found.current, twin.current, rtol=1e-8, atol=1e-10)
        assert abs(float(found.current.sum())) < 1e-10


def test_scattered_starts_lead_to_the_same_answer(circuit: Maker, machine) -> None:
    for seed in range(200):
        system = circuit(7000 + seed)
        far = np.random.default_rng(seed).uniform(-3.0, 3.0, system.law.size)
        found, _, _ = run(machine, system, far, np.zeros(len(system.network.diodes)))
        assert found is not None
        assert apart(found, by_numpy(system)) < SAME


def test_steps_of_relaxation_are_those_of_numpy(circuit: Maker, machine, monkeypatch) -> None:
    """Ten minutes with storage; from here on numpy alone, then the kernel alone."""
    for seed in range(60):
        system = circuit(8000 + seed)
        before = np.random.default_rng(seed).uniform(-1.0, 0.2, system.law.size)
        store = np.full(system.law.size, 50.0)
        ours, stands = relax_steps(system, before, store, 60.0, 10)
        with monkeypatch.context() as patch:
            patch.setattr(compiled, "LARGEST", 0)
            assert kernel_for(system) is None
            theirs, also = relax_steps(system, before, store, 60.0, 10)
        assert apart(ours, theirs) < SAME
        assert not stands
        assert not also


def test_relaxation_ends_once_it_stands(boat) -> None:
    system = boat.system()
    rest = solve(system).polarisation
    found, stands = relax_steps(system, rest + 0.01, np.full(6, 5.0), 60.0, 100_000, still=1e-7)
    assert stands
    np.testing.assert_allclose(found.polarisation, rest, atol=1e-5)


def test_many_steps_are_single_steps_in_a_row(boat) -> None:
    system = boat.system()
    before, store = np.linspace(-0.9, -0.1, 6), np.full(6, 300.0)
    last, at = None, before
    for _ in range(25):
        last, _ = relax_steps(system, at, store, 60.0, 1, start=last)
        at = last.polarisation
    together, _ = relax_steps(system, before, store, 60.0, 25)
    np.testing.assert_allclose(together.polarisation, at, atol=1e-12)


def test_a_large_circuit_is_left_to_numpy() -> None:
    assert compiled.kernel(compiled.LARGEST + 1) is None


CHILD = "from course.engine import compiled, is_warm, warm; print(is_warm(), {asked}, compiled._here.module is None)"


def child(asked: str, cache: Path, **environment: str) -> list[str]:
    settings = {**os.environ, "NUMBA_CACHE_DIR": str(cache), **environment}
    ran = subprocess.run(
        [sys.executable, "-c", CHILD.format(asked=asked)],
        env=settings,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return ran.stdout.split()


def test_no_solve_waits_for_a_compiler(tmp_path: Path) -> None:
    """With nothing compiled, numpy goes on however much there is to solve."""
    assert child("compiled.kernel(1, 10_000)", tmp_path) == ["False", "None", "True"]


def test_nowhere_to_write_means_numpy(tmp_path: Path) -> None:
    """A file in the way of the folder stands for a folder that cannot be written (root may write anywhere)."""
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    assert child("warm()", blocked) == ["False", "False", "True"]


def test_without_numba_numpy_does_it(tmp_path: Path) -> None:
    (tmp_path / "numba.py").write_text("raise ImportError('none here')", encoding="utf-8")
    path = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    assert child("warm()", tmp_path / "cache", PYTHONPATH=path)[1:] == ["False", "True"]


def test_the_cache_is_the_users_and_never_beside_the_code() -> None:
    here = Path(compiled.__file__).parent
    folder = jit.cache_folder()
    assert folder.is_dir()
    assert not folder.is_relative_to(here.parent.parent)
    assert not list(here.rglob("*.nb[ci]"))


def test_machine_code_of_another_text_is_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = jit.cache_folder()
    shutil.copytree(jit.HERE, tmp_path / "engine", ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(jit, "HERE", tmp_path / "engine")
    moved = jit.cache_folder()
    with (tmp_path / "engine" / "kernel" / "newton.py").open("a", encoding="utf-8") as stream:
        stream.write("# changed\n")
    assert len({before, moved, jit.cache_folder()}) == 3


def test_what_only_some_need_is_compiled_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    folders = {name: tmp_path / name for name in ("kernel", "marina", "field")}
    monkeypatch.setattr(compiled, "_folder", lambda family="kernel": folders[family])
    monkeypatch.setattr(
        compiled, "OTHERS", {name: lambda n=name: made.append(n) for name in ("marina", "field")}
    )
    folders["kernel"].mkdir()
    jit.mark_compiled(folders["kernel"])
    assert not compiled.all_warm()
    assert compiled.warm_all()
    assert made == ["marina", "field"]
    assert compiled.all_warm()
    assert compiled.warm_all()
    assert made == ["marina", "field"]


def test_nothing_is_said_where_nothing_is_to_compile() -> None:
    assert compiled.warm_all()
    ran = subprocess.run(
        [sys.executable, "-P", "-m", "course.engine"], capture_output=True, encoding="utf-8", check=True
    )
    assert (ran.stdout, ran.stderr) == ("", "")


def test_another_law_shares_what_was_prepared(boat) -> None:
    system = boat.system()
    other = system.with_law(system.law.with_storage(np.full(6, 2.0), np.zeros(6)))
    solve(other)
    assert system.prepared
    assert apart(solve(system), by_numpy(system)) < SAME
    assert apart(solve(other), by_numpy(other)) < SAME
