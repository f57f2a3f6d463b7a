"""`python -m course.engine` compiles the kernel into the user's cache, gently, and says so where it takes a while."""

from __future__ import annotations

import os
import sys

from course.engine.compiled import all_warm, warm_all

WORDS = (
    "The solver is being made ready for this machine, once, beside your work (a minute or so); "
    "the course runs meanwhile, and quicker afterwards."
)


def main() -> int:
    """Return the exit code: 0 when the kernel is compiled, 1 when numpy will do its work."""
    if all_warm():
        return 0
    sys.stdout.write(WORDS + "\n")
    sys.stdout.flush()
    if hasattr(os, "nice"):
        os.nice(10)  # the page that is opening comes first
    return 0 if warm_all() else 1


if __name__ == "__main__":
    sys.exit(main())
