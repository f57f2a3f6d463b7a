"""What JupyterLab is opened with: what is switched on, what is kept out, and where it keeps its things."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

HIDDEN = ".desk"

# Server extensions: only what the course needs. Language servers, terminals, grading and pages stay out.
SERVER_EXTENSIONS = {"jupyterlab": True, "notebook": True}

# Extensions that other packages add to the page: these are needed (widgets, the scene, the switch to the
# plainer Notebook that screen readers get on with); every other one that happens to be installed is kept out.
WANTED_ON_THE_PAGE = {
    "@jupyter-notebook/lab-extension",
    "@jupyter-widgets/jupyterlab-manager",
    "anywidget",
    "jupyterlab_pygments",
}

# JupyterLab's own parts that would speak to the network, or to a server extension that is not there.
KEPT_OUT_OF_THE_PAGE = (
    "@jupyterlab/apputils-extension:announcements",
    "@jupyterlab/extensionmanager-extension",
    "@jupyterlab/fileeditor-extension:language-server",
    "@jupyterlab/lsp-extension",
    "@jupyterlab/notebook-extension:language-server",
    "@jupyterlab/terminal-extension",
)

OVERRIDES = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
}


def other_extensions() -> list[str]:
    """Return the names of the page extensions installed here that the course does not need."""
    from jupyter_core.paths import jupyter_path
    from jupyterlab_server.config import get_federated_extensions

    return sorted(set(get_federated_extensions(jupyter_path("labextensions"))) - WANTED_ON_THE_PAGE)


def server_config(folder: Path, scratch: Path, *, host: str, port: int) -> dict[str, Any]:
    """Return the configuration of the server on a learner's folder."""
    page = {
        "app_settings_dir": str(scratch / "page"),
        "user_settings_dir": str(folder / HIDDEN / "settings"),
        "workspaces_dir": str(folder / HIDDEN / "workspaces"),
        "log_level": "WARN",
    }
    offline = {
        "extension_manager": "readonly",
        "news_url": None,
        "check_for_updates_class": "jupyterlab.handlers.announcements.NeverCheckForUpdate",
    }
    return {
        "ServerApp": {
            "ip": host,
            "port": port,
            "port_retries": 0,
            "root_dir": str(folder),
            "open_browser": False,
            "allow_root": True,  # it listens on this machine only; in a container root is often the only user
            "answer_yes": True,  # Ctrl-C closes, without a question
            "log_level": "WARN",
            "jpserver_extensions": SERVER_EXTENSIONS,
        },
        "LabApp": page | offline,
        "JupyterNotebookApp": page,
        "KernelSpecManager": {"allowed_kernelspecs": ["python3"]},
    }


def write(folder: Path, scratch: Path, *, host: str, port: int) -> Path:
    """Write the settings into the scratch folder and return the path of the server's configuration."""
    page = scratch / "page"
    for made in (page, scratch / "runtime", scratch / "temporary", folder / HIDDEN / "data"):
        made.mkdir(parents=True, exist_ok=True)
    _write_json(page / "overrides.json", OVERRIDES)
    _write_json(
        page / "page_config.json", {"disabledExtensions": [*KEPT_OUT_OF_THE_PAGE, *other_extensions()]}
    )
    config = scratch / "desk.json"
    _write_json(config, server_config(folder, scratch, host=host, port=port))
    return config


def _write_json(path: Path, value: object) -> None:
    # ASCII only: the readers of these files open them in the machine's own encoding.
    path.write_text(json.dumps(value, indent=1, ensure_ascii=True) + "\n", encoding="ascii")


def environment(outer: Mapping[str, str], folder: Path, scratch: Path) -> dict[str, str]:
    """Return the environment the server and its kernels run in, from that of the command."""
    kept = {name: value for name, value in outer.items() if not name.startswith(("JUPYTER", "IPYTHON"))}
    return kept | {
        "JUPYTER_NO_CONFIG": "1",  # neither the user's, nor the environment's, nor the machine's
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_DATA_DIR": str(folder / HIDDEN / "data"),  # which notebooks are trusted
        "JUPYTER_RUNTIME_DIR": str(scratch / "runtime"),
        "IPYTHONDIR": str(scratch / "ipython"),
        # Jupyter makes an empty folder in the temporary place for the configuration it was told not to read.
        "TMPDIR": str(scratch / "temporary"),
        "TEMP": str(scratch / "temporary"),
        "TMP": str(scratch / "temporary"),
    }
