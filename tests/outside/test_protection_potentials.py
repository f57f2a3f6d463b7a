"""Where steel is protected: potentials published as measured, beside the rates our law gives there."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq

from course.boats.datasets import load
from course.engine import Kinetics, Water, law, penetration_mm_per_year

CALOMEL = 0.241  # V SHE; Int. J. Corrosion 2010, article 756950, table 2
SILVER = 0.250  # V SHE, Ag/AgCl in sea water; Batt and Robinson (2002)
STILL = Water(288.15, 35.0)


def rate(potential: float) -> float:
    """mm a year of mild steel at `potential` [V SHE]."""
    row = load("metals")["mild_steel"]
    loss = law([Kinetics(**row["kinetics"])], STILL).dissolution([potential])[0]
    return float(penetration_mm_per_year(loss, row["equivalent_weight_g"] * 1e-3, row["density_kg_m3"]))


def test_where_steel_slows_to_a_thousandth_of_an_inch_a_year() -> None:
    """-0.725 V SCE for 1 mil (0.0254 mm) a year in air-saturated salt water: Wilde, CIM Bulletin 83 (1990), abstract.

    25 mV: half a decade of a 54 mV slope, which is what rates are good to.
    """
    critical = brentq(lambda e: rate(e + CALOMEL) - 0.0254, -0.9, -0.6)
    assert critical == pytest.approx(-0.725, abs=0.025)


def test_steel_at_the_design_criterion_loses_about_a_micrometre_a_year() -> None:
    """-0.80 V vs Ag/AgCl in sea water protects steel: DNV-RP-B401, ABS, in transcription; 0.001 mm a year at -0.77 to
    -0.79 V SCE: Batt and Robinson. Within a factor of three."""
    assert 0.001 / 3.0 < rate(-0.80 + SILVER) < 0.001 * 3.0
