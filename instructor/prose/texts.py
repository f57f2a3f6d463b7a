"""Reading notebooks and Markdown files as passages of text, and plain words out of Markdown."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

_CODE = re.compile(r"```.*?```|`[^`\n]*`", re.DOTALL)
_ADDRESS = re.compile(r"\]\([^)]*\)|<[^>\n]*>|https?://\S+")
_NAMES = re.compile(
    r"\S*_\S*|\S*\d\S*|\S+\.(?:md|py|ipynb|jsonl|yaml|json|csv)\b"
)  # program names, numbers, files


class Passage(NamedTuple):
    """A piece of Markdown, and where it stands."""

    where: str
    text: str


def passages(path: Path) -> Iterator[Passage]:
    """Yield the text cells of a notebook, or a Markdown file as a whole. Raises ValueError for a notebook that is none."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".ipynb":
        yield Passage("text", text)
        return
    cells = json.loads(text)["cells"]
    for ordinal, cell in enumerate(cells, start=1):
        if cell["cell_type"] == "markdown":
            source = cell["source"]
            yield Passage(f"cell {ordinal}", source if isinstance(source, str) else "".join(source))


def plain(markdown: str) -> str:
    """Return Markdown without code, addresses, names of files and of things in programs, and numbers."""
    return _NAMES.sub(" ", _ADDRESS.sub(" ", _CODE.sub(" ", markdown)))


def headings(markdown: str) -> Iterator[str]:
    """Yield the titles of a passage."""
    for line in markdown.splitlines():
        if line.startswith("#"):
            yield line.lstrip("#").strip()
