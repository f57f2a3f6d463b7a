"""How good the reference hunter is: how often it is right up to what cannot be told, how many measurements, how long it takes."""

from __future__ import annotations

import hashlib
import statistics
import time
from dataclasses import dataclass

from course.boats.personal import draw_plan
from graders.hunt.par import Hunted, hunt
from graders.hunt.part import INSTRUMENTS
from graders.hunt.table import table_for


@dataclass(frozen=True)
class Quality:
    """Over ``count`` hunts of a family, by the free policy; ``seconds`` of processor time a hunt, its boat's table being made."""

    family: str
    count: int
    right: float
    median: float
    seconds: float
    wrong: tuple[str, ...]

    def __str__(self) -> str:
        """Return one line to read."""
        return (
            f"{self.family}: {self.count} hunts, right {100 * self.right:.1f} %, median {self.median:g} measurements, "
            f"{self.seconds:.2f} s each"
        )


def quality(family: str, count: int, boats: tuple[str, ...] = ()) -> Quality:
    """Return the figures over drawn hunts, those of some boats alone when any are named."""
    done: list[Hunted] = []
    seconds: list[float] = []
    wrong: list[str] = []
    tried = 0
    while len(done) < count:
        seed = hashlib.sha256(f"quality {family} {tried}".encode()).hexdigest()
        plan = draw_plan(family, "quality", seed, "paper")
        tried += 1
        if boats and plan.boat.id not in boats:
            continue
        table_for(plan, INSTRUMENTS)
        start = time.process_time()
        found = hunt(plan, INSTRUMENTS)
        seconds.append(time.process_time() - start)
        done.append(found)
        if not found.right:
            wrong.append(f"{plan.boat.id} {[fault.id for fault in plan.faults]}: {found.answer}")
    return Quality(
        family,
        count,
        sum(one.right for one in done) / count,
        statistics.median(one.measurements for one in done),
        statistics.median(seconds),
        tuple(wrong),
    )
