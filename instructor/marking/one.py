"""One learner marked: the same function in this process, in another one, or on another machine."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, TypeVar

from instructor.errors import ClassError, sentence_for
from instructor.files import remove_folder, replace_folder
from instructor.handout.check_cells import filled_with, plain_bytes, scores_of
from instructor.handout.released import Released, read_plans
from instructor.layout import SECRET, TIMESTAMP, ClassFolder
from instructor.marking.comments import read_bank
from instructor.marking.evidence import evidence_of, fingerprint, fingerprint_of
from instructor.marking.marks import NOTEBOOK, Change, Evidence, by_cell, damage, read_stored, write_marks

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan
    from graders.marks import Mark

Found = TypeVar("Found")
COPIED = ("answers.jsonl", "logbook.jsonl", "learner.json", TIMESTAMP, SECRET)
OWN_TIME = "%Y-%m-%d %H:%M:%S.%f UTC"  # as take-in writes it


@dataclass(frozen=True)
class Run:
    """What one marking run has in common: the class, the release, its notebook as plain JSON, and whether all is anew."""

    folder: ClassFolder
    released: Released
    notebook: Any
    again: bool

    @property
    def module(self) -> str:
        """The module's id."""
        return self.released.module


@dataclass(frozen=True)
class Outcome:
    """What became of one learner: the scores for the gradebook, or a problem in one sentence.

    `standing` says that the marks are as they were, `changes` what differs from those before, `damage` what of newly
    marked files could not be read.
    """

    learner: str
    scores: Mapping[str, float | None]
    when: datetime | None = None
    standing: bool = False
    changes: tuple[Change, ...] = ()
    damage: tuple[str, ...] = ()
    problem: str = ""


@dataclass(frozen=True)
class Bundle:
    """What marking one learner takes: where the files lie, or, for another machine, what they hold."""

    module: str
    learner: str
    versions: Mapping[str, Any]
    plans: Mapping[str, SlipPlan]
    place: Path | None = None
    files: Mapping[str, bytes] | None = None


def outcome_for(run: Run, learner: str) -> Outcome:
    """Mark one learner, unless the marks stand, and store everything but the gradebook's rows. Never raises."""
    return guarded(learner, lambda: standing(run, learner) or _marked(run, learner))


def _marked(run: Run, learner: str) -> Outcome:
    evidence = evidence_of(run.folder, run.released, learner)
    return store(run, learner, mark_bundle(bundle_for(run, learner)), evidence)


def guarded(learner: str, work: Callable[[], Found]) -> Found | Outcome:
    """Return the outcome of some work for a learner; what goes wrong is theirs alone and one sentence."""
    try:
        return work()
    except ClassError as problem:
        reason = str(problem)
    except OSError as problem:
        reason = sentence_for(problem)
    except MemoryError:
        reason = "the memory of this machine did not suffice."
    return Outcome(learner, {}, problem=f"'{learner}' was not marked: {reason}")


def mark_bundle(bundle: Bundle) -> tuple[Mark, ...]:
    """Mark what one learner handed in.

    Raises
    ------
    ClassError : this machine has another version than the one that released, or marking met a fault of our own
    OSError
    """
    from graders.submission import mark_folder

    if bundle.files is not None:
        _refuse_other_version(bundle)
        with TemporaryDirectory(prefix="wetslip-marking-") as place:
            for name in COPIED:
                if name in bundle.files:
                    (Path(place) / name).write_bytes(bundle.files[name])
            return mark_bundle(
                Bundle(bundle.module, bundle.learner, bundle.versions, bundle.plans, Path(place))
            )
    try:
        return mark_folder(bundle.place or Path(), bundle.module, bundle.learner, bundle.plans)
    except (OSError, MemoryError):
        raise
    except Exception as problem:  # the rest of the class is marked; this one is reported by name
        raise ClassError(
            f"marking met a fault of Wetslip itself ({type(problem).__name__}: {problem}); please report it."
        ) from problem


