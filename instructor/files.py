"""Files written so that a kill, a full disk or a hostile folder loses nothing and leads nowhere else."""

from __future__ import annotations

import json
import os
import shutil
import stat
from pathlib import Path
from typing import Any
from uuid import uuid4

from instructor.errors import ClassError


def write_bytes(path: Path, content: bytes, durable: bool = True) -> None:
    """Write a file beside its place and move it there: it is old or new, never half.

    Parameters
    ----------
    path : its place; folders are made as needed
    content : what it holds
    durable : flush to the disk first; False for what one command makes again from other files
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.new")  # one name: what a kill leaves, the next run writes over
    try:
        _write(beside, content, durable)
        if path.exists():
            path.chmod(stat.S_IWUSR | stat.S_IRUSR)  # Windows does not replace a read-only file
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _write(path: Path, content: bytes, durable: bool) -> None:
    with path.open("wb") as stream:
        stream.write(content)
        if durable:
            stream.flush()
            os.fsync(stream.fileno())


def write_text(path: Path, content: str, durable: bool = True) -> None:
    """Write a text file as utf-8 with plain line ends; see `write_bytes`."""
    write_bytes(path, content.encode("utf-8"), durable)


def write_json(path: Path, content: Any, durable: bool = True) -> None:
    """Write one JSON document, readable by people; see `write_bytes`."""
    write_text(path, json.dumps(content, indent=1, ensure_ascii=False) + "\n", durable)


def read_json(path: Path, what: str) -> Any:
    """Read one JSON document of the class folder.

    Parameters
    ----------
    path : the file
    what : what it is, for the sentence, such as "the class file"

    Raises
    ------
    ClassError : it is missing or is not JSON
    """
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise ClassError(f"{what} '{path}' is missing.") from None
    except (ValueError, RecursionError):
        raise ClassError(f"{what} '{path}' is damaged: it is not JSON.") from None


def read_regular(path: Path, limit: int) -> bytes | None:
    """Read a file that somebody else made, following no link and opening no device.

    Parameters
    ----------
    path : the file
    limit : the largest size taken [bytes]

    Returns
    -------
    its content, or None when there is no such file

    Raises
    ------
    ClassError : it is a link, a folder or a device, or it is larger than the limit
    """
    try:
        kind = path.lstat().st_mode
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(kind):
        raise ClassError(f"'{path}' is not a plain file (a link, a folder or a device), and is not read.")
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags), "rb") as stream:
        content = stream.read(limit + 1)
    if len(content) > limit:
        size = path.stat().st_size
        raise ClassError(f"'{path}' holds {size} bytes, and at most {limit} are taken in.")
    return content


def remove_folder(folder: Path) -> None:
    """Delete a folder of ours, read-only files included; a missing one is fine."""
    if not folder.exists():
        return
    for path in folder.rglob("*"):
        if not path.is_symlink():
            path.chmod(0o700 if path.is_dir() else 0o600)  # nbgrader leaves its files read-only
    shutil.rmtree(folder)


def replace_folder(target: Path, files: dict[str, bytes], work: Path, durable: bool = True) -> None:
    """Put a folder with exactly these files in place of the one there, if any.

    Parameters
    ----------
    target : the folder that is to hold the files
    files : name -> content
    work : a folder on the same disk where it is made ready; a kill leaves rubbish only there
    durable : see `write_bytes`
    """
    fresh = work / f"{target.name}.{uuid4().hex[:8]}"
    for name, content in files.items():  # nobody looks there before it is moved
        path = fresh / name
        path.parent.mkdir(parents=True, exist_ok=True)
        _write(path, content, durable)
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.exists():
        target.rename(work / f"{target.name}.{uuid4().hex[:8]}.old")
    fresh.rename(target)
    for leftover in work.iterdir():
        remove_folder(leftover)
