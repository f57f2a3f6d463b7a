"""The course as pages without code: the list of modules, and how Voila shows a notebook as a page.

A server extension: `jupyter_server` loads it beside Voila's own when ``wetslip learn --pages`` starts it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path
from typing import Any
from urllib.parse import quote

TEMPLATES = Path(__file__).parent / "page_templates"  # a Jupyter data folder: voila/templates/wetslip
TEMPLATE = "wetslip"
LIST = "pages"
STYLE = Path(__file__).parent / "panels" / "scene.css"
SOURCE_HIDDEN = "notebook"  # tag of a cell that only makes sense where cells are seen


@dataclass(frozen=True)
class Page:
    """One module as a page: its title, what one can do after it, its address, and whether work lies there."""

    title: str
    aim: str
    address: str
    begun: bool


def _text_cells(notebook: Path) -> list[str]:
    """Return the text cells of a notebook; none if it cannot be read, which its page will say."""
    try:
        cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
        texts = [cell["source"] for cell in cells if cell["cell_type"] == "markdown"]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return ["".join(text) for text in texts]


def _aim(lines: list[str]) -> str:
    """Return what one can do at the end, in one sentence, from a line or from a list below it; '' if it is not said."""
    start = next((k for k, line in enumerate(lines) if line.startswith("**By the end")), None)
    if start is None:
        return ""
    below = takewhile(lambda line: not line or line.startswith("- "), lines[start + 1 :])
    return " ".join([lines[start].replace("**", ""), *(line[2:] for line in below if line)])


def modules_of(folder: Path) -> tuple[Page, ...]:
    """Return the modules in a learner's folder, in order: every folder NN_name that holds NN_name.ipynb."""
    pages = []
    for notebook in sorted(folder.glob("*/*.ipynb")):
        name = notebook.stem
        if name != notebook.parent.name or not name[:2].isdigit():
            continue
        lines = [line.strip() for text in _text_cells(notebook)[:3] for line in text.splitlines()]
        title = next((line[2:] for line in lines if line.startswith("# ")), name.replace("_", " "))
        if not title[:1].isdigit():
            title = f"{name[:2]} {title}"
        aim = _aim(lines)
        begun = any((notebook.parent / work).exists() for work in ("logbook.jsonl", "answers.jsonl"))
        pages.append(Page(title, aim, f"voila/render/{quote(f'{name}/{name}.ipynb')}", begun))
    return tuple(pages)


def list_html(folder: Path, base: str = "/") -> str:
    """Return the page that lists the modules."""
    from jinja2 import Environment, FileSystemLoader

    place = TEMPLATES / "voila" / "templates" / TEMPLATE
    environment = Environment(loader=FileSystemLoader(place), autoescape=True)
    return environment.get_template("modules.html.j2").render(pages=modules_of(folder), base=base)


def configuration() -> dict[str, Any]:
    """Return Voila's part of the server's configuration."""
    return {
        "VoilaConfiguration": {
            "template": TEMPLATE,
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "strip_sources": True,
            "file_allowlist": [r".*\.(png|jpg|svg|csv)"],
            "extension_allowlist": ["@jupyter-widgets/jupyterlab-manager", "@voila-dashboards/widgets-manager8", "anywidget"],
        },
        "VoilaExecutor": {
            "allow_errors": True,  # one boat that cannot be shown does not take the rest of the page with it
            "cell_error_instruction": "Open the page again; if it says the same, tell whoever gave you the course.",
        },
        # a page that was closed without a word leaves its kernel behind; what it did is on disk
        "MappingKernelManager": {"cull_idle_timeout": 300, "cull_interval": 60, "cull_connected": False},
    }  # fmt: skip


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": "course.pages"}]


def _load_jupyter_server_extension(server: Any) -> None:
    from jupyter_server.base.handlers import JupyterHandler
    from jupyter_server.utils import url_path_join
    from tornado.web import authenticated
    from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler

    folder = Path(server.root_dir)

    class ModuleList(JupyterHandler):
        """The list of modules."""

        @authenticated
        def get(self) -> None:
            """Answer with the list."""
            self.set_header("Cache-Control", "no-store")
            self.finish(list_html(folder, self.base_url))

    class Farewell(VoilaShutdownKernelHandler):  # type: ignore[misc]
        """The word with which a closing page ends its kernel; a browser sends it without the token it usually adds."""

        def check_xsrf_cookie(self) -> None:
            """Take a page of this very server, which no page can pretend to be, for granted."""
            if self.request.headers.get("Sec-Fetch-Site") != "same-origin":
                super().check_xsrf_cookie()

    base = server.web_app.settings["base_url"]
    pages = [
        (url_path_join(base, LIST), ModuleList),
        (url_path_join(base, r"/voila/api/shutdown/(.*)"), Farewell),
    ]
    server.web_app.add_handlers(".*$", pages)  # loaded before Voila's own, so these answer
