"""`wetslip class new-module` and `wetslip class check-module`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, IN_PART, add, add_folder

MORE = """\
Makes the folder own/MODULE in the class folder: a notebook, module.yaml and
boats/, all yours to change. Each exercise is made from one of the course's
(--like), on the fleet's boats or on your own (--boat, a file that 'wetslip
boat check' has nothing against); its marking comes with it.

Then: wetslip class check-module MODULE, wetslip class release MODULE, and give
learners handout/MODULE.zip, which they unpack in their Wetslip folder. The
rest goes as with any module.
"""
EXAMPLES = """\
  wetslip class new-module 40_our_boats --like 03.1 --like 03.2
  wetslip class new-module 41_the_tug --like 03.3 --boat tug.yaml
"""
CHECK = """\
Draws each exercise for ten invented learners, does it rightly, and makes each
mistake it names; says whether the marking sees all of it.
"""


def add_parser(commands: Any) -> None:
    """Add both commands."""
    parser = add(commands, "new-module", run, "make a module of your own from a template", MORE, EXAMPLES)
    parser.add_argument("module", metavar="MODULE", help="from 20_... to 99_..., such as 40_our_boats")
    parser.add_argument(
        "--like", action="append", metavar="EXERCISE", help="an exercise to begin with (default: 03.1)"
    )
    parser.add_argument("--boat", type=Path, metavar="FILE", help="a boat file of yours")
    add_folder(parser)
    check = add(commands, "check-module", run_check, "try out a module of your own", CHECK, noted=False)
    check.add_argument("module", metavar="MODULE")
    add_folder(check)


def run(arguments: argparse.Namespace) -> int:
    """Make the module and say what to do next."""
    from instructor.handout.own import new_module
    from instructor.layout import open_class

    folder = open_class(arguments.folder)
    with folder.locked():
        place = new_module(folder, arguments.module, arguments.like or ["03.1"], arguments.boat)
    print(f"Made '{place}'. Change it, then: wetslip class check-module {arguments.module}")
    return DONE


def run_check(arguments: argparse.Namespace) -> int:
    """Say what the check found, a line each."""
    from instructor.handout.own import check_module
    from instructor.layout import open_class

    folder = open_class(arguments.folder)
    outcome = DONE
    for checked in check_module(folder, arguments.module):
        print(
            f"{'in order' if checked.sound else 'NOT IN ORDER'}  {checked.what}: {checked.found}.", flush=True
        )
        outcome = outcome if checked.sound else IN_PART
    return outcome
