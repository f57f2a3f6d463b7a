"""What was done to a class, when, and from whose account: one line a command, for several instructors of one class."""

from __future__ import annotations

import getpass
import json
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.files import write_text
from instructor.layout import CLASS_FILE

FILE = "history.jsonl"
REMOVED = "(removed)"


def note(root: Path, command: str, given: Mapping[str, Any], outcome: int) -> None:
    """Add one line to the history of the class in a folder; a folder without a class is passed over."""
    if not (root / CLASS_FILE).is_file():
        return
    row = {
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        "by": _account(),
        "command": command,
        "with": {name: value if isinstance(value, list) else str(value) for name, value in given.items()},
        "outcome": outcome,
    }
    with (root / FILE).open("a", encoding="utf-8") as stream:
        stream.write(json.dumps(row, ensure_ascii=False) + "\n")


def rows(root: Path) -> Iterator[dict[str, Any]]:
    """Yield the history, oldest first; a line that is torn is passed over."""
    path = root / FILE
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines() if path.exists() else ():
        try:
            row = json.loads(line)
        except ValueError:
            continue
        if isinstance(row, dict):
            yield row


def forget(root: Path, learner: str) -> None:
    """Take a learner's id out of what commands were given."""
    kept = [{**row, "with": _without(row.get("with"), learner)} for row in rows(root)]
    if kept:
        write_text(root / FILE, "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in kept))


def _without(given: Any, learner: str) -> dict[str, Any]:
    def cleaned(value: Any) -> Any:
        if isinstance(value, list):
            return [cleaned(one) for one in value]
        return REMOVED if value == learner or str(value).endswith(f"={learner}") else value

    if not isinstance(given, dict):
        return {}
    if given.get("id") == learner:  # what else was given then is their name or address
        return {"id": REMOVED}
    return {name: cleaned(value) for name, value in given.items()}


def _account() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "unknown"
