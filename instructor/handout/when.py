"""Times as an instructor writes them: local when no zone is named, kept in UTC."""

from __future__ import annotations

from datetime import UTC, datetime

from instructor.errors import ClassError

SHOWN = "%Y-%m-%d %H:%M"


def parse_time(text: str) -> datetime:
    """Read a time such as 2031-05-04 17:30, or with a zone 2031-05-04T17:30+02:00.

    Returns
    -------
    the time in UTC; without a zone it is taken as local to this machine

    Raises
    ------
    ClassError : it is no time, or a day without an hour
    """
    try:
        time = datetime.fromisoformat(text.strip())
        if ":" not in text:
            raise ValueError
        return time.astimezone(UTC)
    except (ValueError, OverflowError, OSError):
        raise ClassError(f"'{text}' is no time; write it as '2031-05-04 17:30'.") from None


def shown(time: datetime) -> str:
    """Return a time as people here read it, with its zone."""
    local = time.astimezone()
    return f"{local.strftime(SHOWN)} ({local.strftime('%z')})"
