"""`wetslip class guide`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add

GUIDE = Path(__file__).parents[1] / "guide.md"


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "print the instructor's guide: the whole job, its honest limits, and what is stored"
    parser = add(commands, "guide", run, about, noted=False)
    parser.add_argument("--where", action="store_true", help="only say where the file is")


def run(arguments: argparse.Namespace) -> int:
    """Print the guide, or its place."""
    print(
        GUIDE if arguments.where else GUIDE.read_text(encoding="utf-8"), end="\n" if arguments.where else ""
    )
    return DONE
