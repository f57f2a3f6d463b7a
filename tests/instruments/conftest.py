"""A slip of Marsh Lantern, and the steps of a right reading."""

from __future__ import annotations

import pytest

from course.instruments.slip import Slip
from graders.exercises import EXERCISES
from graders.personal import plan_for


@pytest.fixture(scope="session")
def plan():
    return plan_for(EXERCISES["03.1"], "ana", "CR26")


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "Ana's läroplats 03"
    place.mkdir()
    return place


@pytest.fixture
def slip(plan, folder):
    return Slip(plan, folder)


@pytest.fixture
def wired(slip):
    """The slip with leads plugged, clip on and cell hung, half an hour ago."""
    slip.turn_dial("2 V")
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point")
    slip.hang_cell(5.6, 1.0)
    slip.wait(30)
    return slip
