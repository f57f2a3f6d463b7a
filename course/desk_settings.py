"""What JupyterLab is opened with: what is switched on, what is kept out, and where it keeps its things."""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from course import pages

HIDDEN = ".desk"
LOG = "desk.log"
FIRST_PORT, PORTS_TRIED = 8888, 50

# Server extensions: only what the course needs. Terminals, grading and pages stay out; the part for language
# servers is there because JupyterLab asks for it, and is told to look for none.
SERVER_EXTENSIONS = {"jupyter_lsp": True, "jupyterlab": True, "notebook": True}

# Extensions that other packages add to the page: only these (widgets, the scene, colours in code, and the
# switch to the plainer Notebook that screen readers get on with), whatever else is installed.
PAGE_EXTENSIONS = (
    "@jupyter-notebook/lab-extension",
    "@jupyter-widgets/jupyterlab-manager",
    "anywidget",
    "jupyterlab_pygments",
)

# JupyterLab's own parts that would ask the network, or offer what is not there.
KEPT_OUT = (
    "@jupyterlab/apputils-extension:announcements",
    "@jupyterlab/extensionmanager-extension",
    "@jupyterlab/terminal-extension",
)

# Plain keys that JupyterLab takes from whatever on the page has the focus: an arrow meant for a slider or a choice went to
# another cell, a letter on a button put in, changed or deleted one.
AT_REST = ".jp-Notebook.jp-mod-commandMode:not(.jp-mod-readWrite) :focus"
PLAIN_KEYS = {
    "move-cursor-down": (["ArrowDown"], ["J"]),
    "move-cursor-up": (["ArrowUp"], ["K"]),
    "move-cursor-heading-above-or-collapse": (["ArrowLeft"],),
    "move-cursor-heading-below-or-expand": (["ArrowRight"],),
    "extend-marked-cells-above": (["Shift ArrowUp"], ["Shift K"]),
    "extend-marked-cells-below": (["Shift ArrowDown"], ["Shift J"]),
    "extend-marked-cells-top": (["Shift Home"],),
    "extend-marked-cells-bottom": (["Shift End"],),
    "insert-cell-above": (["A"],),
    "insert-cell-below": (["B"],),
    "insert-heading-above": (["Shift A"],),
    "insert-heading-below": (["Shift B"],),
    "copy-cell": (["C"],),
    "cut-cell": (["X"],),
    "paste-cell-below": (["V"],),
    "delete-cell": (["D", "D"],),
    "merge-cells": (["Shift M"],),
    "change-cell-to-code": (["Y"],),
    "change-cell-to-markdown": (["M"],),
    "change-cell-to-raw": (["R"],),
    "undo-cell-action": (["Z"],),
    "redo-cell-action": (["Shift Z"],),
}
LEFT_ALONE = [
    {"command": f"notebook:{command}", "keys": keys, "selector": AT_REST, "disabled": True}
    for command, several in PLAIN_KEYS.items()
    for keys in several
]

OVERRIDES: dict[str, dict[str, Any]] = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/shortcuts-extension:shortcuts": {"shortcuts": LEFT_ALONE},
}


def runtime(scratch: Path) -> Path:
    """Return the folder in which the server and its kernels keep their connections."""
    return scratch / "runtime"


def pages_config(folder: Path, scratch: Path, *, host: str, port: int | None) -> dict[str, Any]:
    """Return the configuration of the server that shows a learner's folder as pages without code."""
    whole = server_config(folder, scratch, host=host, port=port)
    kept = {name: whole[name] for name in ("ServerApp", "KernelSpecManager")}
    kept["ServerApp"]["jpserver_extensions"] = {"voila.server_extension": True, "course.pages": True}
    return kept | pages.configuration()


def server_config(folder: Path, scratch: Path, *, host: str, port: int | None) -> dict[str, Any]:
    """Return the configuration of the server on a learner's folder."""
    page = {
        "app_settings_dir": str(scratch / "page"),
        "labextensions_path": [str(scratch / "extensions")],
        "user_settings_dir": str(folder / HIDDEN / "settings"),
        "workspaces_dir": str(folder / HIDDEN / "workspaces"),
    }
    offline = {
        "extension_manager": "readonly",
        "news_url": None,
        "check_for_updates_class": "jupyterlab.handlers.announcements.NeverCheckForUpdate",
    }
    return {
        "ServerApp": {
            "ip": host,
            "port": port or FIRST_PORT,
            "port_retries": 0 if port else PORTS_TRIED,
            "root_dir": str(folder),
            "open_browser": False,
            "allow_root": True,  # it listens on this machine only; in a container root is often the only user
            "answer_yes": True,  # Ctrl-C closes, without a question
            "jpserver_extensions": SERVER_EXTENSIONS,
        },
        "LabApp": page | offline,
        "JupyterNotebookApp": page,
        "LanguageServerManager": {"autodetect": False},
        "KernelSpecManager": {"allowed_kernelspecs": ["python3"]},
    }


def write(folder: Path, scratch: Path, *, host: str, port: int | None, as_pages: bool = False) -> Path:
    """Write the settings into the scratch folder and return the path of the server's configuration."""
    page = scratch / "page"
    for made in (page, runtime(scratch), scratch / "temporary", folder / HIDDEN / "data"):
        made.mkdir(parents=True, exist_ok=True)
    _copy_extensions(scratch / "extensions")
    _write_json(page / "overrides.json", OVERRIDES)
    _write_json(page / "page_config.json", {"disabledExtensions": KEPT_OUT})
    config = scratch / "desk.json"
    settings = pages_config if as_pages else server_config
    _write_json(config, settings(folder, scratch, host=host, port=port))
    return config


def _copy_extensions(target: Path) -> None:
    """Copy the wanted page extensions, about 1.5 MB; Notebook would heed no list of those to keep out."""
    from jupyter_core.paths import jupyter_path

    for name in PAGE_EXTENSIONS:
        installed = (Path(place, name) for place in jupyter_path("labextensions"))
        found = next((path for path in installed if path.is_dir()), None)
        if found is not None:
            shutil.copytree(found, target / name)


def _write_json(path: Path, value: object) -> None:
    # ASCII only: the readers of these files open them in the machine's own encoding.
    path.write_text(json.dumps(value, indent=1, ensure_ascii=True) + "\n", encoding="ascii")


def environment(outer: Mapping[str, str], folder: Path, scratch: Path) -> dict[str, str]:
    """Return the environment the server and its kernels run in, from that of the command."""
    kept = {name: value for name, value in outer.items() if not name.startswith(("JUPYTER", "IPYTHON"))}
    return kept | {
        "JUPYTER_NO_CONFIG": "1",  # neither the user's, nor the environment's, nor the machine's
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_PATH": str(pages.TEMPLATES),
        "JUPYTER_DATA_DIR": str(folder / HIDDEN / "data"),  # which notebooks are trusted
        "JUPYTER_RUNTIME_DIR": str(runtime(scratch)),
        "IPYTHONDIR": str(scratch / "ipython"),
        # Jupyter makes an empty folder in the temporary place for the configuration it was told not to read.
        "TMPDIR": str(scratch / "temporary"),
        "TEMP": str(scratch / "temporary"),
        "TMP": str(scratch / "temporary"),
    }
