"""What every exercise says, word for word, in a file a person can read; `python -m graders golden` writes it anew."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from graders.exercises import EXERCISES, MODULES
from graders.golden import exercise_section, sections

GOLDEN = Path(__file__).parent / "golden"
QUICK = [name for name in EXERCISES if EXERCISES[name].kind != "hunt"]
HUNTS = [name for name in EXERCISES if EXERCISES[name].kind == "hunt"]


@cache
def kept(module):
    return (GOLDEN / f"module_{module[:2]}.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", QUICK)
def test_what_an_exercise_says_is_what_was_read(name):
    assert exercise_section(EXERCISES[name]) == sections(kept(EXERCISES[name].module))[name]


@pytest.mark.long
@pytest.mark.parametrize("name", HUNTS)
def test_what_a_hunt_says_is_what_was_read(name):
    assert exercise_section(EXERCISES[name]) == sections(kept(EXERCISES[name].module))[name]


@pytest.mark.parametrize("module", MODULES)
def test_every_exercise_of_a_module_and_no_other_is_in_its_file_and_none_is_mistaken(module):
    assert list(sections(kept(module))) == [exercise.id for exercise in MODULES[module]]
    assert "TAKEN FOR" not in kept(module)
