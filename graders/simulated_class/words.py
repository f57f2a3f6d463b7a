"""The confusion of a class as text."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from graders.simulated_class.confusion import ANOTHER, EITHER, ITSELF, NAMELESS, Confusion, Told
from graders.simulated_class.learners import MIX, SLIPS

FEWEST = 50  # times a mistake must have been made before a share of it says anything
MOST_PAIRS = 60


def _table(confusion: Confusion, title: str, key: Callable[[Told], str]) -> Iterator[str]:
    yield f"| {title} | wrong answers | told as itself | as either it or another | as another | unnamed |"
    yield "|---|--:|--:|--:|--:|--:|"
    for name, counts in confusion.by(key).items():
        total = counts.total()
        shares = " | ".join(
            f"{100 * counts[outcome] / total:.1f} %" for outcome in (ITSELF, EITHER, ANOTHER, NAMELESS)
        )
        yield f"| {name} | {total} | {shares} |"
    yield ""


def _mix(weights: dict[str, float]) -> str:
    return ", ".join(
        f"{name} {100 * weight / sum(weights.values()):.0f} %" for name, weight in weights.items()
    )


def _how(one: Told) -> str:
    return f"careless: {one.called}" if one.way == "careless" else one.way


def report(confusion: Confusion) -> str:
    """Return shares, tables and every confusion, as Markdown."""
    worst = confusion.misnamed(FEWEST)
    over = {name: share for name, share in worst.items() if share > 0.02}
    lines = [
        f"The mix, by learner and exercise: {_mix(dict(MIX))}. Careless with a number: {_mix(dict(SLIPS))}.",
        "",
        f"{len(confusion.wrong)} wrong answers that are not blank, {confusion.blank} blanks, {confusion.right} answers right.",
        f"Named: {100 * confusion.named:.1f} % of the wrong answers; as either it or another: {100 * confusion.share(EITHER):.2f} %;"
        f" as another mistake than was made: {100 * confusion.share(ANOTHER):.2f} %; unnamed: {100 * confusion.share(NAMELESS):.1f} %.",
        f"Mistakes made {FEWEST} times or more that were told as another in more than 2 %: {len(over)}.",
        *(f"- {name}: {100 * share:.1f} %" for name, share in over.items()),
        "",
        *_table(confusion, "how it came about", _how),
        *_table(confusion, "kind of field", lambda one: one.kind),
        *_table(confusion, "exercise", lambda one: one.exercise),
        "Made, and what it was told as where that is not itself alone:",
        "",
        "| made | told | times |",
        "|---|---|--:|",
        *(f"| {made} | {told} | {n} |" for (made, told), n in confusion.pairs().most_common(MOST_PAIRS)),
    ]
    return "\n".join(lines) + "\n"
