"""Two hundred draws of the kinetics of the demonstration boat, and the life of her anodes as a band.

Measure with: OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_bands.py --benchmark-enable
"""

from __future__ import annotations

from typing import Any

import pytest

from course.boats.afloat import Afloat, kinetics_of
from course.boats.craft import craft_of
from course.boats.description import fleet_boat
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.engine.seasons import Spell
from course.engine.uncertainty import draws, kinds_of, life_band, system_bands
from course.engine.weather import constant

PLAN = SlipPlan(
    exercise="-", seed="-", boat=fleet_boat("marsh_lantern"), berth=middle_berth("cormorant_reach")
)


@pytest.mark.benchmark(group="bands")
def test_two_hundred_draws_of_a_boat(benchmark: Any) -> None:
    afloat = Afloat(PLAN)
    system = afloat.system(afloat.start)
    kinds = kinds_of([kinetics_of(body.alloy) for body in afloat.bodies(afloat.start)])
    deviates = draws(int(kinds.max()) + 1, 200)
    found = benchmark(system_bands, system, kinds, deviates)
    assert (found.current.low < found.current.high).all()


@pytest.mark.benchmark(group="bands")
def test_lives_of_her_anodes(benchmark: Any) -> None:
    craft, _ = craft_of(PLAN)
    found = benchmark(life_band, craft, constant(Afloat(PLAN).water), [Spell(3 * 365.25)], draws(6, 200))
    assert (found.low < found.high).all()
