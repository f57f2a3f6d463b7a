"""Three years of anodes of the demonstration boat, lumped. Reach: 0.1 s at 1e-4 of mass.

Measure with: OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_seasons.py --benchmark-enable -s
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from course.boats.craft import craft_of
from course.boats.description import fleet_boat
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.engine import seasons
from course.engine.seasons import Spell, sail
from course.engine.weather import DAY, WaterYear, celsius

YEARS = 3 * 365.25
YEAR = WaterYear(celsius(14.5), 32.0, temperature_swing=5.0)


@pytest.mark.benchmark(group="three years of anodes")
def test_three_years_of_anodes(benchmark: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    boat = fleet_boat("marsh_lantern")
    craft, _ = craft_of(SlipPlan(exercise="-", seed="-", boat=boat, berth=middle_berth("cormorant_reach")))
    for _ in range(2):
        sail(craft, YEAR, [Spell(YEARS)])  # lets the compiled kernel come in, if it is there
    voyage = benchmark(sail, craft, YEAR, [Spell(YEARS)])
    part = sail(craft, YEAR, [Spell(250.0)])  # before the first one is spent
    monkeypatch.setattr(seasons, "TOLERANCE", 2e-7)
    fine, fine_part = sail(craft, YEAR, [Spell(YEARS)]), sail(craft, YEAR, [Spell(250.0)])
    k = craft.anodes
    worst = np.max(np.abs(part.mass[-1, k] - fine_part.mass[-1, k]) / craft.mass[k])
    late = np.nanmax(np.abs(voyage.gone_at[craft.anodes] / fine.gone_at[craft.anodes] - 1.0))
    benchmark.extra_info.update(
        patches=craft.size, solves=voyage.solves, steps=voyage.time.size, error_of_mass=float(worst),
        error_of_life=float(late),
    )  # fmt: skip
    assert worst < 1e-4
    assert late < 1e-3


@pytest.mark.benchmark(group="270 days of anodes, before the first one is spent")
def test_270_days(benchmark: Any) -> None:
    boat = fleet_boat("marsh_lantern")
    craft, _ = craft_of(SlipPlan(exercise="-", seed="-", boat=boat, berth=middle_berth("cormorant_reach")))
    voyage = benchmark(sail, craft, YEAR, [Spell(270.0)])
    benchmark.extra_info["right-hand sides"] = voyage.solves


@pytest.mark.benchmark(group="270 days of anodes, before the first one is spent")
def test_270_days_by_scipy(benchmark: Any) -> None:
    """The rival: scipy's RK23 over the same right-hand side, to the same tolerance."""
    boat = fleet_boat("marsh_lantern")
    craft, _ = craft_of(SlipPlan(exercise="-", seed="-", boat=boat, berth=middle_berth("cormorant_reach")))
    crew = seasons._Crew(craft, YEAR, np.arange(craft.size), Spell(YEARS))
    parts = (
        np.full(craft.size, 1e30),
        np.where(craft.mass > 0, craft.mass * craft.capacity, 1e30),
        np.ones(2 * craft.size),
    )
    whole = np.concatenate(parts)

    def run() -> Any:
        return solve_ivp(
            lambda t, y: crew.slope(t, y)[0], (0.0, 270.0 * DAY), np.zeros(4 * craft.size), method="RK23",
            max_step=30.0 * DAY, rtol=1e-12, atol=2e-5 * whole,
        )  # fmt: skip

    found = benchmark(run)
    benchmark.extra_info["right-hand sides"] = int(found.nfev)
    assert found.success
