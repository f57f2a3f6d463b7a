"""Everything that led to one learner's mark in one file, and the mark made again from it on another machine."""

from __future__ import annotations

import hashlib
import json
import re
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import read_regular
from instructor.handout.own import own_files
from instructor.handout.released import Released, check_module, check_versions, read_plans, read_released
from instructor.handout.terms import handed_in_at
from instructor.intake.handed_in import MAXIMUM_BYTES
from instructor.intake.zips import Zip
from instructor.layout import LEARNERS_FILES, SCHEMA, ClassFolder
from instructor.marking.gradebook import open_gradebook
from instructor.marking.results import Result, read_result
from instructor.people.roster import find, read_roster

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan

INDEX = "appeal.json"
LARGEST = 20_000_000
OWN = re.compile(r"own/((?:boats/[\w-]+|module)\.yaml)")  # a module of the class's own, in the file
README = """\
This file holds everything that led to one learner's mark of one module:

  appeal.json    the mark part by part, what counted in the end, the versions, and a fingerprint of every file here
  work/          the answers and the logbook that were marked
  slips/         the boats as they were drawn and stored before the work began
  own/           the module itself, where it is one of the class's own
  received/      every version that was handed in
  feedback.html  the learner's page, if it was made

To make the mark again from it, on any machine with the Wetslip that appeal.json names:

  wetslip class recheck THIS_FILE
"""


@dataclass(frozen=True)
class Compared:
    """One part, marked again: what the file says and what came out now."""

    exercise: str
    title: str
    filed: float | None
    found: float | None
    out_of: float

    @property
    def same(self) -> bool:
        """Whether both agree."""
        return self.filed == self.found


