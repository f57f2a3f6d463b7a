"""Physical constants: exact since the SI of 2019 fixed e, N_A and k (BIPM, The International System of Units, 9th ed.).

FARADAY [C/mol], GAS_CONSTANT [J/(mol K)], BOLTZMANN_OVER_CHARGE [V/K], ZERO_CELSIUS [K], YEAR [s, Julian],
LN10 [1]. REFERENCE_TEMPERATURE [K] is 20 degC, the water in which the metals' laws are calibrated (declared).
"""

from __future__ import annotations

import math

ELEMENTARY_CHARGE: float = 1.602176634e-19
AVOGADRO: float = 6.02214076e23
BOLTZMANN: float = 1.380649e-23

FARADAY: float = AVOGADRO * ELEMENTARY_CHARGE
GAS_CONSTANT: float = AVOGADRO * BOLTZMANN
BOLTZMANN_OVER_CHARGE: float = BOLTZMANN / ELEMENTARY_CHARGE
ZERO_CELSIUS: float = 273.15
YEAR: float = 365.25 * 86400.0
HOUR: float = 3600.0
LN10: float = math.log(10.0)
REFERENCE_TEMPERATURE: float = ZERO_CELSIUS + 20.0
