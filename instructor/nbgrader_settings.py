"""The settings a class folder's nbgrader_config.py applies, so that nbgrader's own tools mark as ours do."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbgrader

from instructor.layout import LEARNERS_FILES, SECRET, TIMESTAMP
from instructor.marking.written import STUB

TEMPLATES = Path(__file__).parent / "templates" / "nbconvert"
FORMGRADERS_TEMPLATES = Path(nbgrader.__file__).parent / "server_extensions" / "formgrader" / "templates"


def apply(config: Any, config_file: str) -> None:
    """Fill nbgrader's configuration for the class whose nbgrader_config.py is given.

    Parameters
    ----------
    config : the traitlets configuration object being loaded
    config_file : path of the class's nbgrader_config.py

    - the submitted notebook is never opened: the released one is read in its place;
    - nothing is executed: marks come from the learner's data;
    - files lying about in the source folder are not copied over a submission;
    - formgrader's pages ask for nothing from the network, and the exchange is left off (no course id).
    """
    root = Path(config_file).absolute().parent
    config.CourseDirectory.root = str(root)
    config.MarkFromData.class_folder = str(root)
    config.Autograde.exporter_class = "instructor.marking.preprocessor.ReleasedNotebookExporter"
    config.Autograde.autograde_preprocessors = [
        "instructor.marking.preprocessor.MarkFromData",
        "nbgrader.preprocessors.LimitOutput",
        "nbgrader.preprocessors.SaveAutoGrades",
        "nbgrader.preprocessors.CheckCellMetadata",
    ]
    config.ClearSolutions.text_stub = STUB
    modules = sorted(path.name for path in (root / "source").glob("*") if path.is_dir())
    config.Autograde.exclude_overwriting = {
        module: [*LEARNERS_FILES, TIMESTAMP, SECRET] for module in modules
    }
    config.HTMLExporter.extra_template_basedirs = [str(TEMPLATES), str(FORMGRADERS_TEMPLATES)]
    config.ExchangeFactory.list = "instructor.intake.no_exchange.NoExchangeList"
