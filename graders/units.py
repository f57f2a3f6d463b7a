"""Units that people mix up: for a field's unit, others and how many of them make one of it."""

from __future__ import annotations

from course.engine.constants import YEAR

_DAYS_IN_YEAR = YEAR / 86400.0
RELATED: dict[str, dict[str, float]] = {
    "mV": {"V": 1e-3},
    "V": {"mV": 1e3},
    "A": {"mA": 1e3},
    "mA": {"A": 1e-3},
    "mA/m2": {"A/m2": 1e-3},
    "A/m2": {"mA/m2": 1e3},
    "ohm": {"milliohm": 1e3, "kohm": 1e-3},
    "milliohm": {"ohm": 1e-3},
    "kg": {"g": 1e3},
    "g": {"kg": 1e-3},
    "m2": {"cm2": 1e4, "mm2": 1e6},
    "cm2": {"m2": 1e-4, "mm2": 1e2},
    "mm2": {"cm2": 1e-2, "m2": 1e-6},
    "m": {"cm": 1e2, "mm": 1e3},
    "mm": {"cm": 1e-1, "m": 1e-3},
    "mm/yr": {"m/yr": 1e-3, "micrometres/yr": 1e3},
    "g/yr": {"kg/yr": 1e-3},
    "kg/yr": {"g/yr": 1e3},
    "years": {"months": 12.0, "days": _DAYS_IN_YEAR},
    "months": {"years": 1 / 12, "days": _DAYS_IN_YEAR / 12},
    "days": {"months": 12 / _DAYS_IN_YEAR, "years": 1 / _DAYS_IN_YEAR, "hours": 24.0},
    "hours": {"minutes": 60.0, "days": 1 / 24},
    "minutes": {"hours": 1 / 60},
    "%": {"parts of one": 1e-2},
}
