"""Physical constants, taken from scipy.constants (CODATA) and never typed in.

FARADAY [C/mol], GAS_CONSTANT [J/(mol K)], BOLTZMANN_OVER_CHARGE [V/K], ZERO_CELSIUS [K], YEAR [s, Julian],
LN10 [1]. REFERENCE_TEMPERATURE [K] is 20 degC, the water in which the metals' laws are calibrated (declared).
"""

from __future__ import annotations

import math

from scipy import constants as _codata

FARADAY: float = _codata.N_A * _codata.e
GAS_CONSTANT: float = _codata.R
BOLTZMANN_OVER_CHARGE: float = _codata.k / _codata.e
ZERO_CELSIUS: float = _codata.zero_Celsius
YEAR: float = _codata.Julian_year
HOUR: float = _codata.hour
LN10: float = math.log(10.0)
REFERENCE_TEMPERATURE: float = ZERO_CELSIUS + 20.0
