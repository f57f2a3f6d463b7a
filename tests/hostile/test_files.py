"""Links, devices and zips that lead elsewhere; two at once; clocks: nothing outside is read, nobody else waits."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from instructor.rehearsal.scripted import MODULE

Yard = Any  # of conftest.py, which cannot be imported
Marks = dict[str, tuple[float, tuple[str | None, ...]]]
HOSTILE, COHORT = "mallory", "yard-1"
ANSWERS, LOGBOOK = "answers.jsonl", "logbook.jsonl"
LEFT = "Not taken in, left where it is: "
WETSLIP = "import sys; from instructor.command import main; sys.exit(main())"
links = pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")


@links
@pytest.mark.parametrize("name", [ANSWERS, LOGBOOK, f"{MODULE}.ipynb"])
@pytest.mark.parametrize("target", ["another's", "canary", "nowhere", "itself", "/dev/zero"])
def test_a_link_is_not_followed(yard: Yard, sound: Marks, name: str, target: str) -> None:
    path = yard.work() / name
    path.unlink()
    path.symlink_to(
        {
            "another's": yard.work("ann") / name,
            "canary": yard.place / "outside" / "canary.txt",
            "nowhere": yard.place / "nowhere",
            "itself": path,
            "/dev/zero": Path("/dev/zero"),
        }[target]
    )
    went = yard.go(report=False)
    assert went.codes == (1, 0)
    assert len(went.problems) == 1
    assert went.problems[0].startswith(LEFT)
    assert went.marks == sound


@links
@pytest.mark.parametrize("name", [ANSWERS, LOGBOOK])
def test_a_link_put_straight_into_the_class_is_not_followed(yard: Yard, sound: Marks, name: str) -> None:
    path = yard.folder.submitted(HOSTILE, MODULE) / name
    path.unlink()
    path.symlink_to(yard.folder.submitted("ann", MODULE) / name)
    assert yard.command("mark") == (0, ())
    assert yard.marks()["03.1"][0] < sound["03.1"][0]
    assert not (yard.folder.autograded(HOSTILE, MODULE) / name).exists()


def test_whose_work_it_is_cannot_be_claimed(yard: Yard, sound: Marks) -> None:
    claim = {"schema": 1, "id": "ann", "cohort": COHORT}
    (yard.place / "handed-in" / HOSTILE / "learner.json").write_text(json.dumps(claim), encoding="utf-8")
    went = yard.go(report=False)
    assert went.codes == (1, 0)
    assert "disagree" in went.problems[0]
    assert went.marks == sound


def zipped(yard: Yard, **entries: bytes) -> Path:
    """Zip the whole class's folders, the hostile one's with more entries."""
    path = yard.place / "handed-in.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted((yard.place / "handed-in").rglob("*")):
            if file.is_file():
                archive.write(file, file.relative_to(yard.place / "handed-in").as_posix())
        for name, content in entries.items():
            archive.writestr(name, content)
    return path


@pytest.mark.parametrize(
    "name",
    ["../../outside/canary.txt", "/etc/wetslip-was-here", "mallory/../../outside/canary.txt", "..\\..\\outside\\canary.txt",
     "C:\\wetslip-was-here", "mallory/../ann/03_reference_cell/answers.jsonl", "a\nb", "a" * 5000],
    ids=lambda name: repr(name[:30]),
)  # fmt: skip
def test_a_path_that_leads_out_of_a_zip_leads_nowhere(yard: Yard, sound: Marks, name: str) -> None:
    path = zipped(yard, **{name: b"forged"})
    went = yard.go(path, report=False)
    assert went.codes[1:] == (0,)
    assert went.marks == sound
    assert not Path("/etc/wetslip-was-here").exists()


def test_a_link_in_a_zip_is_not_followed(yard: Yard, sound: Marks) -> None:
    (yard.work() / ANSWERS).unlink()
    path = zipped(yard)
    entry = zipfile.ZipInfo(f"{HOSTILE}/{MODULE}/{ANSWERS}")
    entry.external_attr = 0o120777 << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(entry, str(yard.work("ann") / ANSWERS))
    went = yard.go(path, report=False)
    assert went.codes == (1, 0)
    assert "is a link" in went.problems[0]
    assert went.marks == sound


def test_a_bomb_is_not_unpacked(yard: Yard, sound: Marks) -> None:
    (yard.work() / ANSWERS).unlink()
    path = zipped(yard, **{f"{HOSTILE}/{MODULE}/{ANSWERS}": bytes(200_000_000)})
    assert path.stat().st_size < 2_000_000
    went = yard.go(path, report=False)
    assert went.codes == (1, 0)
    assert "holds 200000000 bytes" in went.problems[0]
    assert went.marks == sound


def test_a_zip_within_zips_is_not_dug_for(yard: Yard, sound: Marks) -> None:
    inner = yard.place / "handed-in" / "x.zip"
    content = b"bottom"
    for depth in range(6):
        with zipfile.ZipFile(inner, "w") as archive:
            archive.writestr(f"{HOSTILE}/{depth}.zip", content)
        content = inner.read_bytes()
    inner.unlink()
    went = yard.go(zipped(yard, **{f"{HOSTILE}/deep.zip": content}), report=False)
    assert went.codes[1:] == (0,)
    assert went.marks == sound


@pytest.mark.parametrize("spoil", ["cut", "garbage", "empty"])
def test_a_zip_that_is_none_is_one_sentence(yard: Yard, spoil: str) -> None:
    path = zipped(yard)
    content = {"cut": path.read_bytes()[:-100], "garbage": b"PK\x03\x04" * 1000, "empty": b""}[spoil]
    path.write_bytes(content)
    code, said = yard.command("take-in", path)
    assert code == 2
    assert len(said) == 1


def test_the_same_learner_twice_in_one_hand_in_is_asked_about_and_not_guessed(
    yard: Yard, sound: Marks
) -> None:
    other = yard.place / "handed-in" / "Mal Orry"
    shutil.copytree(yard.place / "handed-in" / HOSTILE, other)
    (other / MODULE / ANSWERS).write_bytes(b"")
    went = yard.go(report=False)
    assert went.codes == (1, 0)
    assert any(HOSTILE in sentence for sentence in went.problems)
    assert went.marks == sound


@pytest.mark.parametrize(
    "when", ["1970-01-01 00:00:00 UTC", "9999-12-31 23:59:59 UTC", "2031-05-04 09:30:00.5 UTC"]
)
def test_a_hand_in_of_another_century_is_marked(yard: Yard, sound: Marks, when: str) -> None:
    (yard.folder.submitted(HOSTILE, MODULE) / "timestamp.txt").write_text(when, encoding="ascii")
    assert yard.command("mark", "--again") == (0, ())
    assert yard.marks() == sound


@pytest.mark.parametrize("when", ["", "99999-12-31 23:59:59 UTC", "nan", "\u0660", "<script>"])
def test_a_time_that_is_none_is_that_learners_problem(yard: Yard, sound: Marks, when: str) -> None:
    (yard.folder.submitted(HOSTILE, MODULE) / "timestamp.txt").write_text(when, encoding="utf-8")
    code, said = yard.command("mark", "--again")
    assert code == 1
    assert len(said) == 1
    assert said[0].startswith(f"'{HOSTILE}' was not marked: ")
    assert yard.marks() == sound


def test_two_commands_at_once_wait_for_each_other_or_say_so(yard: Yard, sound: Marks) -> None:
    folder = str(yard.place / "class")
    commands = (("mark", MODULE, "--again"), ("take-in", MODULE, str(yard.place / "handed-in")))
    two = [
        subprocess.Popen(
            [sys.executable, "-c", WETSLIP, "class", *arguments, "--folder", folder],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )
        for arguments in commands
    ]
    ends = [(process.communicate(timeout=300)[1], process.returncode) for process in two]
    assert {code for _, code in ends} <= {0, 2}
    for said, code in ends:  # on a slow machine the one waits longer than it is patient
        assert code == 0 or "Another command is at work on the class" in said
    assert yard.command("mark") == (0, ())
    assert yard.marks() == sound
    assert list(yard.folder.work.iterdir()) == []
