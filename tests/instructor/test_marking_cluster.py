"""Marking over a Dask cluster: a real scheduler with workers in processes of their own, on this machine."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from instructor.layout import ClassFolder
from instructor.marking import one as marking_one
from instructor.marking.run import mark_class
from instructor.rehearsal.scripted import CLASS, MODULE

Run = Callable[..., tuple[int, str, str]]
IDS = tuple(scripted.learner.id for scripted in CLASS)


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """The address of a cluster of two workers."""
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as cluster:
        yield str(cluster.scheduler_address)


def stored(folder: ClassFolder) -> dict[str, bytes]:
    return {learner: folder.marks(learner, MODULE).read_bytes() for learner in IDS} | {
        f"{learner}'s notebook": (folder.autograded(learner, MODULE) / f"{MODULE}.ipynb").read_bytes()
        for learner in IDS
    }


def test_a_cluster_marks_as_this_machine_does(run: Run, worked: ClassFolder, address: str) -> None:
    before = stored(worked)
    code, said, wrong = run("mark", MODULE, "--again", "--cluster", address, "--folder", worked.root)
    assert (code, said.splitlines()[0], wrong) == (0, f"Marked 7 submissions of '{MODULE}'.", "")
    assert stored(worked) == before
    standing = mark_class(worked, MODULE, cluster=address)
    assert (standing.marked, standing.standing) == ((), IDS)


def test_one_learners_problem_stays_theirs_on_a_cluster(worked: ClassFolder, address: str) -> None:
    before = stored(worked)
    (worked.submitted("torle", MODULE) / "timestamp.txt").write_text("yesterday or so", encoding="utf-8")
    index = worked.released(MODULE).read_text(encoding="utf-8")
    slip = index.split('"jvask"')[1].split('"03.1": "')[1][:16]
    worked.slip(slip).write_text("{}", encoding="utf-8")
    outcome = mark_class(worked, MODULE, again=True, cluster=address)
    assert outcome.marked == tuple(learner for learner in IDS if learner not in ("torle", "jvask"))
    assert [problem.split(":")[0] for problem in outcome.problems] == [
        "'torle' was not marked",
        "'jvask' was not marked",
    ]
    assert stored(worked) == before


def test_a_cluster_of_another_version_refuses(worked: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    from graders import versions

    bundle = marking_one.Bundle(MODULE, "torle", {"wetslip": "9.9", "physics": "f"}, {}, files={})
    assert versions.frozen_versions() != bundle.versions
    outcome = marking_one.guarded("torle", lambda: marking_one.mark_bundle(bundle))
    assert isinstance(outcome, marking_one.Outcome)
    assert outcome.problem.startswith("'torle' was not marked: the cluster has Wetslip ")
    assert outcome.problem.endswith("and the module was released with 9.9 (physics f).")


def test_no_cluster_there_is_one_sentence(
    run: Run, worked: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    from instructor.marking import cluster as marking_cluster

    monkeypatch.setattr(marking_cluster, "SECONDS_TO_WAIT", 1)
    for address in ("tcp://127.0.0.1:9", "nonsense", "carrier-pigeon://loft"):
        code, _, wrong = run("mark", MODULE, "--cluster", address, "--folder", worked.root)
        assert code == 2
        assert wrong == (
            f"wetslip: No Dask scheduler answers at '{address}'; give an address such as tcp://10.0.0.5:8786."
        )
