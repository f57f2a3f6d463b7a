"""`wetslip class due`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from instructor.commands.common import DONE, add, add_folder, add_module

if TYPE_CHECKING:
    from collections.abc import Iterator

    from instructor.handout.terms import Terms
    from instructor.layout import ClassFolder

MORE = """\
Times are local to this machine unless they name a zone. Lateness counts from
the time of taking in (see take-in --at), and takes its share off the points
on the feedback page, in the report and in exports; the marks themselves, and
formgrader, show the work as it is.

With --from the module is a sitting from then till WHEN, and the extra time on
the roster lengthens it; without it extra time changes nothing.
"""
EXAMPLES = """\
  wetslip class due 03_reference_cell "2031-05-04 17:00" --late-per-day 10 --last-day 5
  wetslip class due 03_reference_cell "2031-05-04 11:00" --from "2031-05-04 09:00"
  wetslip class due 03_reference_cell "2031-05-11 17:00" --for ann --for bo
  wetslip class due 03_reference_cell
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(
        commands, "due", run, "set or show when a module is due, late rules and extensions", MORE, EXAMPLES
    )
    add_module(parser)
    parser.add_argument(
        "when", metavar="WHEN", nargs="?", help="the time, or 'none'; without it the terms are shown"
    )
    parser.add_argument("--from", dest="begins", metavar="TIME", help="the start of a sitting")
    parser.add_argument(
        "--late-per-day", type=float, metavar="PER_CENT", help="taken off for each day begun late"
    )
    parser.add_argument("--last-day", type=float, metavar="DAYS", help="later than this nothing counts")
    parser.add_argument(
        "--for", dest="learners", action="append", metavar="ID", help="only for this learner; repeatable"
    )
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Set the terms, and show them."""
    from instructor.handout.released import check_module
    from instructor.handout.terms import read_terms, write_terms
    from instructor.layout import open_class

    folder = open_class(arguments.folder)
    check_module(arguments.module)
    with folder.locked():
        terms = read_terms(folder, arguments.module)
        changed = _changed(terms, arguments, folder)
        arguments.looked = changed == terms
        if changed != terms:
            write_terms(folder, arguments.module, changed)
    for line in lines(changed, arguments.module):
        print(line)
    return DONE


def _changed(terms: Terms, arguments: argparse.Namespace, folder: ClassFolder) -> Terms:
    from dataclasses import replace

    from instructor.errors import ClassError
    from instructor.handout.terms import without
    from instructor.handout.when import parse_time
    from instructor.people.roster import find, read_roster

    given = arguments.when
    time = None if given in (None, "none") else parse_time(given)
    if arguments.learners:
        if given is None:
            raise ClassError(
                "Say until when: 'wetslip class due MODULE WHEN --for ID', or 'none' to take it back."
            )
        learners = read_roster(folder.roster)
        for learner in arguments.learners:
            known = find(learners, learner).id
            terms = without(terms, known) if time is None else replace(terms, own={**terms.own, known: time})
        return terms
    if given is not None:
        terms = replace(terms, due=time, begins=None)
    if arguments.begins is not None:
        terms = replace(terms, begins=parse_time(arguments.begins))
    if arguments.late_per_day is not None:
        terms = replace(terms, per_day=arguments.late_per_day)
    if arguments.last_day is not None:
        terms = replace(terms, last_day=arguments.last_day)
    return terms


def lines(terms: Terms, module: str) -> Iterator[str]:
    """Yield the terms in words."""
    from instructor.handout.when import shown

    if terms.due is None:
        yield f"'{module}' has no due time."
    elif terms.begins is None:
        yield f"'{module}' is due at {shown(terms.due)}."
    else:
        yield f"'{module}' is a sitting from {shown(terms.begins)} to {shown(terms.due)}; extra time lengthens it."
    if terms.per_day:
        yield f"Each day begun late takes {terms.per_day:g} per cent off."
    if terms.last_day is not None:
        yield f"More than {terms.last_day:g} days late, nothing counts."
    for learner, time in sorted(terms.own.items()):
        yield f"For '{learner}' it is due at {shown(time)}."
