"""Units that people mix up: for a field's unit, others and how many of them make one of it; and ways to write one unit."""

from __future__ import annotations

import re

from course.engine.constants import YEAR

_DAYS_IN_YEAR = YEAR / 86400.0
RELATED: dict[str, dict[str, float]] = {
    "mV": {"V": 1e-3},
    "V": {"mV": 1e3},
    "A": {"mA": 1e3},
    "mA": {"A": 1e-3},
    "mA/m²": {"A/m²": 1e-3},
    "A/m²": {"mA/m²": 1e3},
    "ohm": {"milliohm": 1e3, "kohm": 1e-3},
    "milliohm": {"ohm": 1e-3},
    "kg": {"g": 1e3},
    "g": {"kg": 1e-3},
    "m²": {"cm²": 1e4, "mm²": 1e6},
    "cm²": {"m²": 1e-4, "mm²": 1e2},
    "mm²": {"cm²": 1e-2, "m²": 1e-6},
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

# one spelling for what people write in several ways: m2, m^2 and m² are one unit
_SPELT = (
    (r"\s+(?:per|a)\s+", "/"),
    (r"\^?2\b", "²"),
    (r"\b(?:years?|yrs?|a|y)\b", "yr"),
    (r"\bd(?:ays?)?\b", "day"),
    (r"°|\bdeg(?=C\b)", ""),
    (r"\bgrams?\b", "g"),
    (r"\bamp(?:ere)?s?\b", "A"),
    (r"\bvolts?\b", "V"),
    ("[\u03a9\u2126]|ohms\\b", "ohm"),  # the Greek letter, and the sign that looks like it
    (r"\bmohm\b", "milliohm"),
)


def same_unit(one: str, other: str) -> bool:
    """Return whether two written units are one and the same."""
    return _spelt(one) == _spelt(other)


def _spelt(unit: str) -> str:
    text = unit.strip()
    for pattern, standard in _SPELT:
        text = re.sub(pattern, standard, text)
    return text
