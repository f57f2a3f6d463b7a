"""How the work comes in: a zip of zips with names as mail programs make them, folders on a stick, and what breaks on the way."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterable
from pathlib import Path

from instructor.files import write_bytes
from instructor.layout import ANSWERS, LEARNER, LOGBOOK
from instructor.rehearsal.people import COHORT, Person

FIRST_NUMBER = 48200  # mail programs number what they save


def mail_name(person: Person, number: int) -> str:
    """Return the name under which a mail program saved somebody's attachment."""
    first, _, last = person.learner.name.rpartition(" ")
    ways = (
        f"{last}, {first}_{FIRST_NUMBER + number}_work",
        f"{person.learner.name} - homework (2)",
        person.id,
        person.learner.email,
        f"Re_ {last.upper()} {first}",
    )
    name = ways[number % len(ways) if last.isascii() else 0]
    return name.encode("ascii", "replace").decode("ascii").replace("?", "_")


def packed(person: Person, module: str, work: Path, notebook: bytes) -> bytes:
    """Return one learner's zip: their Wetslip folder with learner.json and the module."""
    files = _files(person, module, work, notebook)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(f"Wetslip/{name}", content)
        archive.writestr(f"__MACOSX/Wetslip/._{LEARNER}", b"\0\5\26\7")
    return stream.getvalue()


def mail(people: Iterable[Person], module: str, place: Path, notebook: bytes, target: Path) -> None:
    """Write the one zip that a mail program makes of everybody's attachments."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for number, person in enumerate(people):
            name = mail_name(person, number)
            archive.writestr(f"{name}.zip", packed(person, module, place, notebook))
    write_bytes(target, stream.getvalue())


def stick(people: Iterable[Person], module: str, place: Path, notebook: bytes, target: Path) -> None:
    """Write a folder of folders, one a learner, as they are copied from a stick."""
    for person in people:
        for name, content in _files(person, module, place, notebook).items():
            write_bytes(target / person.id / name, content, durable=False)


def _files(person: Person, module: str, place: Path, notebook: bytes) -> dict[str, bytes]:
    own = place / person.copies.get(module, person.id)
    identity = {"schema": 1, "id": person.id, "cohort": COHORT}
    files = {LEARNER: json.dumps(identity, ensure_ascii=False).encode("utf-8")}
    files[f"{module}/{module}.ipynb"] = notebook
    for name in (ANSWERS, LOGBOOK):
        path = own / name
        if path.exists():
            content = path.read_bytes()
            files[f"{module}/{name}"] = _torn(content) if module in person.broken else content
    return files


def _torn(content: bytes) -> bytes:
    """Return a file as a full disk leaves it: half of it, and then zeros."""
    return content[: len(content) // 2] + bytes(512)
