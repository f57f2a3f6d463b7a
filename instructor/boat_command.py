"""The command ``wetslip boat``: what a person who writes a boat file wants to know of it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError

if TYPE_CHECKING:
    from course.boats.description import Boat

DESCRIPTION = """\
Read a boat file (YAML), say in one sentence what is wrong with it if anything
is, and otherwise what the engine predicts for her: each metal's potential by
itself and as bonded, and the hull potential with and without her anodes.
"""
EPILOG = """\
Potentials are mV against the silver/silver-chloride cell in sea water, in the
middle of what Cormorant Reach offers by way of water, the cell amidships and a
metre down.

exit code: 0 when the file is sound, 2 when it is not.
"""


def add_parser(subparsers: Any) -> None:
    """Add ``boat`` and its parts to the command."""
    parser = subparsers.add_parser("boat", help="look at a boat file", description="Look at boat files.")
    parts = parser.add_subparsers(title="parts", metavar="PART", required=True)
    check = parts.add_parser(
        "check",
        help="validate a boat file and say what the engine predicts",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    check.add_argument("file", type=Path, metavar="FILE", help="a boat as YAML, as in datasets/boats")
    check.set_defaults(run=run_check)


def run_check(arguments: argparse.Namespace) -> int:
    """Validate the file and print the prediction. Raises ClassError for a file that cannot be used."""
    from course.boats.description import BoatError, read_boat

    try:
        boat = read_boat(arguments.file)
    except BoatError as error:
        raise ClassError(str(error)) from error
    for line in report(boat):
        print(line)
    return 0


def report(boat: Boat) -> Iterator[str]:
    """Yield what the engine predicts for a boat, line by line."""
    from course.boats.afloat import Afloat, kinetics_of
    from course.boats.personal import middle_berth
    from course.boats.plan import SlipPlan
    from course.engine import free_corrosion_potential
    from course.instruments.measure import cell_row
    from course.instruments.reference_cell import settled_potential
    from graders.truth import anodes_off, span

    plan = SlipPlan(exercise="-", seed="-", boat=boat, berth=middle_berth("cormorant_reach"))
    afloat = Afloat(plan)
    cell = settled_potential(cell_row(afloat), afloat.water)
    on, off = afloat.steady(afloat.start), afloat.steady(anodes_off(afloat))
    yield (
        f"{boat.name}, {boat.kind}: {len(boat.metals)} metals in the water, {len(boat.anodes)} anodes, "
        f"{len(boat.conductors)} conductors and contacts, {len(boat.circuits)} circuits."
    )
    yield f"In {plan.berth.water} of {plan.berth.temperature_degC:g} degC and salinity {plan.berth.salinity:g}:"
    yield f"  hull potential with the anodes    {span(afloat, on).middle:7.0f} mV"
    yield f"  hull potential, large anodes off  {span(afloat, off).middle:7.0f} mV"
    yield f"  {'metal':32s}{'by itself':>10s}{'as bonded':>12s}"
    for part, alloy in [*((m, m.metal) for m in boat.metals), *((a, a.alloy) for a in boat.anodes)]:
        alone = 1000 * (free_corrosion_potential(kinetics_of(alloy), afloat.water) - cell)
        bonded = 1000 * (on.polarisation[part.id] - cell)
        yield f"  {part.label:32s}{alone:7.0f} mV{bonded:9.0f} mV"
