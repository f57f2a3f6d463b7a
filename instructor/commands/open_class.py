"""`wetslip class open`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import DONE, add, add_folder


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "open", run, "open nbgrader's formgrader on the class", noted=False)
    parser.add_argument("--no-browser", action="store_true", help="only print the address")
    parser.add_argument("--port", type=int, help="the port to use (default: the first free one from 8888)")
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Serve formgrader until it is interrupted."""
    from instructor.layout import open_class
    from instructor.marking.formgrader import open_formgrader

    open_formgrader(open_class(arguments.folder), arguments.port, not arguments.no_browser)
    return DONE
