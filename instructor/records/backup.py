"""A whole class in one file, and back again: roster, gradebook, work, boats, marks and pages."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.files import remove_folder, write_bytes
from instructor.intake.zips import Zip
from instructor.layout import CLASS_FILE, SCHEMA, ClassFolder, open_class

INDEX = "backup.json"
GRADEBOOK = "gradebook.db"
LEFT_OUT = {".work", ".lock", ".ipynb_checkpoints", "__pycache__"}
LARGEST_FILE = 4_000_000_000


def back_up(folder: ClassFolder, target: Path) -> int:
    """Write the class into a zip and return how many files it holds; the gradebook is copied whole, also in use.

    Raises
    ------
    ClassError : the file is there already, or lies in the class folder itself
    """
    path = target.expanduser().absolute()
    if path.exists():
        raise ClassError(f"'{path}' is there already; a backup is never written over another.")
    if folder.root in path.parents:
        raise ClassError(f"'{path}' lies in the class folder, and would be lost with it; name another place.")
    files: dict[str, str] = {}
    beside = path.with_name(f".{path.name}.new")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with zipfile.ZipFile(beside, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, content in _contents(folder):
                files[name] = hashlib.sha256(content).hexdigest()
                archive.writestr(f"class/{name}", content)
            archive.writestr(INDEX, json.dumps(_index(folder, files), indent=1, ensure_ascii=False))
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return len(files)


def _index(folder: ClassFolder, files: dict[str, str]) -> dict[str, Any]:
    from course import __version__

    now = datetime.now(UTC).isoformat(timespec="seconds")
    return {"schema": SCHEMA, "at": now, "cohort": folder.cohort, "wetslip": __version__, "sha256": files}


def _contents(folder: ClassFolder) -> Iterator[tuple[str, bytes]]:
    for path in sorted(folder.root.rglob("*")):
        inside = path.relative_to(folder.root)
        if LEFT_OUT & {*inside.parts} or path.is_symlink() or not path.is_file():
            continue
        if inside.as_posix().startswith(GRADEBOOK):
            if inside.as_posix() == GRADEBOOK:
                yield GRADEBOOK, _database(path)
            continue
        yield inside.as_posix(), path.read_bytes()


def _database(path: Path) -> bytes:
    """Return a gradebook as it stands between two writes, even while formgrader has it open."""
    try:
        with (
            closing(sqlite3.connect(path, timeout=10)) as source,
            closing(sqlite3.connect(":memory:")) as copy,
        ):
            source.backup(copy)
            return copy.serialize()
    except sqlite3.DatabaseError as problem:
        raise ClassError(f"The gradebook '{path}' could not be copied: {problem}.") from None


def restore(backup: Path, target: Path) -> ClassFolder:
    """Make a class folder from a backup; every file is compared with what was written then.

    Raises
    ------
    ClassError : it is no backup, is damaged, or the folder holds something; nothing is left half done
    """
    root = target.expanduser().absolute()
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise ClassError(f"'{root}' exists and is not an empty folder; nothing was changed.")
    archive, files = _opened(backup)
    begun = root.exists()
    try:
        for name in sorted(files, key=lambda name: name == CLASS_FILE):  # last: with it the class exists
            write_bytes(root / name, _checked(archive, name, files[name]))
    except BaseException:
        remove_folder(root)
        if begun:
            root.mkdir()
        raise
    finally:
        archive.close()
    return open_class(root)


def restore_gradebook(backup: Path, folder: ClassFolder) -> Path:
    """Put the gradebook of a backup in place of the class's own, and return where that one is kept.

    Raises
    ------
    ClassError : it is no backup of this class, or is damaged
    """
    archive, files = _opened(backup)
    try:
        cohort = json.loads(_checked(archive, CLASS_FILE, files[CLASS_FILE])).get("cohort")
        if cohort != folder.cohort:
            raise ClassError(f"'{backup}' is of the cohort {cohort!r}, and this class is '{folder.cohort}'.")
        content = _checked(archive, GRADEBOOK, files[GRADEBOOK])
    except KeyError:
        raise ClassError(f"'{backup}' holds no gradebook.") from None
    finally:
        archive.close()
    own = folder.root / GRADEBOOK
    kept = folder.root / f"gradebook-before-{datetime.now(UTC):%Y%m%dT%H%M%SZ}.db"
    if own.exists():
        write_bytes(kept, own.read_bytes())
    write_bytes(own, content)
    return kept


def _opened(backup: Path) -> tuple[Zip, dict[str, str]]:
    if not backup.is_file():
        raise ClassError(f"There is no file '{backup}'.")
    archive = Zip(backup, str(backup))
    try:
        content = archive.read(INDEX, LARGEST_FILE)
        files = json.loads(content or b"")["sha256"]
        known = {str(name): str(digest) for name, digest in files.items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        archive.close()
        raise ClassError(f"'{backup}' is no backup of a class.") from None
    except ClassError:
        archive.close()
        raise
    if archive.refused or CLASS_FILE not in known or any(_leads_out(name) for name in known):
        archive.close()
        raise ClassError(f"'{backup}' is no backup of a class: it holds what no backup does.")
    return archive, known


def _leads_out(name: str) -> bool:
    parts = name.replace("\\", "/").split("/")
    return name.startswith(("/", "\\")) or ".." in parts or ":" in parts[0]


def _checked(archive: Zip, name: str, digest: str) -> bytes:
    content = archive.read(f"class/{name}", LARGEST_FILE)
    if content is None or hashlib.sha256(content).hexdigest() != digest:
        raise ClassError(f"'{name}' in '{archive.name}' is not what was backed up, so nothing was restored.")
    return content
