"""The command ``wetslip checks``: the engine held to the outside world, and the table of how near it came."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.errors import ClassError

DESCRIPTION = """\
Run the checks of tests/outside: published values, worked examples, exact
solutions, other programs. Print a table of what each says of its source, the
published number, ours, and the error.
"""
EPILOG = """\
Only in a checkout of the source, with the test extra installed. Checks that
take long are left out; their dated results lie in tests/outside/results.

exit code: 0 when every check held, 1 when one did not, 2 when they could not be run.
"""
START = "<!-- outside checks: between these marks by wetslip checks --write, not by hand -->"
END = "<!-- end of outside checks -->"


def add_parser(subparsers: Any) -> None:
    """Add ``checks`` to the command."""
    parser = subparsers.add_parser(
        "checks",
        help="hold the engine to the outside world and show how near it comes",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("files", nargs="*", metavar="FILE", help="only these files of tests/outside")
    parser.add_argument("--write", action="store_true", help="put the table into DEVELOPERS.md")
    parser.set_defaults(run=run_checks)


def checkout() -> Path:
    """Return the source's own folder: the current one, or the one this package lies in."""
    places = (Path.cwd(), Path(__file__).resolve().parents[2])
    return next((place for place in places if (place / "tests" / "outside").is_dir()), places[-1])


def run_checks(arguments: argparse.Namespace) -> int:
    """Run the checks, print or write the table. Raises ClassError where they cannot be run."""
    from instructor.checks.table import between_markers, long_results, markdown, rows

    if arguments.write and arguments.files:
        raise ClassError("the table in DEVELOPERS.md is of all checks; leave out the files or --write.")
    root = checkout()
    found = rows(collected(root, arguments.files))
    table = markdown(found, datetime.now(UTC).date().isoformat())
    table += long_results(root / "tests" / "outside" / "results")
    if arguments.write:
        page = root / "DEVELOPERS.md"
        try:
            text = between_markers(page.read_text(encoding="utf-8"), START, END, table)
        except ValueError as error:
            raise ClassError(f"{page.name} cannot take the table: {error}.") from error
        page.write_text(text, encoding="utf-8")
        print(f"{len(found)} checks written to {page.name}.")
    else:
        print(table, end="")
    return int(any(row.outcome == "failed" for row in found))


def collected(root: Path, files: list[str]) -> list[dict[str, Any]]:
    """Run pytest on the outside checks and return what each test compared."""
    folder = root / "tests" / "outside"
    if not folder.is_dir():
        raise ClassError(
            "the outside checks are in a checkout of the source; an installed copy does not have them."
        )
    wanted = [folder / name for name in files] or [folder]
    for path in wanted:
        if not path.exists():
            raise ClassError(f"tests/outside has no {path.name}.")
    with tempfile.TemporaryDirectory(prefix="wetslip-checks-") as scratch:
        target = Path(scratch) / "checks.json"
        # A cache of its own: the hook that keeps the numbers is compiled into the tests.
        environment = {
            **os.environ,
            "WETSLIP_CHECKS": str(target),
            "PYTHONPYCACHEPREFIX": str(Path(scratch) / "pycache"),
        }
        command = [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-o",
            f"cache_dir={scratch}/pytest",
            "-o",
            "enable_assertion_pass_hook=true",
        ]
        done = subprocess.run(
            [*command, *map(str, wanted)], cwd=root, env=environment, stdout=sys.stderr, check=False
        )
        if done.returncode not in (0, 1) or not target.exists():
            raise ClassError("the outside checks could not be run; what pytest said stands above.")
        tests: list[dict[str, Any]] = json.loads(target.read_text(encoding="utf-8"))
    return tests
