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
from graders.simulated import confusion

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


def _class(count: int) -> None:
    found = confusion(count)
    print(f"{count} learners, {found.wrong} wrong answers: {100 * found.named:.1f} % named, ", end="")
    print(f"{100 * found.misnamed:.1f} % by another name")
    print("\n".join(found.table()))


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
    simulated.add_argument("count", nargs="?", type=int, default=1000)
    hunts = commands.add_parser("hunts", help="measure how good the reference hunter is")
    hunts.add_argument("count", type=int)
    hunts.add_argument("families", nargs="*")
    chosen = parser.parse_args(arguments)
    try:
        if chosen.command == "golden":
            _golden(chosen.modules)
        elif chosen.command == "class":
            _class(chosen.count)
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
