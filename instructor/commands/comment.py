"""`wetslip class comment`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import DONE, add, add_folder

MORE = """\
In formgrader, write #CODE in the comment beside a written answer, alone or
among other words; the feedback page has the text in its place. The bank stands
below every written answer there, with a new comment as soon as the page is
loaded again. An empty TEXT takes the comment out of the bank.
"""
EXAMPLES = """\
  wetslip class comment baseline "Say first what she reads with every anode off."
  wetslip class comment
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "comment", run, "keep a bank of comments for written answers", MORE, EXAMPLES)
    parser.add_argument("code", metavar="CODE", nargs="?", help="one word")
    parser.add_argument("text", metavar="TEXT", nargs="?", help="what the learner reads")
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Keep one comment, or show them all."""
    from instructor.errors import ClassError
    from instructor.layout import open_class
    from instructor.marking.comments import keep_comment, read_bank, show_bank

    folder = open_class(arguments.folder)
    arguments.looked = arguments.code is None
    if arguments.code is not None:
        if arguments.text is None:
            raise ClassError(f"Give the text of '{arguments.code}' too; '' takes it out of the bank.")
        with folder.locked():
            keep_comment(folder, arguments.code, arguments.text.strip())
            show_bank(folder)
    for code, text in read_bank(folder).items():
        print(f"#{code}: {text}")
    return DONE
