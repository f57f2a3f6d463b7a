"""`wetslip class mark`: every submission marked from its data; nothing a learner wrote is ever run.

A mark stands while what it was made from stands, so a run that was killed is simply run again: what was marked is
not marked twice, and the gradebook is filled at the end from what stands on disk.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from instructor.files import remove_folder
from instructor.handout.check_cells import read_plain
from instructor.handout.released import check_versions, read_released
from instructor.layout import ClassFolder
from instructor.marking.gradebook import open_gradebook, put_learners, put_scores
from instructor.marking.marks import Change
from instructor.marking.one import Outcome, Run, mark_for_nbgrader
from instructor.people.roster import read_roster
from instructor.progress import progress

if TYPE_CHECKING:
    from graders.marks import Mark


@dataclass(frozen=True)
class Marked:
    """Who was marked, whose marks stand unchanged, who handed in nothing (ids), what changed, and what went wrong.

    `changes` are (learner, change) for marks that were there before, `damage` (learner, sentence) for files that could
    not be read whole; `problems` one sentence for each learner who could not be marked.
    """

    marked: tuple[str, ...]
    standing: tuple[str, ...]
    absent: tuple[str, ...]
    changes: tuple[tuple[str, Change], ...]
    damage: tuple[tuple[str, str], ...]
    problems: tuple[str, ...]


def mark_class(
    folder: ClassFolder, module: str, again: bool = False, jobs: int = 0, cluster: str = ""
) -> Marked:
    """Mark every submission of a module and enter it in the gradebook.

    Parameters
    ----------
    folder, module : the class and its released module
    again : mark everybody, also those whose files and whose exercises are as they were
    jobs : how many processes; 0 for as many as there are cores
    cluster : address of a Dask scheduler that is to do it, such as "tcp://10.0.0.5:8786"

    Raises
    ------
    ClassError : the module is not released, or was released with another version; no such cluster
    """
    released = read_released(folder, module)
    check_versions(released, "mark it")
    _clear(folder)
    learners = read_roster(folder.roster)
    there = [learner.id for learner in learners if folder.submitted(learner.id, module).is_dir()]
    run = Run(folder, released, read_plain(folder.release_notebook(module)), again)
    found = {outcome.learner: outcome for outcome in _outcomes(run, there, jobs, cluster)}
    outcomes = [found[learner] for learner in there]
    good = [outcome for outcome in outcomes if not outcome.problem]
    with open_gradebook(folder) as gradebook:
        put_learners(gradebook, learners)
        for outcome in good:
            put_scores(gradebook, module, outcome.learner, outcome.when, outcome.scores)
    return Marked(
        marked=tuple(outcome.learner for outcome in good if not outcome.standing),
        standing=tuple(outcome.learner for outcome in good if outcome.standing),
        absent=tuple(learner.id for learner in learners if learner.id not in found),
        changes=tuple((outcome.learner, change) for outcome in good for change in outcome.changes),
        damage=tuple((outcome.learner, sentence) for outcome in good for sentence in outcome.damage),
        problems=tuple(outcome.problem for outcome in outcomes if outcome.problem),
    )


def _clear(folder: ClassFolder) -> None:
    """Remove what a run that was killed left half made; the class is held, so nobody else is at work on it."""
    for leftover in folder.work.iterdir():
        with suppress(OSError):  # a worker of that run is ending this moment; the next run looks again
            remove_folder(leftover)


def _outcomes(run: Run, learners: Sequence[str], jobs: int, cluster: str) -> Iterator[Outcome]:
    """Yield everybody's outcome, in any order, under a progress bar."""
    if cluster:
        from instructor.marking.cluster import over_cluster

        outcomes = over_cluster(run, learners, cluster)
    else:
        from instructor.marking.pool import over_cores

        outcomes = over_cores(run, learners, jobs)
    return progress(outcomes, f"marking {run.module}", len(learners))


def mark_submission(folder: ClassFolder, module: str, learner: str) -> dict[str, Mark]:
    """Mark one submission as it lies in submitted/ and store the mark; `nbgrader autograde` calls this too.

    Returns
    -------
    grade id of the check cell -> mark

    Raises
    ------
    ClassError : not released, released with another version, or no slips are stored for the learner
    """
    released = read_released(folder, module)
    check_versions(released, "mark it")
    notebook = read_plain(folder.release_notebook(module))
    return mark_for_nbgrader(Run(folder, released, notebook, again=True), learner)
