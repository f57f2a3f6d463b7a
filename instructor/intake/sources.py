"""What a class hands in, whatever it lies in: one source a learner, be it a folder, a zip or a part of a zip."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Protocol

from instructor.errors import ClassError
from instructor.files import read_regular
from instructor.intake.zips import MAXIMUM_NESTED_BYTES, Zip

DEEPEST = 5  # folders within a learner's folder that are looked into
MOST_FILES = 20_000
PASSED_OVER = {
    "__MACOSX",
    ".ipynb_checkpoints",
    "__pycache__",
    ".git",
    ".Trash",
}  # what systems put there themselves
LEARNER_FILE = "learner.json"


class Source(Protocol):
    """One learner's handed-in work, as it came. `refused` holds paths not touched, with the reason."""

    name: str

    @property
    def refused(self) -> dict[str, str]:
        """Return what in it is not touched, and why."""
        ...

    def paths(self) -> tuple[str, ...]:
        """Return the files in it, with '/' between folders."""
        ...

    def read(self, path: str, limit: int) -> bytes | None:
        """Return a file's bytes, None when there is none; ClassError when it is too large or no plain file."""
        ...


class FolderSource:
    """A folder on this machine; links in it are never followed."""

    def __init__(self, path: Path, name: str = "") -> None:
        self.path, self.name = path, name or path.name

    @property
    def refused(self) -> dict[str, str]:
        """Return the links among its folders."""
        if self.path.is_symlink():
            return {"": "is a link to another folder"}
        return {
            path.relative_to(self.path).as_posix(): "is a link"
            for path in self.path.iterdir()
            if path.is_symlink()
        }

    def paths(self) -> tuple[str, ...]:
        """Return the files in it and in its folders, five deep."""
        found: list[str] = []
        for place, folders, files in os.walk(self.path):  # does not go into links
            inside = Path(place).relative_to(self.path)
            folders[:] = sorted(
                f for f in folders if f not in PASSED_OVER and len(inside.parts) + 1 < DEEPEST
            )
            found += [(inside / file).as_posix() for file in sorted(files)]
            if len(found) > MOST_FILES:
                raise ClassError(
                    f"'{self.name}' holds more than {MOST_FILES} files; hand in only the module's."
                )
        return tuple(found)

    def read(self, path: str, limit: int) -> bytes | None:
        """Return a file's bytes; see `files.read_regular`."""
        return read_regular(self.path / path, limit)


class ZipSource:
    """A zip, or one folder of a zip."""

    def __init__(self, archive: Zip, name: str, within: str = "") -> None:
        self.archive, self.name, self._within = archive, name, within

    @property
    def refused(self) -> dict[str, str]:
        """Return what lies in this part of the zip and is not touched."""
        return {path: why for path, why in self.archive.refused.items() if path.startswith(self._within)}

    def paths(self) -> tuple[str, ...]:
        """Return the files in this part of the zip."""
        own = (
            path.removeprefix(self._within) for path in self.archive.paths if path.startswith(self._within)
        )
        return tuple(path for path in own if not PASSED_OVER & {*path.split("/")})

    def read(self, path: str, limit: int) -> bytes | None:
        """Return a file's bytes; see `zips.Zip.read`."""
        return self.archive.read(self._within + path, limit)


def sources_in(place: Path) -> tuple[list[Source], list[str]]:
    """Return one source a learner, in order of name, and a sentence for whatever else lies there and is not read.

    Parameters
    ----------
    place : a folder of learners' folders or zips, or a zip of them as mail and learning platforms make it

    Raises
    ------
    ClassError : there is nothing of the kind
    """
    root = place.expanduser().absolute()
    if root.is_file() and root.suffix.casefold() == ".zip":
        found, problems = _in_zip(Zip(root, root.name), root.stem)
    elif root.is_dir():
        found, problems = _in_folder(root)
    else:
        raise ClassError(f"There is no folder '{root}' to take in.")
    if not found and not problems:
        raise ClassError(f"'{root}' holds no learners' folders.")
    return found, problems


def _in_folder(root: Path) -> tuple[list[Source], list[str]]:
    if (root / LEARNER_FILE).exists():
        raise ClassError(
            f"'{root}' is a learner's own folder; name the folder that holds the learners' folders."
        )
    found: list[Source] = []
    problems: list[str] = []
    for path in sorted(root.iterdir()):
        if path.name.startswith(".") or path.name in PASSED_OVER:
            continue
        if path.is_dir():
            found.append(FolderSource(path))
        elif path.suffix.casefold() == ".zip" and path.is_file() and not path.is_symlink():
            try:
                found.append(ZipSource(Zip(path, path.name), path.stem))
            except ClassError as problem:
                problems.append(str(problem))
    return found, problems


def _in_zip(archive: Zip, stem: str) -> tuple[list[Source], list[str]]:
    within = _common(archive)
    top = {path.removeprefix(within).split("/")[0] for path in archive.paths}
    if LEARNER_FILE in top:
        return [ZipSource(archive, within.rstrip("/").split("/")[-1] or stem, within)], []
    found: list[Source] = []
    problems: list[str] = []
    for name in sorted(top - PASSED_OVER):
        inside = f"{within}{name}/"
        if any(path.startswith(inside) for path in archive.paths):
            found.append(ZipSource(archive, name, inside))
        elif name.casefold().endswith(".zip"):
            try:
                found.append(_nested(archive, within + name))
            except ClassError as problem:
                problems.append(str(problem))
    folders = {source.name for source in found}
    for path, why in archive.refused.items():
        if path.removeprefix(within).split("/")[0] not in folders:
            problems.append(f"'{path}' in '{archive.name}' {why}, and is not read.")
    return found, problems


def _nested(archive: Zip, path: str) -> Source:
    name = PurePosixPath(path)
    content = archive.read(path, MAXIMUM_NESTED_BYTES)
    return ZipSource(Zip(content or b"", name.name), name.stem)


def _common(archive: Zip) -> str:
    """Return the folder that a platform wrapped round all learners' folders, or nothing."""
    paths = [path.split("/") for path in archive.paths if path.split("/")[0] not in PASSED_OVER]
    if not paths or len({path[0] for path in paths}) != 1 or any(len(path) < 3 for path in paths):
        return ""
    return f"{paths[0][0]}/" if len({path[1] for path in paths}) > 1 or not _ones_own(paths) else ""


def _ones_own(paths: list[list[str]]) -> bool:
    return any(path[1] in (LEARNER_FILE, "answers.jsonl", "logbook.jsonl") for path in paths)


def unwrapped(source: Source) -> Source:
    """Return the zip that a learner put in their folder in place of the work itself, or the source as it is.

    Raises
    ------
    ClassError : there are several zips, or the one there is cannot be read
    """
    zips = [path for path in source.paths() if path.casefold().endswith(".zip")]
    if not zips:
        return source
    if len(zips) > 1:
        raise ClassError(f"'{source.name}' holds {len(zips)} zips, and it cannot be told which one is meant.")
    content = source.read(zips[0], MAXIMUM_NESTED_BYTES)
    return ZipSource(Zip(content or b"", f"{source.name}/{zips[0]}"), source.name)


def parents(path: str) -> Iterator[str]:
    """Yield the folders above a file of a source, nearest first, each with its '/' or '' for the top."""
    parts = path.split("/")[:-1]
    for count in range(len(parts), -1, -1):
        yield "".join(f"{part}/" for part in parts[:count])
