"""Where things lie in a class folder. The step folders carry the names nbgrader expects."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from instructor.errors import ClassError
from instructor.files import read_json

SCHEMA = 1
CLASS_FILE = "class.json"
ANSWERS = "answers.jsonl"
LOGBOOK = "logbook.jsonl"
LEARNER = "learner.json"
TIMESTAMP = "timestamp.txt"
SECRET = "submission_secret.txt"  # nbgrader releases feedback under a hash of it
LEARNERS_FILES = (ANSWERS, LOGBOOK, LEARNER)
SECONDS_TO_WAIT = 10.0  # for another command that is at work on the same class


@dataclass(frozen=True)
class ClassFolder:
    """One class on disk: where it is and its cohort code; every path is made here and nowhere else."""

    root: Path
    cohort: str

    def __reduce__(self) -> tuple[object, ...]:
        """Another process that is handed the class knows its own modules too."""
        return _reopened, (self.root, self.cohort)

    @property
    def roster(self) -> Path:
        """The roster, normalised."""
        return self.root / "roster.csv"

    @property
    def database_url(self) -> str:
        """The gradebook, as nbgrader names it."""
        return f"sqlite:///{self.root / 'gradebook.db'}"

    @property
    def work(self) -> Path:
        """Where folders are made ready before they are moved into place; empty between commands."""
        folder = self.root / ".work"
        folder.mkdir(exist_ok=True)
        return folder

    def source(self, module: str) -> Path:
        """The module's folder as released, instructor's copy."""
        return self.root / "source" / module

    def own(self, module: str) -> Path:
        """A module of the class's own, as an instructor wrote it."""
        return self.root / "own" / module

    def release_notebook(self, module: str) -> Path:
        """The notebook that learners get."""
        return self.root / "release" / module / f"{module}.ipynb"

    def released(self, module: str) -> Path:
        """The index of a release: versions, and which slip is whose."""
        return self.root / "released" / f"{module}.json"

    def slip(self, digest: str) -> Path:
        """One expanded slip, stored once under its digest."""
        return self.root / "slips" / f"{digest}.json"

    def received(self, learner: str, module: str) -> Path:
        """Originals as they came in, one folder a version."""
        return self.root / "received" / learner / module

    def submitted(self, learner: str, module: str) -> Path:
        """What is marked."""
        return self.root / "submitted" / learner / module

    def autograded(self, learner: str, module: str) -> Path:
        """The marked notebook that formgrader shows."""
        return self.root / "autograded" / learner / module

    def marks(self, learner: str, module: str) -> Path:
        """The mark with its reasons, as data."""
        return self.root / "marks" / learner / f"{module}.json"

    def feedback(self, learner: str, module: str) -> Path:
        """The learner's page."""
        return self.root / "feedback" / learner / f"{module}.html"

    def report(self, module: str, ending: str) -> Path:
        """The class's summary, as html or csv."""
        return self.root / "reports" / f"{module}.{ending}"

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Hold the class for one command at a time.

        Raises
        ------
        ClassError : another command holds it for longer than a few seconds
        """
        from filelock import FileLock, Timeout

        lock = FileLock(str(self.root / ".lock"))
        try:
            lock.acquire(timeout=SECONDS_TO_WAIT)
        except Timeout:
            raise ClassError(
                f"Another command is at work on the class in '{self.root}'; try again when it is done."
            ) from None
        try:
            yield
        finally:
            lock.release()


def open_class(folder: Path) -> ClassFolder:
    """Return the class that lies in a folder.

    Raises
    ------
    ClassError : there is none, or its class.json is damaged or of a later scheme
    """
    root = folder.expanduser().absolute()
    path = root / CLASS_FILE
    if not path.is_file():
        raise ClassError(
            f"There is no class in '{root}'; name its folder with --folder, "
            "or make one with 'wetslip class new'."
        )
    content = read_json(path, "the class file")
    if not isinstance(content, dict) or not isinstance(content.get("cohort"), str):
        raise ClassError(f"the class file '{path}' is damaged: it names no cohort.")
    if content.get("schema") != SCHEMA:
        raise ClassError(
            f"the class file '{path}' has scheme {content.get('schema')!r}, "
            f"and this Wetslip reads scheme {SCHEMA}."
        )
    _load_own(root / "own")
    return ClassFolder(root, content["cohort"])


def _reopened(root: Path, cohort: str) -> ClassFolder:
    _load_own(root / "own")
    return ClassFolder(root, cohort)


def _load_own(folder: Path) -> None:
    """Make the modules of the class's own known; where there are none, nothing is imported for it.

    Raises
    ------
    ClassError : one cannot be used, in one sentence
    """
    modules = sorted(path for path in folder.glob("*") if path.is_dir()) if folder.is_dir() else []
    if not modules:
        return
    from graders.own import OwnError, load_own

    try:
        for module in modules:
            load_own(module)
    except OwnError as problem:
        raise ClassError(str(problem)) from None
