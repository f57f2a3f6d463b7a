"""Marking over the cores of this machine, a process each."""

from __future__ import annotations

import multiprocessing
import os
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool

from instructor.marking_one import Outcome, Run, outcome_for

WORTH = 8  # learners from which starting processes pays
LOOK_EVERY = 0.1  # s between two looks whether the command still lives
MANY = 500  # learners from which compiling the engine first pays

_run: list[Run] = []  # in a worker: the run it works for


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def over_cores(run: Run, learners: Sequence[str], jobs: int = 0) -> Iterator[Outcome]:
    """Yield everybody's outcome, as they come.

    Parameters
    ----------
    run : the marking run
    learners : ids
    jobs : how many processes; 0 for as many as there are cores, and none but this one for a handful of learners
    """
    jobs = min(jobs or (cores() if len(learners) >= WORTH else 1), max(len(learners), 1))
    if len(learners) >= MANY:
        _compile_first()
    if jobs == 1:
        yield from (outcome_for(run, learner) for learner in learners)
        return
    left = dict.fromkeys(learners)
    for outcome in _pooled(run, learners, jobs):
        del left[outcome.learner]
        yield outcome
    for learner in left:  # a process died; each of these gets one of its own, to find out whose work it was
        alone = list(_pooled(run, [learner], 1))
        yield alone[0] if alone else _fatal(learner)


def _fatal(learner: str) -> Outcome:
    reason = "the process that marked it was ended, as a system does that runs out of memory."
    return Outcome(learner, {}, problem=f"'{learner}' was not marked: {reason}")


def _compile_first() -> None:
    from course.engine import compiled

    if not compiled.is_warm():
        compiled.warm()


def _pooled(run: Run, learners: Sequence[str], jobs: int) -> Iterator[Outcome]:
    """Yield the outcomes until all are there or a process dies."""
    context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    pool = ProcessPoolExecutor(jobs, mp_context=context, initializer=_begin, initargs=(run, os.getpid()))
    try:
        futures: list[Future[Outcome]] = [pool.submit(_one, learner) for learner in learners]
        for future in as_completed(futures):
            yield future.result()
    except BrokenProcessPool:
        return
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _one(learner: str) -> Outcome:
    return outcome_for(_run[0], learner)


def _begin(run: Run, parent: int) -> None:
    """Make a worker ready: what it works for, and an end to it when the command is killed."""
    _run[:] = [run]
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: int) -> None:
    """End this process when its parent is gone, so that nothing is written behind a later run's back."""
    starter = multiprocessing.parent_process()
    while os.getppid() == parent and (starter is None or sys.platform == "linux" or starter.is_alive()):
        time.sleep(LOOK_EVERY)
    os._exit(1)
