"""The engine's constants and its logistic function, beside scipy's."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from scipy import constants as codata
from scipy.special import expit

from course.engine import constants
from course.engine.electrode import _logistic


@pytest.mark.parametrize(
    ("ours", "codatas"),
    [
        (constants.FARADAY, codata.N_A * codata.e),
        (constants.GAS_CONSTANT, codata.R),
        (constants.BOLTZMANN_OVER_CHARGE, codata.k / codata.e),
        (constants.ZERO_CELSIUS, codata.zero_Celsius),
        (constants.YEAR, codata.Julian_year),
        (constants.HOUR, codata.hour),
    ],
)
def test_constants_are_those_of_codata(ours: float, codatas: float) -> None:
    assert ours == pytest.approx(codatas, rel=1e-15)


def test_the_logistic_function_is_scipys() -> None:
    x = np.concatenate([np.linspace(-700.0, 800.0, 4001), np.linspace(-1.0, 1.0, 401)])
    np.testing.assert_allclose(_logistic(x), expit(x), rtol=2e-15)
    assert _logistic(np.array([-1e4]))[0] == 0.0
    kept = np.empty_like(x)
    assert _logistic(x, out=kept) is kept


def test_the_engine_is_there_before_scipy_is_loaded() -> None:
    code = "import sys, course.engine; print([name for name in sys.modules if name.startswith('scipy')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True)
    assert done.stdout.strip() == "[]"
