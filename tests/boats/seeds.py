"""The stored sample of seeds: a thousand of them, and the name of the slip that each draws.

    python tests/boats/seeds.py

writes it anew. It changes whenever a boat, a marina, a range or a fault's severity is changed on purpose: then the slips of a
class already released would change as well, so the release keeps its own (design, section 5), and this sample is written anew.
"""

from __future__ import annotations

from pathlib import Path

from course.boats.personal import FAMILIES, draw_plan, seed_for
from course.boats.plan import SlipPlan

SEEDS = Path(__file__).parent / "seeds.txt"
PURPOSES = ("practice", "assignment", "paper")
COUNT = 1000


def sample(k: int) -> tuple[str, SlipPlan]:
    """The k-th seed's name, and the slip it draws."""
    family, purpose = sorted(FAMILIES)[k % len(FAMILIES)], PURPOSES[k % len(PURPOSES)]
    seed = seed_for(purpose, "CR26", f"learner{k}", family, k // 100)
    return f"{k} {family} {purpose}", draw_plan(family, family, seed, purpose)


def lines() -> list[str]:
    return [f"{name} {plan.digest}" for name, plan in map(sample, range(COUNT))]


if __name__ == "__main__":
    SEEDS.write_text("\n".join(lines()) + "\n", encoding="utf-8")
