"""Links that lead somewhere, and pictures that say in words what they show."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote

from instructor.prose.texts import headings, passages

_LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)\s]+)[^)]*\)")
_PICTURE = re.compile(r"!\[([^\]]*)\]\(([^)\s]+)[^)]*\)")
_IMAGE_TAG = re.compile(r"<img\b[^>]*>", re.IGNORECASE)
_ALT = re.compile(r"\balt\s*=\s*(?:\"([^\"]*)\"|'([^']*)')", re.IGNORECASE)


def _outside(address: str) -> bool:
    return re.match(r"[a-z][a-z0-9+.-]*:", address, re.IGNORECASE) is not None


def _anchors(path: Path) -> set[str]:
    """Return the names under which a file's titles are reached, as Jupyter and as other readers of Markdown write them."""
    titles = [title for passage in passages(path) for title in headings(passage.text)]
    plain = {re.sub(r"[^\w\s-]", "", title).strip().lower().replace(" ", "-") for title in titles}
    return plain | {title.replace(" ", "-") for title in titles}


def bad_links(text: str, path: Path) -> Iterator[str]:
    """Yield a sentence for each relative link or picture of a passage that leads nowhere; ``path`` is the file it stands in."""
    for address in (*_LINK.findall(text), *(where for _, where in _PICTURE.findall(text))):
        if _outside(address):
            continue
        name, _, anchor = unquote(address).partition("#")
        target = path.parent / name if name else path
        if not target.exists():
            yield f"the link to {address} leads nowhere."
        elif anchor and target.suffix in (".ipynb", ".md") and anchor not in _anchors(target):
            yield f"{address} names a title that {target.name} does not have."


def wordless_pictures(text: str) -> Iterator[str]:
    """Yield a sentence for each picture of a passage that has no alternative text."""
    for words, address in _PICTURE.findall(text):
        if not words.strip():
            yield f"the picture {address} has no alternative text."
    for tag in _IMAGE_TAG.findall(text):
        found = _ALT.search(tag)
        if found is None or not "".join(filter(None, found.groups())).strip():
            yield f"the picture {tag[:60]} has no alternative text."
