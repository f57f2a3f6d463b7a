"""The stored sample of seeds: a thousand of them, and the name of the slip that each draws.

    python tests/boats/seeds.py

writes it anew. It changes whenever a boat, a marina, a range or a fault's severity is changed on purpose: then the slips of a
class already released would change as well, so the release keeps its own (design, section 5), and this sample is written anew.
"""

from __future__ import annotations

from pathlib import Path

from course.boats.personal import FAMILIES, Purpose, draw_plan, seed_for

SEEDS = Path(__file__).parent / "seeds.txt"
PURPOSES: tuple[Purpose, ...] = ("practice", "assignment", "paper")
COUNT = 1000


def drawn(k: int, family: str, purpose: Purpose) -> str:
    """The line of one seed: its number, family, purpose, and the digest of the slip it draws."""
    seed = seed_for(purpose, "CR26", f"learner{k}", family, k // 100)
    return f"{k} {family} {purpose} {draw_plan(family, family, seed, purpose).digest}"


def replayed(line: str) -> str:
    """The line that the seed of a stored line gives today; families added since do not matter."""
    number, family, purpose, _ = line.split()
    return drawn(int(number), family, next(p for p in PURPOSES if p == purpose))


def anew() -> list[str]:
    families = sorted(FAMILIES)
    return [drawn(k, families[k % len(families)], PURPOSES[k % len(PURPOSES)]) for k in range(COUNT)]


if __name__ == "__main__":
    SEEDS.write_text("\n".join(anew()) + "\n", encoding="utf-8")
