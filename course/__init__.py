"""Wetslip: simulated boats to practise corrosion measurement on.

The names a notebook uses are loaded on first use, so that ``import course.engine`` brings in no widget.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from course.face import ask, bench, check, exercise, hint, record, slip

__version__ = "0.1.0"
__all__ = ["ask", "bench", "check", "exercise", "hint", "record", "slip"]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from course import face

        return getattr(face, name)
    raise AttributeError(f"the package 'course' has no name {name!r}; it offers {', '.join(__all__)}")
