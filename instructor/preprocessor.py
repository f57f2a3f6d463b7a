"""What stands in nbgrader's autograde in place of running notebooks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nbconvert.exporters import NotebookExporter
from nbgrader.preprocessors import NbGraderPreprocessor
from traitlets import Unicode

STEPS_UP = 3  # from a submitted notebook to the class folder


class ReleasedNotebookExporter(NotebookExporter):
    """Reads the released notebook wherever a submitted one is asked for.

    A learner's notebook may lack a check cell, hold one twice or not be a notebook at all; marks come from
    answers and logbook, so it is never opened.
    """

    def from_filename(self, filename: str, resources: Any = None, **options: Any) -> Any:
        """Export a notebook; for submitted/<learner>/<module>/<notebook>.ipynb the released one."""
        path = Path(filename).absolute()
        if len(path.parents) > STEPS_UP and path.parents[2].name == "submitted":
            released = path.parents[STEPS_UP] / "release" / path.parent.name / path.name
            filename = str(released if released.is_file() else path)
        return super().from_filename(filename, resources=resources, **options)


class MarkFromData(NbGraderPreprocessor):
    """Fills the check cells with the marks of `wetslip class mark`; it takes the place of Execute."""

    class_folder = Unicode(help="The class folder.").tag(config=True)

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Mark one submission.

        Raises
        ------
        ClassError : the module was released with another version; nbgrader reports it for this learner
        """
        from instructor.check_cells import filled_with
        from instructor.layout import open_class
        from instructor.marking import mark_submission

        names = resources["nbgrader"]
        folder = open_class(Path(self.class_folder))
        marks = mark_submission(folder, names["assignment"], names["student"])
        filled, _ = filled_with(nb, marks)
        return filled, resources
