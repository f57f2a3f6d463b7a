"""The learner's desk: their folder, and the settings with which JupyterLab opens on it.

Everything Jupyter would read or write elsewhere (the user's own settings, those of other packages, the
machine's) is kept out, and nothing of ours leaks into it: lasting things lie in the folder's own ".desk",
passing ones in a scratch folder that goes when the desk is closed.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import webbrowser
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from course import desk_settings, pages
from course.learner import FILE, Learner, begin_learner, new_self_learner, read_learner, write_learner

MODULES = Path(__file__).parent / "modules"
FIRST_PAGE = "00_before_you_start/00_before_you_start.ipynb"
HOST = "127.0.0.1"
PATIENCE_S = 60.0
SERVER = "from course.quickly import quickly; quickly('jupyter_server.serverapp').launch_new_instance()"

# What a learner's work is kept in; such a file among the modules would be somebody's, and is never handed on.
_WORK = {"answers.jsonl", "logbook.jsonl", "learner.json", "__pycache__", ".ipynb_checkpoints"}


class DeskError(ValueError):
    """The desk cannot be laid out or opened; the message is one sentence to show."""


@dataclass(frozen=True)
class LaidOut:
    """What `lay_out` did: how many files it copied, and how many it found there and left alone."""

    copied: int
    kept: int


def settle(folder: Path, learner: Learner | None) -> Learner:
    """Make a folder a learner's, or find that it is theirs already, and return who they are.

    Parameters
    ----------
    folder : Path
        New, empty, or a learner's.
    learner : Learner or None
        None: whoever the folder belongs to, or else a learner of no class.

    Raises
    ------
    DeskError
        If the folder's path leads to a file, or the folder holds other things and no learner.json.
    LearnerError
        If the folder belongs to another learner, or its learner.json cannot be read.
    OSError
        If the folder cannot be made or written to.
    """
    if folder.exists() and not folder.is_dir():
        raise DeskError(f"{folder} is a file, not a folder; give the course a folder of its own.")
    others = folder.exists() and any(not path.name.startswith(".") for path in folder.iterdir())
    if (
        others and not (folder / FILE).exists()
    ):  # looked for last: another start may be writing it this moment
        raise DeskError(
            f"{folder} holds other files and no {FILE}; give a new or empty folder, or a learner's."
        )
    folder.mkdir(parents=True, exist_ok=True)
    if learner is None:
        begin_learner(folder, new_self_learner())
        return read_learner(folder)
    write_learner(folder, learner)
    return learner


def lay_out(folder: Path, source: Path = MODULES) -> LaidOut:
    """Copy the modules into a learner's folder; a file that is there already is never touched.

    Raises
    ------
    OSError
        If the folder cannot be written to; a file is copied whole or not at all.
    """
    copied = kept = 0
    for path in _course_files(source):
        target = folder / path.relative_to(source)
        if target.exists():
            kept += 1
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        _copy_whole(path, target)
        copied += 1
    return LaidOut(copied, kept)


def _course_files(source: Path) -> Iterator[Path]:
    for path in sorted(source.rglob("*")):
        if path.is_file() and not _WORK.intersection(path.relative_to(source).parts):
            yield path


def _copy_whole(path: Path, target: Path) -> None:
    part = target.with_name(f"{target.name}.{os.getpid()}.part")  # the course may be opened twice at once
    try:
        shutil.copyfile(path, part)
        part.replace(target)
    except OSError as error:
        error.filename = error.filename or str(target)  # a full disk does not say which file it was
        raise
    finally:
        part.unlink(missing_ok=True)


def require_free(port: int) -> None:
    """Refuse a port that cannot be listened on.

    Raises
    ------
    DeskError
        If it is taken or not allowed.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as plug:
        if os.name == "posix":  # else a port closed a moment ago counts as taken
            plug.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            plug.bind((HOST, port))
        except (OSError, OverflowError) as error:
            raise DeskError(
                f"Port {port} on {HOST} is taken or not allowed; without --port a free one is found."
            ) from error


