"""What can go wrong for an instructor, always said in one sentence."""

from __future__ import annotations

import errno
from pathlib import Path


class ClassError(Exception):
    """A sentence for the instructor: the thing, its value, and what is allowed or what to do."""


_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EACCES: "this user may not write or read there",
    errno.EPERM: "this user may not write or read there",
    errno.EROFS: "the disk is read-only",
    errno.ENOENT: "it is not there",
    errno.ENOTDIR: "a file stands where a folder is needed",
    errno.ENAMETOOLONG: "the name is too long for this disk",
}


def sentence_for(problem: OSError) -> str:
    """Turn a refusal of the operating system into one sentence that names the file.

    Parameters
    ----------
    problem : the exception as it was raised

    Returns
    -------
    one sentence; nothing that was there before has been lost, since every file is written beside and moved.
    """
    where = f"'{Path(str(problem.filename))}'" if problem.filename else "a file of the class"
    reason = _REASONS.get(problem.errno or 0, problem.strerror or str(problem))
    return f"{where} could not be read or written: {reason}; what was there before is unchanged."
