"""`wetslip class new`: a class folder with its roster, settings and gradebook."""

from __future__ import annotations

import secrets
from pathlib import Path

from course.learner import unfit_name
from instructor.errors import ClassError
from instructor.files import write_json, write_text
from instructor.layout import CLASS_FILE, SCHEMA, ClassFolder
from instructor.marking.gradebook import open_gradebook, put_learners
from instructor.people.roster import Learner, read_roster, roster_text
from instructor.progress import doing

PATTERN_SIGNS = "*?[]"  # nbgrader finds its files by patterns, so a folder above them may not hold these
SETTINGS = '''"""nbgrader's settings for this class: its commands and buttons mark as 'wetslip class mark'."""

from instructor.nbgrader_settings import apply

apply(get_config(), __file__)  # noqa: F821 - nbgrader hands get_config to this file
'''
_BIRDS = ("tern", "gannet", "plover", "dunlin", "curlew", "fulmar", "petrel", "teal")


def invented_cohort() -> str:
    """Return a code that is easy to read aloud and that no other class is likely to have."""
    return f"{secrets.choice(_BIRDS)}-{secrets.randbelow(9000) + 1000}"


def make_class(target: Path, roster: Path, cohort: str | None) -> tuple[ClassFolder, tuple[Learner, ...]]:
    """Make a class folder.

    Parameters
    ----------
    target : the folder to make; it may exist if it is empty
    roster : the CSV file, see `instructor.people.roster.read_roster`
    cohort : the class's code, from which with the learner's id every personal boat is drawn; None invents one

    Raises
    ------
    ClassError : the roster or a name is unfit, or the folder holds something
    """
    learners = read_roster(roster)
    cohort = invented_cohort() if cohort is None else cohort
    reason = unfit_name(cohort)
    if reason:
        raise ClassError(f"The cohort code {cohort!r} cannot be used: {reason}.")
    root = target.expanduser().absolute()
    sign = next((sign for sign in str(root) if sign in PATTERN_SIGNS), None)
    if sign is not None:
        raise ClassError(
            f"A class folder's path may not hold {sign!r}, which nbgrader takes for a pattern: '{root}'."
        )
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise ClassError(f"'{root}' exists and is not an empty folder; nothing was changed.")
    folder = ClassFolder(root, cohort)
    write_text(folder.roster, roster_text(learners))
    write_text(root / "nbgrader_config.py", SETTINGS)
    doing("Making the gradebook")
    with open_gradebook(folder) as gradebook:
        put_learners(gradebook, learners)
    write_json(root / CLASS_FILE, {"schema": SCHEMA, "cohort": cohort})  # last: with it the class exists
    return folder, learners