def first_page(folder: Path, as_pages: bool = False) -> str:
    """Return where a browser begins: the list of modules, the first page, or the folder's listing without one."""
    if as_pages:
        return pages.LIST
    return f"lab/tree/{quote(FIRST_PAGE)}" if (folder / FIRST_PAGE).is_file() else "lab"


def open_desk(
    folder: Path, *, browser: bool, port: int | None, say: Callable[[str], None], as_pages: bool = False
) -> None:
    """Open JupyterLab, or pages without code, on a folder that is laid out, and stay until it is closed.

    Parameters
    ----------
    folder : Path
        A learner's, as `settle` and `lay_out` leave it.
    browser : bool
        Whether to open the first page in the user's browser.
    port : int or None
        None: the first free one from 8888.
    say : callable
        Told the address, and what else there is to say.
    as_pages : bool
        Whether to show the modules as pages without code.

    Raises
    ------
    DeskError
        If the port is taken, or JupyterLab does not start.
    OSError
        If the folder's settings cannot be written.
    """
    if port is not None:
        require_free(port)
    token = secrets.token_hex(16)
    scratch = tempfile.TemporaryDirectory(prefix="wetslip-", ignore_cleanup_errors=True)
    with scratch as name:
        settings = desk_settings.write(folder, Path(name), host=HOST, port=port, as_pages=as_pages)
        environment = desk_settings.environment(os.environ, folder, Path(name)) | {"JUPYTER_TOKEN": token}
        log = folder / desk_settings.HIDDEN / desk_settings.LOG
        server = _start(settings, Path(name) if as_pages else folder, environment, log)
        processes = [server]
        try:
            _heed_signals()
            port = _wait_for_port(server, desk_settings.runtime(Path(name)), log)
            url = f"http://{HOST}:{port}/{first_page(folder, as_pages)}?token={token}"
            say(f"The course is open at\n\n    {url}\n")
            say("Leave this window open; Ctrl-C here closes the course.")
            if browser and not webbrowser.open(url):
                say("No browser could be started from here; open the address above in one.")
            processes.append(_compile_beside(environment))
            server.wait()
        except KeyboardInterrupt:
            say("\nClosing the course; your work is on disk.")
        finally:
            for process in processes:
                _stop(process)


def _compile_beside(environment: Mapping[str, str]) -> subprocess.Popen[bytes]:
    """Let the engine compile its kernel where that is still to do: gently, saying so, and beside the open page."""
    command = [sys.executable, "-P", "-m", "course.engine"]
    return subprocess.Popen(
        command, env=dict(environment), stdin=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def _heed_signals() -> None:
    """Close the course as Ctrl-C does, however this process is asked to end, and leave no server behind."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):  # SIGHUP: the window was closed; not on every system
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.default_int_handler)


def _start(settings: Path, where: Path, environment: Mapping[str, str], log: Path) -> subprocess.Popen[bytes]:
    # -P: a file in the learner's folder must not pass for a library.
    command = [sys.executable, "-P", "-c", SERVER, f"--config={settings}"]
    with log.open("wb") as words:
        return subprocess.Popen(
            command, cwd=where, env=dict(environment), stdin=subprocess.DEVNULL, stdout=words, stderr=words
        )


def _wait_for_port(server: subprocess.Popen[bytes], runtime: Path, log: Path) -> int:
    """Return the port the server took; it writes it down in its runtime folder once it listens."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        for path in runtime.glob("jpserver-*.json"):
            try:
                return int(json.loads(path.read_text(encoding="utf-8"))["port"])
            except (ValueError, KeyError):  # half written; again in a moment
                continue
        if server.poll() is not None:
            raise DeskError(f"JupyterLab did not start; what it said is in {log}.")
        time.sleep(0.05)
    raise DeskError(f"JupyterLab did not answer within {PATIENCE_S:.0f} s; what it said is in {log}.")


def _stop(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is not None:
        return
    process.terminate()
    try:
        process.wait(timeout=10)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
