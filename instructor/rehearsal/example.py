"""`wetslip class example`: an invented class of scripted learners, from roster to report in one command."""

from __future__ import annotations

from pathlib import Path

from instructor.errors import ClassError
from instructor.files import write_text
from instructor.handout.release import release
from instructor.intake.take_in import take_in
from instructor.marking.run import mark_class
from instructor.new_class import make_class
from instructor.people.roster import roster_text
from instructor.progress import progress
from instructor.rehearsal.scripted import CLASS, MODULE
from instructor.report.run import report_class

COHORT = "example-1"


def make_example(target: Path) -> Path:
    """Make an invented class in a folder and run every step on it, saying each as the command it is.

    Parameters
    ----------
    target : the folder to make; it may exist if it is empty

    Returns
    -------
    the class report to open

    Raises
    ------
    ClassError : the folder holds something, or a step did not come out clean
    """
    root = target.expanduser().absolute()
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise ClassError(f"'{root}' exists and is not an empty folder; nothing was changed.")
    roster, home, handed_in = root / "roster.csv", root / "class", root / "handed-in"
    write_text(roster, roster_text([scripted.learner for scripted in CLASS]))
    _say(f"wetslip class new class --roster roster.csv --cohort {COHORT}")
    folder, _ = make_class(home, roster, COHORT)
    _say(f"wetslip class release {MODULE} --folder class")
    release(folder, MODULE)
    for scripted in progress(CLASS, "scripted learners at work"):
        scripted.hand_in(handed_in, COHORT, folder.release_notebook(MODULE))
    _say(f"wetslip class take-in {MODULE} handed-in --folder class")
    problems = take_in(folder, MODULE, handed_in).problems
    _say(f"wetslip class mark {MODULE} --folder class")
    problems += mark_class(folder, MODULE).problems
    _say(f"wetslip class report {MODULE} --folder class")
    reports = report_class(folder, MODULE)
    for sentence in (*problems, *reports.problems):
        raise ClassError(sentence)
    print(f"To see the marks in nbgrader's formgrader: wetslip class open --folder '{home}'", flush=True)
    return reports.summary


def _say(command: str) -> None:
    print(f"$ {command}", flush=True)
