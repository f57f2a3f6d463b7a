"""What every exercise says, word for word, in a file a person can read; `python -m graders golden` writes it anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from graders.exercises import MODULES
from graders.golden import module_prose

GOLDEN = Path(__file__).parent / "golden"


@pytest.mark.parametrize("module", MODULES)
def test_what_a_module_says_is_what_was_read(module):
    kept = (GOLDEN / f"module_{module[:2]}.md").read_text(encoding="utf-8")
    assert module_prose(module) == kept
    assert "TAKEN FOR" not in kept