def _refuse_other_version(bundle: Bundle) -> None:
    from graders.versions import frozen_versions

    here = frozen_versions()
    if here != dict(bundle.versions):
        raise ClassError(
            f"the cluster has Wetslip {here['wetslip']} (physics {here['physics']}) and the module was released with "
            f"{bundle.versions.get('wetslip')} (physics {bundle.versions.get('physics')})."
        )


def bundle_for(run: Run, learner: str) -> Bundle:
    """Return what marking a learner takes, by the place of the files. Raises ClassError for slips that are not sound."""
    plans = read_plans(run.folder, run.released, learner)
    place = run.folder.submitted(learner, run.module)
    return Bundle(run.module, learner, run.released.versions, plans, place)


def mark_for_nbgrader(run: Run, learner: str) -> dict[str, Mark]:
    """Mark a learner and store the marks; nbgrader does the rest. Returns grade id -> mark; raises as `mark_bundle`."""
    evidence = evidence_of(run.folder, run.released, learner)
    marks = mark_bundle(bundle_for(run, learner))
    found = by_cell(marks)
    notebook = plain_bytes(filled_with(run.notebook, found)[0])
    write_marks(run.folder, run.module, learner, marks, {**evidence, NOTEBOOK: fingerprint_of(notebook)})
    return found


def store(run: Run, learner: str, marks: tuple[Mark, ...], evidence: Evidence) -> Outcome:
    """Store a learner's marks: the notebook for formgrader, then the marks as data, which make them count."""
    folder, module = run.folder, run.module
    submitted = folder.submitted(learner, module)
    when, stamp = _when(submitted)
    files = {name: (submitted / name).read_bytes() for name in COPIED if _plain(submitted / name)}
    bank = read_bank(folder) if any(mark.pending for mark in marks) else {}
    filled, scores = filled_with(run.notebook, by_cell(marks), bank)
    files |= {f"{module}.ipynb": plain_bytes(filled)} | ({TIMESTAMP: stamp} if stamp else {})
    work = folder.work / f"marking-{os.getpid()}"  # its own: several processes do this at once
    work.mkdir(exist_ok=True)
    try:
        replace_folder(folder.autograded(learner, module), files, work, durable=False)
    finally:
        remove_folder(work)
    notebook = fingerprint_of(files[f"{module}.ipynb"])
    changes = write_marks(folder, module, learner, marks, {**evidence, NOTEBOOK: notebook})
    return Outcome(learner, scores, when, changes=changes, damage=tuple(damage(marks)))


def standing(run: Run, learner: str) -> Outcome | None:
    """Return the outcome of a learner whose marks and marked notebook stand, or None."""
    if run.again:
        return None
    try:
        kept = read_stored(run.folder, run.module, learner)
    except ClassError:
        return None
    if kept is None:
        return None
    notebook = run.folder.autograded(learner, run.module) / f"{run.module}.ipynb"
    now = evidence_of(run.folder, run.released, learner) | {NOTEBOOK: fingerprint(notebook)}
    if kept.evidence != now:
        return None
    when, _ = _when(run.folder.submitted(learner, run.module))
    scores = scores_of(run.notebook, by_cell(kept.marks))
    # a written answer that stands keeps what a person said of it
    known = {name: points for name, points in scores.items() if points is not None}
    return Outcome(learner, known, when, standing=True)


def _plain(path: Path) -> bool:
    return path.is_file() and not path.is_symlink()


def _when(submitted: Path) -> tuple[datetime | None, bytes]:
    """Return the time in timestamp.txt [UTC, without a zone] and the file as it is; None and nothing when there is none."""
    path = submitted / TIMESTAMP
    if not _plain(path):
        return None, b""
    content = path.read_bytes()
    try:
        text = content.decode("ascii").strip()
        try:
            return datetime.strptime(text, OWN_TIME).replace(tzinfo=UTC).replace(tzinfo=None), content
        except ValueError:
            from nbgrader.utils import parse_utc

            return parse_utc(text), content
    except (ValueError, OverflowError):
        raise ClassError(f"'{path}' holds no time such as '2031-05-04 09:30:00 UTC'.") from None
