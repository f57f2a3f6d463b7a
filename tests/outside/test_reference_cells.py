"""Reference cells against published conversions and Nernst's law."""

from __future__ import annotations

import pytest

from course.boats.datasets import row
from course.engine import Water
from course.instruments.reference_cell import convert, settled_potential

SEA, CALOMEL, COPPER = "silver_chloride_sea_water", "saturated_calomel", "copper_sulphate"


@pytest.mark.parametrize(
    ("volts", "from_cell", "to_cell", "published"),
    [
        (
            -0.800,
            SEA,
            CALOMEL,
            -0.791,
        ),  # derived from 0.250 (Batt & Robinson 2002) and 0.241 (the same; IJC 2010, 756950)
        (
            -0.800,
            SEA,
            COPPER,
            -0.866,
        ),  # derived from 0.250 and 0.316 (IJC 2010, 756950); practice rounds to -0.85
        (-0.850, COPPER, SEA, -0.784),  # derived
    ],
)
def test_conversions_between_cells(volts, from_cell, to_cell, published):
    assert convert(volts, from_cell, to_cell) == pytest.approx(published, abs=0.0005)


@pytest.mark.parametrize(
    ("salinity", "volts"),
    [(35, 0.249), (10, 0.279), (3.5, 0.303), (1, 0.333), (0.2, 0.373)],
    # derived by Nernst's law with assumed activity coefficients (0.63, 0.715, 0.80 ...), so good to a few millivolts only
)
def test_an_open_silver_chloride_cell_follows_the_chloride(salinity, volts):
    assert settled_potential(row("reference_cells", SEA), Water(298.15, salinity)) == pytest.approx(
        volts, abs=0.003
    )


def test_an_open_cell_in_nearly_fresh_water_errs_by_about_120_mV_towards_more_negative():
    """Derived (Nernst) from S = 35 to S = 0.2: a bare electrode reads steel about 120 mV too negative."""
    cell = row("reference_cells", SEA)
    error = settled_potential(cell, Water(298.15, 35.0)) - settled_potential(cell, Water(298.15, 0.2))
    assert error == pytest.approx(-0.120, abs=0.006)


def test_nernst_slope_is_59_mV_a_decade_at_25_degC():
    """Exact: RT ln(10) / F = 0.05916 V at 25 degC."""
    cell = row("reference_cells", SEA)
    waters = [Water(298.15, 35.0), Water(298.15, 1.0)]
    from math import log10

    decades = log10(waters[0].chloride_activity / waters[1].chloride_activity)
    slope = (settled_potential(cell, waters[1]) - settled_potential(cell, waters[0])) / decades
    assert slope == pytest.approx(0.05916, abs=2e-5)
