"""Refuse every connection and look-up that leaves this machine.

Python imports a module of this name at start-up when its folder is on PYTHONPATH; tests/conftest.py puts it
there, so that child processes (the learner's desk, its kernels) are held to the same rule as the tests
themselves. An audit hook sees every socket of the interpreter, however it was made, and cannot be taken off.
"""

from __future__ import annotations

import ipaddress
import os
import sys
from pathlib import Path
from typing import Any

LOG_VARIABLE = "WETSLIP_OFFLINE_LOG"


class NetworkBlockedError(OSError):
    """Something under test tried to leave this machine."""


def is_loopback(host: object) -> bool:
    """Tell whether a host as given to a socket call stays on this machine; names are never looked up."""
    if isinstance(host, bytes):
        host = host.decode("ascii", "replace")
    if host is None or host in ("", "localhost", "0.0.0.0", "::"):
        return True
    try:
        return ipaddress.ip_address(str(host).split("%")[0]).is_loopback
    except ValueError:
        return False


def watch(event: str, arguments: tuple[Any, ...]) -> None:
    """Audit hook: write down a host that is not loopback and raise `NetworkBlockedError`."""
    if event in ("socket.connect", "socket.sendto", "socket.sendmsg"):
        address = arguments[1]
        if not isinstance(address, tuple):  # a Unix socket's path, or no address at all
            return
        host = address[0]
    elif event in ("socket.getaddrinfo", "socket.gethostbyname"):
        host = arguments[0]
    else:
        return
    if is_loopback(host):
        return
    sentence = f"{event} to {host!r} was blocked: nothing here may leave this machine"
    log = os.environ.get(LOG_VARIABLE)
    if log:
        with Path(log).open("a", encoding="utf-8") as stream:
            stream.write(f"{sentence} (process {os.getpid()})\n")
    raise NetworkBlockedError(sentence)


sys.addaudithook(watch)
