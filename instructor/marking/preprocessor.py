"""What stands in nbgrader's autograde in place of running notebooks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from nbconvert.exporters import NotebookExporter
from nbgrader.converters import NbGraderException
from nbgrader.preprocessors import NbGraderPreprocessor
from traitlets import Unicode

from instructor.errors import ClassError
from instructor.layout import open_class

STEPS_UP = 3  # from a submitted notebook to the class folder


class ReleasedNotebookExporter(NotebookExporter):
    """Reads the released notebook wherever a submitted one is asked for.

    A learner's notebook may lack a check cell, hold one twice or not be a notebook at all; marks come from
    answers and logbook, so it is never opened.
    """

    def __init__(self, *positional: Any, **options: Any) -> None:
        super().__init__(*positional, **options)
        directory = getattr(self.parent, "coursedir", None)
        if directory is not None:
            self._refuse_other_versions(Path(directory.root), directory.assignment_id)

    def _refuse_other_versions(self, root: Path, module: str) -> None:
        """Stop the run before it replaces anything, when the module cannot be marked with this Wetslip."""
        from instructor.handout.released import check_versions, read_released

        try:
            check_versions(read_released(open_class(root), module), "mark it")
        except ClassError as problem:
            self.log.error(str(problem))
            raise NbGraderException(str(problem)) from None

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
        ClassError : it cannot be marked, and why; nbgrader reports it for this learner
        """
        from instructor.handout.check_cells import filled_with
        from instructor.marking.comments import read_bank
        from instructor.marking.run import mark_submission

        names = resources["nbgrader"]
        marks = mark_submission(open_class(Path(self.class_folder)), names["assignment"], names["student"])
        filled, _ = filled_with(nb, marks, read_bank(open_class(Path(self.class_folder))))
        return filled, resources
