"""``python -m graders``: what the exercises say, which objectives they ask, how many mistakes they know."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from course.boats.hunts import HUNTS
from graders.exercises import MODULES, UnknownExercise, module_named
from graders.golden import module_prose
from graders.hunt.quality import quality
from graders.objectives import without_exercise, without_objective
from graders.simulated_class import report, sit

GOLDEN = Path(__file__).resolve().parents[1] / "tests" / "graders" / "golden"


def _module(name: str) -> str:
    found = [module for module in MODULES if module.startswith(name)]
    if len(found) != 1:
        module_named(name)
    return found[0]


def _golden(modules: list[str]) -> None:
    GOLDEN.mkdir(parents=True, exist_ok=True)
    for name in modules or list(MODULES):
        module = _module(name)
        path = GOLDEN / f"module_{module[:2]}.md"
        path.write_text(module_prose(module), encoding="utf-8", newline="\n")
        print(path)


def _counted() -> None:
    total = 0
    for module, exercises in MODULES.items():
        for exercise in exercises:
            total += len(exercise.mistakes)
            print(f"{exercise.id} {exercise.kind:9} {len(exercise.mistakes):3} mistakes  {exercise.title}")
        print(f"{module}: {len(exercises)} exercises")
    print(f"{sum(len(e) for e in MODULES.values())} exercises, {total} mistakes")
    print("objectives without exercise:", ", ".join(without_exercise()) or "none")
    print("exercises without objective:", ", ".join(without_objective()) or "none")


def _class(learners: int, at_bench: int, modules: list[str]) -> None:
    chosen = [exercise for name in modules or list(MODULES) for exercise in MODULES[_module(name)]]
    for place, bench, count in (("on paper", False, learners), ("at the bench", True, at_bench)):
        exercises = [exercise for exercise in chosen if exercise.bench == bench]
        if exercises and count:
            print(f"## {len(exercises)} exercises {place}, {count} learners each\n", flush=True)
            print(report(sit(exercises, count)), flush=True)


def _hunts(count: int, families: list[str]) -> None:
    for family in families or list(HUNTS):
        found = quality(family, count)
        print("\n    ".join((str(found), *found.wrong)), flush=True)


def main(arguments: list[str] | None = None) -> int:
    """Run a command; return 0 when it went well."""
    parser = argparse.ArgumentParser(prog="python -m graders", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    golden = commands.add_parser(
        "golden", help="write the golden files of modules (all, or those named by number)"
    )
    golden.add_argument("modules", nargs="*")
    commands.add_parser("list", help="list exercises with their mistakes, and objectives left over")
    simulated = commands.add_parser("class", help="mark a simulated class and print what was taken for what")
    simulated.add_argument(
        "--learners", type=int, default=1000, help="in each exercise on paper (default: 1000)"
    )
    simulated.add_argument(
        "--bench", type=int, default=10, help="in each exercise at the bench (default: 10)"
    )
    simulated.add_argument("--module", action="append", default=[], help="only this module, by its number")
    hunts = commands.add_parser("hunts", help="measure how good the reference hunter is")
    hunts.add_argument("count", type=int)
    hunts.add_argument("families", nargs="*")
    chosen = parser.parse_args(arguments)
    try:
        if chosen.command == "golden":
            _golden(chosen.modules)
        elif chosen.command == "class":
            _class(chosen.learners, chosen.bench, chosen.module)
        elif chosen.command == "hunts":
            _hunts(chosen.count, chosen.families)
        else:
            _counted()
    except UnknownExercise as error:
        print(error, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
