"""`wetslip class example`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add

MORE = """\
Seven learners do one module, in half a minute. With --thirty a whole class of
mixed ability goes through modules 02, 03 and 07, as classes do: a roster with
flaws, somebody who joins late, mail with mangled names, late work, a damaged
file, work done twice and work copied; then reports, exports, an appeal, a
backup, and a learner removed from the restored class. Each command is shown
as it is typed. The class has weaknesses for the reports to find:
instructor/rehearsal/skill.py says which.
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "make an invented class of scripted learners and run everything on it, from roster to report"
    parser = add(commands, "example", run, about, MORE)
    parser.add_argument("target", metavar="FOLDER", type=Path, help="the folder to make")
    parser.add_argument("--thirty", action="store_true", help="a whole class; it takes some minutes")
    parser.add_argument(
        "--module", action="append", metavar="MODULE", help="with --thirty: only this module; repeatable"
    )


def run(arguments: argparse.Namespace) -> int:
    """Make the class and say what to open."""
    from instructor.rehearsal.example import make_example

    if arguments.thirty:
        from instructor.rehearsal.afternoon import rehearse

        print(f"Open the pages in: {rehearse(arguments.target, arguments.module)}")
        return DONE
    summary = make_example(arguments.target)
    print(f"Open this: {summary}")
    return DONE
