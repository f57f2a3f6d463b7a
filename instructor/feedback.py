"""The learner's page: only what is theirs goes into it."""

from __future__ import annotations

from pathlib import Path

from instructor.files import write_text
from instructor.layout import ClassFolder
from instructor.pages import module_title, render
from instructor.results import Result


def write_page(folder: ClassFolder, module: str, result: Result) -> Path:
    """Write one learner's page and return its path."""
    path = folder.feedback(result.learner.id, module)
    page = render("feedback.html.j2", title=module_title(module), cohort=folder.cohort, result=result)
    write_text(path, page, durable=False)
    return path
