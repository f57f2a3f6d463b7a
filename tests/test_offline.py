"""The guard that keeps every test off the network works, here and in child processes."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

import pytest

OUTSIDE = "192.0.2.1"  # never in use: reserved for documentation by RFC 5737
REFUSED = "nothing here may leave this machine"


def forgive(offline: Path, host: str) -> None:
    """Take the attempt out of the record that would otherwise fail the test, having seen it there."""
    assert host in offline.read_text(encoding="utf-8")
    offline.unlink()


def test_an_address_outside_is_refused(offline: Path) -> None:
    with pytest.raises(OSError, match=REFUSED):
        socket.create_connection((OUTSIDE, 80), timeout=1)
    forgive(offline, OUTSIDE)


def test_a_name_is_not_looked_up(offline: Path) -> None:
    with pytest.raises(OSError, match=REFUSED):
        socket.getaddrinfo("example.org", 443)
    forgive(offline, "example.org")


def test_a_datagram_is_refused(offline: Path) -> None:
    plug = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    with plug, pytest.raises(OSError, match=REFUSED):
        plug.sendto(b"x", (OUTSIDE, 9))
    forgive(offline, OUTSIDE)


def test_a_child_process_is_held_too(offline: Path) -> None:
    attempt = f"import socket; socket.create_connection(({OUTSIDE!r}, 80), timeout=1)"
    child = subprocess.run(
        [sys.executable, "-c", attempt], capture_output=True, encoding="utf-8", check=False
    )
    assert child.returncode != 0
    assert REFUSED in child.stderr
    forgive(offline, OUTSIDE)


def test_loopback_is_free() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        socket.create_connection(server.getsockname(), timeout=5).close()
