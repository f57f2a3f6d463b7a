"""``python -m graders``: what the exercises say, which objectives they ask, how many mistakes they know."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from graders.exercises import MODULES, UnknownExercise, module_named
from graders.golden import module_prose
from graders.objectives import without_exercise, without_objective

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


def main(arguments: list[str] | None = None) -> int:
    """Run a command; return 0 when it went well."""
    parser = argparse.ArgumentParser(prog="python -m graders", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    golden = commands.add_parser(
        "golden", help="write the golden files of modules (all, or those named by number)"
    )
    golden.add_argument("modules", nargs="*")
    commands.add_parser("list", help="list exercises with their mistakes, and objectives left over")
    chosen = parser.parse_args(arguments)
    try:
        if chosen.command == "golden":
            _golden(chosen.modules)
        else:
            _counted()
    except UnknownExercise as error:
        print(error, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
