"""Run the long comparisons with finite elements and keep what they gave, dated.

python -m tests.outside.fem.report [sphere] [barge]     (from the top of the checkout; writes tests/outside/results/)
"""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

from . import test_axisymmetric as sphere
from . import test_barge as barge
from .axisymmetric import solve_by_fem
from .panels_of_sphere import solve_by_panels

RESULTS = Path(__file__).parents[1] / "results"
WATERS = ("sea water", "a thirtieth of its conductivity")


def heading(title: str) -> Iterator[str]:
    yield f"# {title}"
    yield ""
    yield f"{datetime.datetime.now(datetime.UTC):%Y-%m-%d}, scikit-fem {version('scikit-fem')},"
    yield f"numpy {version('numpy')}, scipy {version('scipy')}. Made by `python -m tests.outside.fem.report`."
    yield ""


def barge_page() -> Iterator[str]:
    yield from heading("Barge with three flush plates: engine and finite elements")
    both = barge.run_both()
    for water, name in enumerate(WATERS):
        yield f"## In {name}"
        yield ""
        yield "| method | mesh | unknowns | zinc, A | steel, A | bronze, A | bus, V SHE |"
        yield "|---|--:|--:|--:|--:|--:|--:|"
        for method, meshes, answers in (
            ("finite elements", barge.BRICKS, both.bricks),
            ("engine", barge.PANELS, both.panels),
        ):
            for n, row in zip(meshes, answers, strict=True):
                a = row[water]
                amps = " | ".join(f"{v:.7f}" for v in a.current)
                yield f"| {method} | {n} | {a.unknowns} | {amps} | {a.bus:.7f} |"
        fem, ours = barge.numbers(both.bricks, water), barge.numbers(both.panels, water)
        ends = (
            barge.limit(fem, barge.BRICKS, barge.BRICK_ORDER),
            barge.limit(ours, barge.PANELS, barge.PANEL_ORDER),
        )
        yield ""
        for words, a, b in (("Finest meshes", fem[-1], ours[-1]), ("Limits by Richardson", *ends)):
            yield (
                f"{words}: zinc current {abs(b[0] / a[0] - 1):.1e} apart, bus {1e3 * abs(b[1] - a[1]):.3f} mV."
            )
            yield ""


def sphere_page() -> Iterator[str]:
    yield from heading("Banded sphere: engine and axisymmetric finite elements")
    yield "| water | finite elements' last step, current | bus, mV | engine off by, current | bus, mV |"
    yield "|---|--:|--:|--:|--:|"
    laws = sphere.laws(sphere.COUPLES[0])
    for thinner in (1, 30, 100):
        kappa = sphere.SEA.conductivity / thinner
        middle, fine = (solve_by_fem(sphere.BANDS, laws, kappa, n) for n in (36, 54))
        step = sphere.apart(middle, fine)
        ours = sphere.apart(solve_by_panels(sphere.BANDS, laws, kappa, 24, 36), fine)
        figures = " | ".join(f"{a:.1e} | {1e3 * b:.4f}" for a, b in (step, ours))
        yield f"| sea conductivity / {thinner} | {figures} |"
    yield ""


def main() -> None:
    pages = {"sphere": sphere_page, "barge": barge_page}
    for name in sys.argv[1:] or pages:
        page = pages[name]
        text = "\n".join(page()).rstrip("\n") + "\n"
        (RESULTS / f"field_{name}.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
