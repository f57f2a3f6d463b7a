"""`wetslip class appeal` and `wetslip class recheck`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, IN_PART, add, add_folder, add_module

MORE = """\
The file holds the learner's answers and logbook in every version handed in,
their boats as stored at release, the mark part by part, the versions, and a
fingerprint of each; anyone with that Wetslip makes the mark again from it with
'wetslip class recheck FILE'. It holds one learner's data and nobody else's.
"""


def add_parser(commands: Any) -> None:
    """Add both commands."""
    parser = add(commands, "appeal", run, "put all that led to one learner's mark into one file", MORE)
    add_module(parser)
    parser.add_argument("id", metavar="ID")
    parser.add_argument("file", metavar="FILE", type=Path, help="the zip to write")
    add_folder(parser)
    again = add(
        commands, "recheck", run_recheck, "make the mark of an appeal file again, on any machine", noted=False
    )
    again.add_argument("file", metavar="FILE", type=Path)


def run(arguments: argparse.Namespace) -> int:
    """Write the file."""
    from instructor.layout import open_class
    from instructor.records.appeal import write_appeal

    folder = open_class(arguments.folder)
    with folder.locked():
        write_appeal(folder, arguments.module, arguments.id, arguments.file)
    print(f"Wrote '{arguments.file}'. To check it on any machine: wetslip class recheck '{arguments.file}'")
    return DONE


def run_recheck(arguments: argparse.Namespace) -> int:
    """Mark again and say, part by part, whether it comes out as filed."""
    from instructor.records.appeal import recheck

    who, rows = recheck(arguments.file)
    print(f"The work of {who}, marked again:")
    for row in rows:
        filed = "not in the file" if row.filed is None else f"{row.filed:g}"
        found = "not found" if row.found is None else f"{row.found:g}"
        verdict = "as filed" if row.same else f"FILED AS {filed}"
        if row.same and not row.out_of:
            print(f"  {row.exercise}  {row.title}: a person marks it")
            continue
        print(f"  {row.exercise}  {found} of {row.out_of:g}  {row.title}: {verdict}")
    differing = sum(not row.same for row in rows)
    print(
        "Every part comes out as filed."
        if not differing
        else f"{differing} of {len(rows)} parts come out otherwise."
    )
    return IN_PART if differing else DONE
