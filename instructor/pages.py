"""Pages made from our templates; everything put into one is escaped."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

TEMPLATES = Path(__file__).parent / "templates"


def module_title(module: str) -> str:
    """Return a module's id as a title: "03_reference_cell" -> "Module 03: reference cell"."""
    number, _, words = module.partition("_")
    return f"Module {number}: {words.replace('_', ' ')}" if words else module


def render(template: str, **values: Any) -> str:
    """Return a page made from one of our templates."""
    return _surroundings().get_template(template).render(**values)


@cache  # and with it each template, which takes longer to read than a page to make
def _surroundings() -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    surroundings = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    surroundings.filters["points"] = lambda value: f"{value:.4g}"
    surroundings.filters["days"] = _days
    return surroundings


def _days(days: float) -> str:
    """Return a stretch of time in the largest unit that fits."""
    for size, unit in ((1.0, "days"), (1 / 24, "hours")):
        if days >= 2 * size:
            return f"{days / size:.0f} {unit}"
    return f"{max(1, round(days * 24 * 60))} minutes"