def write_appeal(folder: ClassFolder, module: str, learner_id: str, target: Path) -> None:
    """Write the appeal file.

    Raises
    ------
    ClassError : nobody has the id, nothing of theirs is marked, or the file is there already
    """
    released = read_released(folder, module)
    learner = find(read_roster(folder.roster), learner_id)
    if target.exists():
        raise ClassError(f"'{target}' is there already; name another file.")
    with open_gradebook(folder) as gradebook:
        result = read_result(folder, module, learner, gradebook)
    if result is None:
        raise ClassError(f"Nothing of '{learner.id}' in '{module}' is marked, so there is nothing to appeal.")
    plans = read_plans(folder, released, learner.id)
    files = dict(_files(folder, module, learner.id, plans))
    index = _index(folder, released, result) | {
        "sha256": {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    }
    target.parent.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("README.txt", README)
        archive.writestr(INDEX, json.dumps(index, indent=1, ensure_ascii=False))
        for name, content in files.items():
            archive.writestr(name, content)


def _files(
    folder: ClassFolder, module: str, learner: str, plans: Mapping[str, SlipPlan]
) -> Iterator[tuple[str, bytes]]:
    for name in LEARNERS_FILES:
        content = read_regular(folder.submitted(learner, module) / name, MAXIMUM_BYTES[name])
        if content is not None:
            yield f"work/{name}", content
    for plan in plans.values():
        yield f"slips/{plan.digest}.json", folder.slip(plan.digest).read_bytes()
    for version in sorted(folder.received(learner, module).glob("*")):
        for name in LEARNERS_FILES:
            content = read_regular(version / name, MAXIMUM_BYTES[name])
            if content is not None:
                yield f"received/{version.name}/{name}", content
    for name, content in own_files(folder, module):
        yield f"own/{name}", content
    page = folder.feedback(learner, module)
    if page.exists():
        yield "feedback.html", page.read_bytes()


def _index(folder: ClassFolder, released: Released, result: Result) -> dict[str, Any]:
    learner, when = result.learner, handed_in_at(folder, released.module, result.learner.id)
    return {
        "schema": SCHEMA,
        "module": released.module,
        "learner": learner.id,
        "cohort": released.cohort,
        "versions": dict(released.versions),
        "slips": dict(released.slips[learner.id]),
        "handed_in": when.isoformat() if when else None,
        "late": asdict(result.late) | {"due": result.late.due.isoformat()} if result.late else None,
        "points": result.points,
        "out_of": result.out_of,
        "counted": [
            {
                "exercise": scored.mark.exercise,
                "points": scored.points,
                "by_hand": scored.by_hand,
                "written": [asdict(part) for part in scored.written],
            }
            for scored in result.exercises
        ],
        "marks": [asdict(scored.mark) for scored in result.exercises],
    }


def recheck(path: Path) -> tuple[str, list[Compared]]:
    """Mark again from an appeal file; return whose it is in words, and every part compared.

    Raises
    ------
    ClassError : it is no appeal file, was changed since it was written, or needs another version of Wetslip
    """
    from graders.submission import mark_folder

    if not path.is_file():
        raise ClassError(f"There is no file '{path}'.")
    archive = Zip(path, path.name)
    try:
        index = _read_index(archive)
        released = Released(
            index["module"], index["cohort"], index["versions"], "", {index["learner"]: index["slips"]}
        )
        files = _read_files(archive, index["sha256"])
    finally:
        archive.close()
    check_versions(released, "check it again")
    _know_own(files, released.module)
    check_module(released.module)
    plans = {exercise: _plan(files, digest, path) for exercise, digest in index["slips"].items()}
    with tempfile.TemporaryDirectory() as place:
        for name in LEARNERS_FILES:
            if f"work/{name}" in files:
                (Path(place) / name).write_bytes(files[f"work/{name}"])
        marks = mark_folder(Path(place), released.module, index["learner"], plans)
    found = {(mark.exercise, part.part): part for mark in marks for part in mark.parts}
    filed = {(mark["exercise"], part["part"]): part for mark in index["marks"] for part in mark["parts"]}
    rows = []
    for key in dict.fromkeys([*filed, *found]):
        was, now = filed.get(key), found.get(key)
        title = now.title if now else str(was["title"] if was else "")
        out_of = now.out_of if now else float(was["out_of"] if was else 0)
        rows.append(
            Compared(key[0], title, was["points"] if was else None, now.points if now else None, out_of)
        )
    return f"'{index['learner']}' in '{released.module}', cohort {released.cohort}", rows


def _read_index(archive: Zip) -> dict[str, Any]:
    try:
        index = json.loads(archive.read(INDEX, LARGEST) or b"")
        texts = all(isinstance(index[key], str) for key in ("module", "cohort", "learner"))
        tables = all(isinstance(index[key], dict) for key in ("versions", "slips", "sha256"))
        for mark in index["marks"]:
            for part in mark["parts"]:
                (
                    float(part["points"]),
                    str(part["part"]),
                    str(mark["exercise"]),
                    str(part["title"]),
                    float(part["out_of"]),
                )
    except (ValueError, KeyError, TypeError, RecursionError):
        texts = tables = False
    if not texts or not tables or index.get("schema") != SCHEMA:
        raise ClassError(f"'{archive.name}' is no appeal file.")
    return dict(index)


def _read_files(archive: Zip, digests: Mapping[str, str]) -> dict[str, bytes]:
    files = {}
    for name, digest in digests.items():
        content = archive.read(name, LARGEST)
        if content is None or hashlib.sha256(content).hexdigest() != digest:
            raise ClassError(f"'{name}' in '{archive.name}' was changed since the file was written.")
        files[name] = content
    return files


def _know_own(files: Mapping[str, bytes], module: str) -> None:
    """Make a module of the class's own known here, from what the file holds of it; it is data, and checked as that."""
    from graders.own import NAME, OwnError, load_own

    texts = {found[1]: content for name, content in files.items() if (found := OWN.fullmatch(name))}
    if not texts or not NAME.fullmatch(module):
        return
    with tempfile.TemporaryDirectory() as place:
        for name, content in texts.items():
            path = Path(place) / module / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        try:
            load_own(Path(place) / module)
        except OwnError as problem:
            raise ClassError(str(problem)) from None


def _plan(files: Mapping[str, bytes], digest: str, path: Path) -> SlipPlan:
    from course.boats.plan import SlipPlan

    content = files.get(f"slips/{digest}.json", b"")
    try:
        SlipPlan.model_validate_json(content)  # it comes from elsewhere, so its names are looked through
        return SlipPlan.stored(content, digest)  # by the file's own hash: see read_plans
    except ValueError:
        raise ClassError(f"The boat '{digest}' in '{path.name}' is not the one that was drawn.") from None
