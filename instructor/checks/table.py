"""The table of outside checks: what pytest compared, made into rows a reader can follow."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?"
PLAIN = re.compile(rf"(?:np\.float64\()?({NUMBER})\)? == (?:np\.float64\()?({NUMBER})\)? ± ({NUMBER})")
OBTAINED = re.compile(rf"Obtained: ({NUMBER})\s+Expected: ({NUMBER}) ± ({NUMBER})")
BOUND = re.compile(rf"^\(?(?:np\.float64\()?({NUMBER})\)? (<=?|>=?) \(?(?:np\.float64\()?({NUMBER})\)?$")
SCALAR = re.compile(rf"np\.float64\(({NUMBER})\)")
LOOSE = re.compile(rf"(?<![\w.]){NUMBER}(?![\w.])")
LONGEST_TOLD = 260
OFFLINE = "not tried"  # the assertion of the fixture that guards every test


@dataclass(frozen=True)
class Comparison:
    """One number of ours beside a published one, and the difference that is allowed."""

    ours: float
    published: float
    allowed: float

    @property
    def error(self) -> float:
        """Ours less the published one."""
        return self.ours - self.published

    @property
    def strain(self) -> float:
        """Error over what is allowed."""
        return abs(self.error) / self.allowed if self.allowed > 0.0 else float(self.error != 0.0)


@dataclass(frozen=True)
class CheckRow:
    """One check of the table: its name in words, what it says of its source, how often it compared and the closest shave."""

    file: str
    check: str
    source: str
    count: int
    worst: Comparison | None
    bound: str
    outcome: str


def compared(numbers: str) -> Comparison | None:
    """Return the numbers of an assertion with a tolerance, or None for any other."""
    for form in (OBTAINED, PLAIN):
        if found := form.search(numbers):
            return Comparison(*(float(part) for part in found.groups()))
    return None


def in_words(test: str) -> str:
    """Return a test's name as words."""
    return test.removeprefix("test_").replace("_", " ")


def told(test: dict[str, Any]) -> str:
    """Return what the test says of itself in its first paragraph, or else its file's first one, on one line."""
    text = str(test["told"] or test["module"]).split("\n\n")[0]
    line = " ".join(text.split())
    return line if len(line) <= LONGEST_TOLD else line[: LONGEST_TOLD - 3].rsplit(" ", 1)[0] + " ..."


def shortened(numbers: str) -> str:
    """Return the first line of an explanation with its long numbers rounded to four figures."""
    line = SCALAR.sub(r"\1", numbers.splitlines()[0] if numbers else "")
    rounded = LOOSE.sub(lambda m: m.group() if len(m.group()) < 7 else f"{float(m.group()):.4g}", line)
    return rounded if len(rounded) <= 90 else rounded[:87] + "..."


def closeness(numbers: str) -> float:
    """Return how near an assertion by a bound came to failing: 1 at the bound, 0 far from it or no plain bound."""
    found = BOUND.match(numbers.splitlines()[0]) if numbers else None
    if found is None:
        return 0.0
    small, large = sorted((abs(float(found.group(1))), abs(float(found.group(3)))))
    same_side = (float(found.group(1)) < 0.0) == (float(found.group(3)) < 0.0)
    return small / large if large and same_side else 0.0


def rows(tests: Iterable[dict[str, Any]]) -> list[CheckRow]:
    """Return one row a test function: its parameters are put together, the comparison nearest its limit stands for all."""
    groups: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for test in tests:
        groups.setdefault((test["file"], test["test"]), []).append(test)
    return [_row(file, name, group) for (file, name), group in sorted(groups.items())]


def _row(file: str, name: str, group: list[dict[str, Any]]) -> CheckRow:
    held = [one for test in group for one in test["held"] if one["asserted"] != OFFLINE]
    numbers = [found for one in held if (found := compared(one["numbers"])) is not None]
    worst = max(numbers, key=lambda one: one.strain, default=None)
    nearest = max((one["numbers"] for one in held), key=closeness, default="")
    bound = "" if worst is not None else shortened(nearest)
    outcomes = {test["outcome"] for test in group}
    outcome = next(word for word in ("failed", "skipped", "passed") if word in outcomes)
    return CheckRow(file, in_words(name), told(group[0]), len(held), worst, bound, outcome)


def _figures(value: float) -> str:
    return f"{value:.5g}"


def _cells(row: CheckRow) -> tuple[str, ...]:
    if row.worst is None:
        ours, published, error = (f"`{row.bound}`" if row.bound else "-"), "-", "-"
    else:
        ours, published = (
            _figures(row.worst.ours),
            f"{_figures(row.worst.published)} ± {row.worst.allowed:.2g}",
        )
        error = f"{row.worst.error:+.2g}"
    name = row.check if row.outcome == "passed" else f"**{row.outcome.upper()}** {row.check}"
    return name, row.source, str(row.count), ours, published, error


def markdown(found: list[CheckRow], day: str) -> str:
    """Return the table as Markdown, a heading for each file of tests."""
    counts = {word: sum(row.outcome == word for row in found) for word in ("passed", "failed", "skipped")}
    lines = [
        f"Made by `wetslip checks --write` on {day}: {len(found)} checks, {counts['passed']} held, "
        f"{counts['failed']} failed, {counts['skipped']} skipped, {sum(row.count for row in found)} comparisons. Of each "
        "check's comparisons the one nearest to its limit is shown; a check by bounds shows the two numbers.",
    ]
    for file in dict.fromkeys(row.file for row in found):
        lines += [
            "",
            f"`{file}`",
            "",
            "| check | what it says of its source | n | ours | published ± allowed | error |",
            "|---|---|--:|--:|--:|--:|",
        ]
        for row in found:
            if row.file == file:
                lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in _cells(row)) + " |")
    return "\n".join(lines) + "\n"


def long_results(folder: Path) -> str:
    """Return a line for each kept result of a long check, or nothing: the file's name and its first line."""
    kept = [
        (path, path.read_text(encoding="utf-8").strip().splitlines()) for path in sorted(folder.glob("*.md"))
    ]
    if not kept:
        return ""
    lines = [f"- `{path.name}`: {text[0].lstrip('# ') if text else 'empty'}" for path, text in kept]
    return "\n".join(
        ["", "Long checks, run by command, results kept in `tests/outside/results/`:", "", *lines, ""]
    )


def between_markers(document: str, start: str, end: str, inside: str) -> str:
    """Return the document with what stands between two marker lines replaced. Raises ValueError where one is missing."""
    before, first, rest = document.partition(start)
    _, second, after = rest.partition(end)
    if not first or not second:
        raise ValueError(f"the markers {start!r} and {end!r} are not both there")
    return f"{before}{start}\n\n{inside}\n{end}{after}"
