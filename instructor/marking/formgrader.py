"""`wetslip class open`: nbgrader's own formgrader on the class folder, with our settings and nothing else."""

from __future__ import annotations

import os
import secrets
import socket
from typing import Any
from urllib.parse import urlencode

from course.quickly import quickly
from instructor.errors import ClassError
from instructor.layout import ClassFolder
from instructor.marking.gradebook import put_tools_on_path
from instructor.progress import doing

EXTENSION = "nbgrader.server_extensions.formgrader"
HIGHEST_PORT = 65535
LOOPBACK = "127.0.0.1"


def open_formgrader(folder: ClassFolder, port: int | None, browser: bool) -> None:
    """Serve formgrader on this machine only, under a token, until it is interrupted.

    Parameters
    ----------
    folder : the class
    port : the port to use, or None for the first free one from 8888
    browser : open a browser on it

    Raises
    ------
    ClassError : the port is taken or is none

    The user's own Jupyter settings and other packages' server extensions are kept out, so that one of them
    cannot break the page; nothing is installed or enabled for other programs.
    """
    if port is not None:
        _refuse_port(port)
    doing("Opening formgrader")
    quickly("nbformat")  # before the server imports it the slow way
    put_tools_on_path()
    os.environ["JUPYTER_NO_CONFIG"] = "1"
    os.chdir(folder.root)  # formgrader reads nbgrader_config.py from the current folder
    server = _server(folder, port, browser)
    token = urlencode({"token": server.identity_provider.token})
    print(f"Formgrader: http://{LOOPBACK}:{server.port}/formgrader?{token}", flush=True)
    print("Stop it with Ctrl-C.", flush=True)
    server.start()


def _refuse_port(port: int) -> None:
    if not 1 <= port <= HIGHEST_PORT:
        raise ClassError(f"The port {port} is not a number from 1 to {HIGHEST_PORT}.")
    try:
        socket.create_server((LOOPBACK, port)).close()
    except OSError:
        raise ClassError(f"The port {port} is in use; name another with --port, or leave it out.") from None


def _server(folder: ClassFolder, port: int | None, browser: bool) -> Any:
    """Return the server, bound to its port and ready to start."""
    from jupyter_server.serverapp import ServerApp
    from traitlets.config import Config

    config = Config()
    config.ServerApp.root_dir = str(folder.root)
    config.ServerApp.jpserver_extensions = {EXTENSION: True}
    config.ServerApp.default_url = "/formgrader"
    config.ServerApp.ip = LOOPBACK
    config.ServerApp.open_browser = browser
    config.ServerApp.allow_root = True  # in a container one is root; it listens on this machine only
    config.ServerApp.log_level = "WARN"
    config.IdentityProvider.token = secrets.token_hex(24)  # given by us, so that the server logs none of it
    if port is not None:
        config.ServerApp.port = port
        config.ServerApp.port_retries = 0
    server = ServerApp.instance(config=config)
    server.initialize(argv=[], find_extensions=False)
    return server
