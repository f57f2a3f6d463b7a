"""Marking over a Dask cluster: the same function, sent with what each learner handed in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.marking.evidence import evidence_of
from instructor.marking.marks import Evidence
from instructor.marking.one import (
    COPIED,
    Bundle,
    Outcome,
    Run,
    bundle_for,
    guarded,
    mark_bundle,
    standing,
    store,
)

if TYPE_CHECKING:
    from graders.marks import Mark

SECONDS_TO_WAIT = 10
AHEAD = 4  # submissions under way for each thread of the cluster: enough to keep it busy, few enough to hold


def over_cluster(run: Run, learners: Sequence[str], address: str) -> Iterator[Outcome]:
    """Yield everybody's outcome, as they come. The files are read and written here; the marking is done there.

    Raises
    ------
    ClassError : Dask is not installed, no cluster answers at the address, or the module is the class's own
    """
    if run.folder.own(run.module).is_dir():
        raise ClassError(
            f"'{run.module}' is the class's own and is marked on this machine; leave --cluster out."
        )
    with _client(address) as client:
        threads = sum(client.nthreads().values())
        if not threads:
            raise ClassError(f"The cluster at '{address}' has no workers.")
        yield from _in_turn(run, learners, client, AHEAD * threads)


def _client(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError:
        raise ClassError(
            "Marking over a cluster needs Dask; 'pip install wetslip[cluster]' installs it."
        ) from None
    try:
        return Client(address, timeout=SECONDS_TO_WAIT, set_as_default=False)
    except (OSError, ValueError, TypeError) as problem:
        raise ClassError(
            f"No Dask scheduler answers at '{address}'; give an address such as tcp://10.0.0.5:8786."
        ) from problem


def _in_turn(run: Run, learners: Sequence[str], client: Any, most: int) -> Iterator[Outcome]:
    """Keep `most` submissions under way until all are marked."""
    from distributed import as_completed

    waiting = iter(learners)
    known: dict[str, tuple[str, Evidence]] = {}
    under_way = as_completed(loop=client.loop)
    while True:
        while under_way.count() < most and (learner := next(waiting, None)) is not None:
            packed = guarded(learner, partial(standing, run, learner)) or _packed(run, learner)
            if isinstance(packed, Outcome):
                yield packed
                continue
            future = client.submit(mark_bundle, packed[0], pure=False, retries=2)
            known[future.key] = learner, packed[1]
            under_way.add(future)
        if not under_way.count():
            return
        future = next(under_way)
        learner, evidence = known.pop(future.key)
        yield guarded(learner, partial(_stored, run, learner, future, evidence))


def _stored(run: Run, learner: str, future: Any, evidence: Evidence) -> Outcome:
    return store(run, learner, _marks(future), evidence)


def _packed(run: Run, learner: str) -> tuple[Bundle, Evidence] | Outcome:
    """Return what is sent and what it is made from, or the outcome when it cannot be."""

    def pack() -> tuple[Bundle, Evidence]:
        evidence = evidence_of(run.folder, run.released, learner)
        bundle = bundle_for(run, learner)
        place = run.folder.submitted(learner, run.module)
        files = {name: path.read_bytes() for name in COPIED if _plain(path := place / name)}
        return replace(bundle, place=None, files=files), evidence

    return guarded(learner, pack)


def _plain(path: Any) -> bool:
    return path.is_file() and not path.is_symlink()


def _marks(future: Any) -> tuple[Mark, ...]:
    """Return what came of it; a fault of the cluster's own is one sentence."""
    try:
        marks: tuple[Mark, ...] = future.result()
        return marks
    except (ClassError, OSError, MemoryError):
        raise
    except Exception as problem:
        raise ClassError(f"the cluster failed on it ({type(problem).__name__}: {problem}).") from problem
