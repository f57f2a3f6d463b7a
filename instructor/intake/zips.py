"""Zips that somebody else made: looked into without unpacking, so that nothing in one is ever written anywhere."""

from __future__ import annotations

import io
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path, PurePosixPath
from typing import Any

from instructor.errors import ClassError

MAXIMUM_ENTRIES = 100_000
MAXIMUM_NESTED_BYTES = 300_000_000  # a learner's own zip within a zip is held in memory
ENCRYPTED = 0x1


class Zip:
    """One zip: its entries by path, and the paths that are not to be touched with the reason for each.

    Parameters
    ----------
    source : the file, or its bytes when it lay in another zip
    name : how it is called in sentences

    Raises
    ------
    ClassError : it is no zip, or it has more entries than any class
    """

    def __init__(self, source: Path | bytes, name: str) -> None:
        self.name = name
        try:
            self._archive = zipfile.ZipFile(io.BytesIO(source) if isinstance(source, bytes) else source)
        except (zipfile.BadZipFile, ValueError, NotImplementedError):
            raise ClassError(f"'{name}' is not a zip that can be read; it may be cut short.") from None
        entries = self._archive.infolist()
        if len(entries) > MAXIMUM_ENTRIES:
            self.close()
            raise ClassError(
                f"'{name}' holds {len(entries)} entries, and at most {MAXIMUM_ENTRIES} are taken."
            )
        self.refused: dict[str, str] = {}
        self._entries: dict[str, zipfile.ZipInfo] = {}
        for entry in entries:
            reason = _unfit(entry)
            if reason:
                self.refused[entry.filename] = reason
            elif entry.filename in self._entries:
                self.refused[entry.filename] = "is in it twice"
            elif not entry.is_dir():
                self._entries[entry.filename] = entry

    @property
    def paths(self) -> tuple[str, ...]:
        """The files in it that may be read."""
        return tuple(path for path in self._entries if path not in self.refused)

    def read(self, path: str, limit: int) -> bytes | None:
        """Return a file's bytes, or None when there is none.

        Raises
        ------
        ClassError : it holds more than `limit` bytes, whatever size it claims, or it is damaged
        """
        entry = self._entries.get(path)
        if entry is None or path in self.refused:
            return None
        if entry.file_size > limit:
            raise ClassError(
                f"'{path}' in '{self.name}' holds {entry.file_size} bytes, and at most {limit} are taken in."
            )
        content = self._of(entry, lambda stream: stream.read(limit + 1))
        if len(content) > limit:
            raise ClassError(
                f"'{path}' in '{self.name}' holds more than the {limit} bytes that are taken in."
            )
        return content

    def _of(self, entry: zipfile.ZipInfo, reading: Callable[[Any], bytes]) -> bytes:
        try:
            with self._archive.open(entry) as stream:
                return reading(stream)
        except Exception as problem:  # a damaged entry raises whatever its decompressor does
            raise ClassError(
                f"'{entry.filename}' in '{self.name}' is damaged and cannot be unpacked ({type(problem).__name__})."
            ) from None

    def close(self) -> None:
        """Let go of the file."""
        self._archive.close()


def _unfit(entry: zipfile.ZipInfo) -> str:
    """Return why an entry is not touched, or nothing."""
    path = PurePosixPath(entry.filename)
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if path.is_absolute() or "\\" in entry.filename or ":" in entry.filename.split("/")[0]:
        return "has a path from the top of a disk"
    if ".." in path.parts:
        return "has a path that leads out of its folder"
    if kind == stat.S_IFLNK:
        return "is a link"
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        return "is a device"
    if entry.flag_bits & ENCRYPTED:
        return "is locked with a password"
    return ""
