"""``wetslip doctor``: say what this machine has, and what is in the way."""

from __future__ import annotations

import argparse
import importlib.metadata
import importlib.util
import os
import platform
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

HELP = "say what is in the way when something does not work"
DESCRIPTION = """\
Looks at this machine and says, line by line, what Wetslip needs and what it
found: Python, the libraries and their versions, whether other packages stand
in the way of Wetslip's own, the programs that classes need, whether the
folder can be written to, and a Chromium for the browser tests.
"""
EPILOG = """\
A line begins with "ok", with "note" (works without, with what that costs) or
with "bad" (must be mended first).

exit code:
  0 when no line is bad, 1 when one is.
"""

OWN_PACKAGES = ("course", "graders", "instructor")
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
OLDEST_PYTHON = (3, 11)


@dataclass(frozen=True)
class Finding:
    """One line of the doctor's: "ok", "note" or "bad", and a sentence."""

    verdict: str
    sentence: str


def add_parser(subparsers: Any) -> None:
    """Add ``doctor`` to the command's parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "doctor",
        help=HELP,
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        type=Path,
        help="a folder to look at (default: the current one)",
    )
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the findings; return 1 if one is bad."""
    findings = list(examine(arguments.folder or Path.cwd()))
    for finding in findings:
        print(f"{finding.verdict:<5}{finding.sentence}")
    return int(any(finding.verdict == "bad" for finding in findings))


def examine(folder: Path) -> Iterator[Finding]:
    """Yield every finding, for a folder to work in."""
    yield python_version()
    yield from libraries()
    yield from own_packages(folder)
    yield from programs()
    yield writable(folder)
    yield chromium()


def python_version() -> Finding:
    """Look at the Python that runs this."""
    version = platform.python_version()
    if sys.version_info < OLDEST_PYTHON:
        return Finding("bad", f"Python {version} at {sys.executable} is too old; 3.11 or newer is needed.")
    return Finding("ok", f"Python {version} at {sys.executable}")


def libraries() -> Iterator[Finding]:
    """Look at every library Wetslip declares, except those for tests and development."""
    try:
        wanted = importlib.metadata.requires("wetslip") or []
        yield Finding("ok", f"wetslip {importlib.metadata.version('wetslip')}")
    except importlib.metadata.PackageNotFoundError:
        yield Finding(
            "bad", "wetslip itself is not installed here; 'pip install .' in its folder installs it."
        )
        return
    for line in wanted:
        name = re.split(r"[^A-Za-z0-9._-]", line, maxsplit=1)[0]
        if "extra ==" in line:
            continue
        try:
            yield Finding("ok", f"{name} {importlib.metadata.version(name)}")
        except importlib.metadata.PackageNotFoundError:
            yield Finding("bad", f"{name} is missing; 'pip install \"{line}\"' installs it.")


def own_packages(folder: Path) -> Iterator[Finding]:
    """Look whether Python finds Wetslip's own packages under their names, here and in the folder."""
    home = Path(__file__).resolve().parents[1]
    owners = importlib.metadata.packages_distributions()
    for name in OWN_PACKAGES:
        spec = importlib.util.find_spec(name)
        place = Path(spec.origin).resolve().parent if spec and spec.origin else None
        others = sorted(set(owners.get(name, [])) - {"wetslip"})
        shadow = next((path for path in (folder / name, folder / f"{name}.py") if path.exists()), None)
        if place != home / name:
            where = place or "nowhere"
            yield Finding(
                "bad", f"the package {name} comes from {where}, not from {home}; use a fresh environment."
            )
        elif others:
            yield Finding(
                "bad", f"{', '.join(others)} also installs a package {name}; use a fresh environment."
            )
        elif shadow and shadow.resolve() != place:
            yield Finding("note", f"{shadow} comes before the package {name} for a page that lies beside it.")
        else:
            yield Finding("ok", f"the package {name} is Wetslip's own, in {place}")


def programs() -> Iterator[Finding]:
    """Look for the programs that other libraries call by name."""
    beside = Path(sys.executable).parent
    for name in ("jupyter", "alembic"):
        found = shutil.which(name)
        if found:
            yield Finding("ok", f"the program {name} is at {found}")
        elif shutil.which(name, path=str(beside)):
            yield Finding(
                "note", f"the program {name} is in {beside}, which is not on PATH; activate the environment."
            )
        else:
            yield Finding(
                "bad", f"the program {name} is missing; install Wetslip again in a fresh environment."
            )


def writable(folder: Path) -> Finding:
    """Look whether a folder can be written to, by writing."""
    try:
        with tempfile.NamedTemporaryFile(dir=folder, prefix=".wetslip-"):
            return Finding("ok", f"{folder} can be written to")
    except OSError as error:
        return Finding("bad", f"{folder} cannot be written to: {error.strerror}.")


def find_chromium() -> Path | None:
    """Return the Chromium named by WETSLIP_CHROMIUM, or the first one found on PATH."""
    named = os.environ.get("WETSLIP_CHROMIUM")
    found = shutil.which(named) if named else next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    return Path(found) if found else None


def chromium() -> Finding:
    """Look for a Chromium, which only the browser tests need."""
    found = find_chromium()
    if found:
        return Finding("ok", f"a Chromium for the browser tests is at {found}")
    return Finding(
        "note", "no Chromium was found; only the browser tests need one (Debian: apt install chromium)."
    )
