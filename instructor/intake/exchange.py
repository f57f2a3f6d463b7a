"""nbgrader's exchange, a shared folder on a POSIX machine: a release put there, submissions read from there.

Its own collecting is not used: it follows links that a learner may have laid there, and only warns when the files
belong to another account than the one they are named after.
"""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.intake.sources import FolderSource, Source
from instructor.intake.take_in import How, TakenIn, take_in_sources
from instructor.layout import ClassFolder


def publish(folder: ClassFolder, module: str, exchange: Path) -> Path:
    """Put a released module into the exchange under the cohort's code and return where it lies.

    Raises
    ------
    ClassError : there is no exchange on this system, or nbgrader could not use the folder
    """
    from nbgrader.exchange.default import ExchangeReleaseAssignment

    tool = _tool(ExchangeReleaseAssignment, folder, module, exchange)
    tool.force = True
    _start(tool)
    return exchange.absolute() / folder.cohort / "outbound" / module


def take_in_exchange(folder: ClassFolder, module: str, exchange: Path, how: How) -> TakenIn:
    """Take in each learner's newest submission from the exchange.

    A submission counts as the work of the account that owns its files, so that account's name must be the
    learner's id; the time is that of `nbgrader submit`.

    Raises
    ------
    ClassError : there is no exchange there, or nothing of this class in it
    """
    from nbgrader.exchange.default import ExchangeCollect

    tool = _tool(ExchangeCollect, folder, module, exchange)
    tool.copy_files = tool.init_dest = lambda: None  # only its list of what was submitted is wanted
    _start(tool)
    sources: list[Source] = []
    times: dict[str, datetime] = {}
    problems: list[str] = []
    for record in sorted(tool.src_records, key=lambda record: str(record["username"])):
        path, learner = Path(tool.inbound_path) / record["filename"], str(record["username"])
        owner = _owner(path)
        if owner != learner:
            problems.append(f"'{path.name}' belongs to the account '{owner}' and not to '{learner}'.")
            continue
        sources.append(FolderSource(path, learner))
        times[learner] = record["timestamp"].replace(tzinfo=UTC)
    trusting = How(how.matches, how.ask, how.at, trusted=True, times=times)
    return take_in_sources(folder, module, sources, trusting, problems)


def _tool(kind: Any, folder: ClassFolder, module: str, exchange: Path) -> Any:
    from nbgrader.coursedir import CourseDirectory

    if os.name != "posix":
        raise ClassError("nbgrader's exchange needs a POSIX system; take in a folder or a zip instead.")
    directory = CourseDirectory(
        root=str(folder.root), db_url=folder.database_url, assignment_id=module, course_id=folder.cohort
    )
    tool = kind(coursedir=directory)
    tool.root = str(exchange.expanduser().absolute())
    return tool


def _start(tool: Any) -> None:
    from nbgrader.utils import capture_log

    outcome = capture_log(tool)
    if not outcome["success"]:
        said = outcome.get("log", "").strip().splitlines() or outcome["error"].strip().splitlines()
        raise ClassError(f"nbgrader's exchange could not be used: {said[-1].split('] ')[-1]}")


def _owner(path: Path) -> str:
    import pwd

    try:
        return pwd.getpwuid(path.lstat().st_uid).pw_name
    except KeyError:
        return "unknown"
