"""Work on every learner over the cores of this machine, a process each: marking, and pages."""

from __future__ import annotations

import gc
import multiprocessing
import os
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from typing import Any, Protocol, TypeVar

from instructor.marking.one import Outcome, Run, outcome_for

WORTH = 8  # learners from which starting processes pays
LOOK_EVERY = 0.1  # s between two looks whether the command still lives
DIED = "the process that marked it was ended, as a system does that runs out of memory."
MANY = 500  # learners from which compiling the engine first pays
CONTEXT = "fork" if sys.platform == "linux" else "spawn"  # how processes are started


class Named(Protocol):
    """What comes of one learner: it says whose it is."""

    @property
    def learner(self) -> str:
        """The learner's id."""


Common = TypeVar("Common")
Made = TypeVar("Made", bound=Named)
Work = Callable[[Common, str], Made]

_work: list[tuple[Any, Any]] = []  # in a worker: what it does, and what all of it has in common


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def over_cores(run: Run, learners: Sequence[str], jobs: int = 0) -> Iterator[Outcome]:
    """Yield everybody's outcome of a marking run, as they come; see `spread`."""
    if len(learners) >= MANY:
        _compile_first()
    if CONTEXT == "fork" and _new(run, learners) >= WORTH:
        _load_first()
    return spread(outcome_for, run, learners, _fatal, jobs)


def _new(run: Run, learners: Sequence[str]) -> int:
    """Return how many are marked for the first time, or again: those whose marks stand need nothing loaded."""
    if run.again:
        return len(learners)
    return sum(not run.folder.marks(learner, run.module).exists() for learner in learners)


def _load_first() -> None:
    """Load once, for all processes that will be forked, what marking takes; machine code only where it is compiled."""
    import graders.submission  # noqa: F401 - to have it
    from course.engine import compiled
    from instructor.marking.evidence import marking_version

    marking_version()
    compiled.kernel(1, compiled.WORTH + 1)


def spread(
    work: Work[Common, Made],
    common: Common,
    learners: Sequence[str],
    fatal: Callable[[str], Made],
    jobs: int = 0,
) -> Iterator[Made]:
    """Yield what a piece of work makes of each learner, as they come.

    Parameters
    ----------
    work : a function of a module, from what is common and a learner's id; it raises nothing
    common : what it is given for everybody
    learners : ids
    fatal : what to say for a learner whose process died
    jobs : how many processes; 0 for as many as there are cores, and none but this one for a handful of learners
    """
    jobs = min(jobs or (cores() if len(learners) >= WORTH else 1), max(len(learners), 1))
    if jobs == 1:
        yield from (work(common, learner) for learner in learners)
        return
    left = dict.fromkeys(learners)
    for made in _pooled(work, common, learners, jobs):
        del left[made.learner]
        yield made
    for learner in left:  # a process died; each of these gets one of its own, to find out whose work it was
        alone = list(_pooled(work, common, [learner], 1))
        yield alone[0] if alone else fatal(learner)


def _fatal(learner: str) -> Outcome:
    return Outcome(learner, {}, problem=f"'{learner}' was not marked: {DIED}")


def _compile_first() -> None:
    from course.engine import compiled

    if not compiled.is_warm():
        compiled.warm()


def _pooled(work: Work[Common, Made], common: Common, learners: Sequence[str], jobs: int) -> Iterator[Made]:
    """Yield what is made until all of it is there or a process dies."""
    context = multiprocessing.get_context(CONTEXT)
    pool = ProcessPoolExecutor(jobs, context, _begin, (work, common, os.getpid()))
    try:
        futures: list[Future[Made]] = [pool.submit(_one, learner) for learner in learners]
        for future in as_completed(futures):
            yield future.result()
    except BrokenProcessPool:
        return
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _one(learner: str) -> Any:
    work, common = _work[0]
    return work(common, learner)


def _begin(work: Any, common: Any, parent: int) -> None:
    """Make a worker ready: what it works for, and an end to it when the command is killed."""
    _work[:] = [(work, common)]
    gc.freeze()  # what the command had loaded stays: it need not be looked through for cycles again and again
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: int) -> None:
    """End this process when its parent is gone, so that nothing is written behind a later run's back."""
    starter = multiprocessing.parent_process()
    while os.getppid() == parent and (starter is None or sys.platform == "linux" or starter.is_alive()):
        time.sleep(LOOK_EVERY)
    os._exit(1)
