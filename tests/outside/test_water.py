"""Conductivity and oxygen against published check values."""

from __future__ import annotations

import math

import gsw
import pytest

from course.engine import Water
from course.engine.constants import FARADAY

TO_ITS90 = 1.00024  # temperatures on the 1968 scale are this much larger; Saunders 1990


def test_conductivity_of_standard_sea_water() -> None:
    """C(35, 15 degC, 0) = 4.2914 S/m: PSS-78, as printed in public documentation (oce and others)."""
    assert Water(273.15 + 15.0 / TO_ITS90, 35.0).conductivity == pytest.approx(4.2914, abs=5e-5)


@pytest.mark.parametrize(
    ("salinity", "published"),
    [
        (5.0, (0.5565, 0.6366, 0.7200, 0.8066, 0.8959)),
        (10.0, (1.0612, 1.2125, 1.3702, 1.5336, 1.7022)),
        (20.0, (2.0110, 2.2938, 2.5885, 2.8939, 3.2087)),
        (35.0, (3.3454, 3.8087, 4.2914, 4.7913, 5.3065)),
    ],
)
def test_conductivity_over_salinity_and_temperature(salinity: float, published: tuple[float, ...]) -> None:
    """S/m at 5 to 25 degC (1968 scale): derived from the PSS-78 equations, Fofonoff and Millard 1983."""
    for celsius, value in zip((5.0, 10.0, 15.0, 20.0, 25.0), published, strict=True):
        water = Water(273.15 + celsius / TO_ITS90, salinity)
        assert water.conductivity == pytest.approx(value, abs=1.1e-4)


def test_the_library_beneath_reproduces_the_unesco_values() -> None:
    """UNESCO Technical Papers in Marine Science 44 (Fofonoff and Millard 1983): S(R, T68, p), p in dbar."""
    ratio_to_conductivity = 42.914  # mS/cm at S 35, 15 degC, 0 dbar
    for ratio, celsius, pressure, salinity in (
        (1.888091, 40.0, 10000.0, 40.0),
        (1.2, 20.0, 2000.0, 37.245628),
        (1.0, 15.0, 0.0, 35.0),
    ):
        found = gsw.SP_from_C(ratio * ratio_to_conductivity, celsius / TO_ITS90, pressure)
        assert float(found) == pytest.approx(salinity, abs=2e-4)


def test_the_library_beneath_reproduces_the_teos10_examples() -> None:
    """TEOS-10 Gibbs-SeaWater documentation examples, as printed."""
    assert float(gsw.SP_from_C(34.5487, 28.7856, 10)) == pytest.approx(20.00986959908695, rel=1e-12)
    assert float(gsw.SP_from_C(38.0, 10, 100)) == pytest.approx(34.8618423333713, rel=1e-3)
    assert float(gsw.C_from_SP(34.5487, 28.7856, 10)) == pytest.approx(56.412599581571186, rel=1e-12)


def test_oxygen_of_garcia_and_gordon() -> None:
    """274.61 umol/kg at 10 degC, S 35: the check value of Garcia and Gordon (1992)."""
    water = Water(283.15, 35.0)
    assert water.oxygen / water.density * 1e6 == pytest.approx(274.61, abs=0.05)


@pytest.mark.parametrize(
    ("salinity", "published"),
    [
        (0.02, (14.621, 12.771, 11.288, 10.084, 9.092, 8.263, 7.559)),
        (9.0, (13.729, 12.026, 10.657, 9.542, 8.622, 7.851, 7.194)),
        (35.0, (11.446, 10.108, 9.024, 8.135, 7.396, 6.772, 6.237)),
    ],
)
def test_oxygen_of_benson_and_krause(salinity: float, published: tuple[float, ...]) -> None:
    """mg/L at 0 to 30 degC, 1 atm: Benson and Krause (1984) as in USGS memorandum 2011.03 (S 0 in the first
    row).

    Another fit than the engine's: 0.5 % is how far the two are known to differ within their own uncertainty.
    """
    for celsius, value in zip((0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0), published, strict=True):
        milligrams = Water(273.15 + celsius, salinity).oxygen * 31.998
        assert milligrams == pytest.approx(value, rel=5e-3)


def test_limiting_current_of_still_sea_water() -> None:
    """0.192 A/m2 at 25 degC, S 35 through 0.85 mm, D = 2.0e-9 m2/s: 4 F D C/d, C of Benson and Krause
    (derived).

    Layer and D are the engine's own inputs (US Naval Research Laboratory), so this checks units and oxygen
    only.
    """
    water = Water(298.15, 35.0, flow=0.0)
    assert 4.0 * FARADAY * water.oxygen * water.mass_transfer == pytest.approx(0.192, abs=0.001)


@pytest.mark.parametrize(
    ("salinity", "volts"), [(35.0, 0.249), (10.0, 0.279), (3.5, 0.303), (1.0, 0.333), (0.2, 0.373)]
)
def test_chloride_moves_the_silver_chloride_cell(salinity: float, volts: float) -> None:
    """V SHE of bare Ag/AgCl at 25 degC: derived with activity coefficients 0.63, 0.715, 0.80 (assumed), E0
    0.22234 V.

    3 mV: what another choice of activity coefficient makes.
    """
    water = Water(298.15, salinity)
    assert 0.22234 - 0.05916 * math.log10(water.chloride_activity) == pytest.approx(volts, abs=0.003)
