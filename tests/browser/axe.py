"""axe-core, run on a page that is open: what of it a screen reader or a keyboard would stumble over.

The script is the one that axe-playwright-python carries; nothing is fetched.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

SCRIPT = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
GRAVE = ("serious", "critical")


def findings(page: Any, where: str | None = None) -> list[str]:
    """Return what is serious or critical on a page, or within what a selector names, a line each."""
    page.evaluate(SCRIPT + "; 0")
    context = "document" if where is None else json.dumps({"include": [[where]]})
    found = page.evaluate(f"axe.run({context}, {{resultTypes: ['violations']}})")
    assert found["passes"], "axe-core looked at nothing"
    return [
        f"{one['impact']}: {one['id']}: {one['help']}: {node['html'][:200]}"
        for one in found["violations"]
        if one["impact"] in GRAVE
        for node in one["nodes"]
    ]
