"""The physics: SI units, volts against the standard hydrogen electrode, current positive from metal into
water.

No files, no widgets, no randomness.
"""

from course.engine.compiled import is_warm, warm
from course.engine.conductors import (
    Branch,
    DiodeString,
    Network,
    Source,
    awg_diameter,
    conductor_resistance,
    isolator,
)
from course.engine.earthing import (
    compact_resistance,
    disk_resistance,
    flush_plate_resistance,
    hemisphere_resistance,
    oblate_spheroid_resistance,
    prolate_spheroid_resistance,
    short_rod_resistance,
    slender_rod_resistance,
    sphere_resistance,
)
from course.engine.electrode import REFERENCE_WATER, Law, free_corrosion_potential, law
from course.engine.errors import EngineError, NotConverged, OutOfRange, require
from course.engine.faraday import (
    capacity_ampere_hours_per_kg,
    mass_kg_per_year,
    mass_rate,
    penetration_mm_per_year,
    penetration_rate,
)
from course.engine.kinetics import Kinetics
from course.engine.relaxation import relax, relax_steps, settle
from course.engine.solve import solve
from course.engine.system import Solution, System
from course.engine.transfer import transfer_matrix, transfer_to_points
from course.engine.water import Water

__all__ = [
    "REFERENCE_WATER",
    "Branch",
    "DiodeString",
    "EngineError",
    "Kinetics",
    "Law",
    "Network",
    "NotConverged",
    "OutOfRange",
    "Solution",
    "Source",
    "System",
    "Water",
    "awg_diameter",
    "capacity_ampere_hours_per_kg",
    "compact_resistance",
    "conductor_resistance",
    "disk_resistance",
    "flush_plate_resistance",
    "free_corrosion_potential",
    "hemisphere_resistance",
    "is_warm",
    "isolator",
    "law",
    "mass_kg_per_year",
    "mass_rate",
    "oblate_spheroid_resistance",
    "penetration_mm_per_year",
    "penetration_rate",
    "prolate_spheroid_resistance",
    "relax",
    "relax_steps",
    "require",
    "settle",
    "short_rod_resistance",
    "slender_rod_resistance",
    "solve",
    "sphere_resistance",
    "transfer_matrix",
    "transfer_to_points",
    "warm",
]
