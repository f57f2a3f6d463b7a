"""Hunts and seeds: the same seed draws the same slip for ever, and every family has more slips than there are learners."""

from __future__ import annotations

import importlib.util
from collections import Counter
from pathlib import Path

import pytest

from course.boats.afloat import Afloat
from course.boats.faults import KINDS, grid
from course.boats.hunts import FLEET, HUNTS, marina_of
from course.boats.personal import FAMILIES, draw_plan, seed_for, variants
from course.boats.plan import SlipPlan
from course.boats.reserved import BOATS
from course.boats.reserved import KINDS as RESERVED

HERE = Path(__file__).parent


def some(family: str, purpose: str = "assignment", count: int = 60) -> list[SlipPlan]:
    seeds = (seed_for(purpose, "CR26", f"learner{k}", family, 0) for k in range(count))
    return [draw_plan(family, family, seed, purpose) for seed in seeds]  # type: ignore[arg-type]


def test_the_stored_thousand_seeds_draw_the_same_slips() -> None:
    """Bit for bit. After a change on purpose: python tests/boats/seeds.py."""
    found = importlib.util.spec_from_file_location("seeds", HERE / "seeds.py")
    assert found is not None
    assert found.loader is not None
    seeds = importlib.util.module_from_spec(found)
    found.loader.exec_module(seeds)
    stored = seeds.SEEDS.read_text(encoding="utf-8").splitlines()
    assert len(stored) == 1000
    assert [seeds.replayed(line) for line in stored] == stored


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_each_family_has_a_million_slips_and_more(family: str) -> None:
    for purpose in ("assignment", "paper"):
        assert variants(family, purpose) >= 1_000_000  # type: ignore[arg-type]


@pytest.mark.parametrize("family", sorted(HUNTS))
def test_a_hunt_draws_its_faults_or_none(family: str) -> None:
    """As many as the family has, each of another kind and with another part."""
    plans = some(family)
    drawn = [plan.faults for plan in plans]
    assert {len(faults) for faults in drawn} <= {0, HUNTS[family].count}
    assert all(
        len({f.kind for f in faults}) == len({f.part for f in faults}) == len(faults) for faults in drawn
    )
    kinds = Counter(fault.kind for faults in drawn for fault in faults)
    assert set(kinds) <= set(HUNTS[family].kinds) - RESERVED
    if HUNTS[family].nothing and HUNTS[family].kinds:
        assert 0 < sum(not faults for faults in drawn) < 30
    for plan in plans:
        for fault in plan.faults:
            if fault.span is not None:
                assert getattr(fault, fault.span.field) in grid(fault.span.low, fault.span.high)


def test_boats_and_faults_are_kept_for_examinations() -> None:
    """At least five faults and two boats: only the purpose "paper" draws them."""
    assert len(RESERVED) >= 5
    assert len(BOATS) >= 2
    assert set(KINDS) >= RESERVED
    assert set(FLEET) >= BOATS
    for family in HUNTS:
        shown = some(family)
        assert not {plan.boat.id for plan in shown} & BOATS
        assert not {f.kind for plan in shown for f in plan.faults} & RESERVED
    papers = some("any_hunt", "paper", 200)
    assert {plan.boat.id for plan in papers} >= BOATS
    assert {f.kind for plan in papers for f in plan.faults} & RESERVED


def test_every_boat_of_the_fleet_lies_somewhere_in_her_own_water() -> None:
    assert {marina_of(boat) for boat in FLEET} == {"cormorant_reach", "sedge_mouth", "lark_water"}


def test_a_dozen_hunts_are_solved_and_hide_their_fault_from_nobody_who_looks() -> None:
    """A hunted boat settles, and what is wrong changes something somewhere: a voltage aboard, or a breaker that trips."""
    for plan in some("any_hunt", count=12):
        afloat, healthy = Afloat(plan), Afloat(plan.model_copy(update={"faults": ()}))
        here, there = afloat.steady(afloat.start), healthy.steady(healthy.start)
        seen = [
            abs((afloat.voltage(here, member) or 0.0) - (healthy.voltage(there, member) or 0.0))
            for member in plan.boat.members
        ]
        wired = [
            abs(afloat.current(here, wire) - healthy.current(there, wire)) for wire, _ in healthy.clampable()
        ]
        assert (max(seen) > 2e-3 or max(wired) > 5e-3 or bool(afloat.trips(afloat.start))) == bool(
            plan.faults
        )
