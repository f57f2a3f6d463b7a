"""`wetslip class example`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "make an invented class of scripted learners and run everything on it, from roster to report"
    parser = add(commands, "example", run, about)
    parser.add_argument("target", metavar="FOLDER", type=Path, help="the folder to make")


def run(arguments: argparse.Namespace) -> int:
    """Make the class and say what to open."""
    from instructor.example import make_example

    summary = make_example(arguments.target)
    print(f"Open this: {summary}")
    return DONE
