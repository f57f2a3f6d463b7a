"""`wetslip class take-in` from what mail, learning platforms and nbgrader's exchange make of a class's work."""

from __future__ import annotations

import io
import json
import os
import stat
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from nbgrader.utils import parse_utc

from instructor.intake import handed_in
from instructor.intake.matching import candidates
from instructor.layout import ClassFolder
from instructor.people.roster import Learner
from instructor.rehearsal.scripted import MODULE

Run = Callable[..., tuple[int, str, str]]
LEFT = "wetslip: Not taken in, left where it is: "


def work(learner: str, answer: str = "1", within: str = "") -> dict[str, bytes]:
    """Return a learner's own folder as files of a zip."""
    identity = {"schema": 1, "id": learner, "cohort": "tern-1"}
    return {
        f"{within}learner.json": json.dumps(identity).encode(),
        f"{within}{MODULE}/answers.jsonl": f'{{"n": "{answer}"}}\n'.encode(),
        f"{within}{MODULE}/logbook.jsonl": b"",
    }


def zipped(files: Mapping[str | zipfile.ZipInfo, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return stream.getvalue()


@pytest.fixture
def take(run: Run, small: ClassFolder, tmp_path: Path) -> Run:
    """Take in a zip with these files; returns exit code, output and errors."""

    def command(files: Mapping[str | zipfile.ZipInfo, bytes], *options: object) -> tuple[int, str, str]:
        place = tmp_path / "class.zip"
        place.write_bytes(zipped(files))
        return run("take-in", MODULE, place, "--folder", small.root, *options)

    return command


def test_a_zip_of_folders_with_names_and_numbers_round_them(take: Run, small: ClassFolder) -> None:
    files = {
        **work("ann", within="All work/Ann Tarrow_4711_file_/"),
        **work("bo", within="All work/winskbo_77_late/Wetslip/"),
        "__MACOSX/All work/._x": b"",
    }
    assert take(files) == (0, "Taken in: 2 new, 0 unchanged, 0 left where they are.\n", "")
    assert (small.submitted("bo", MODULE) / "answers.jsonl").read_bytes() == b'{"n": "1"}\n'


def test_a_zip_of_each_learners_zip(take: Run) -> None:
    files = {
        "Ann Tarrow_12_assign/work.zip": zipped(work("ann", within="Wetslip/")),
        "bo.zip": zipped(work("bo")),
    }
    assert take(files) == (0, "Taken in: 2 new, 0 unchanged, 0 left where they are.\n", "")


def test_a_folder_of_mailed_zips(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    place = tmp_path / "mails"
    place.mkdir()
    (place / "ann.zip").write_bytes(zipped(work("ann")))
    (place / "bo.zip").write_bytes(zipped(work("bo"))[:-30])
    code, said, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert (code, said.splitlines()[1]) == (1, "Nothing yet from: bo")
    assert wrong == f"{LEFT}'bo.zip' is not a zip that can be read; it may be cut short."


def test_a_name_that_fits_nobody_or_two_is_asked_about_and_remembered(take: Run, small: ClassFolder) -> None:
    files = {**work("ann", within="homework/"), **work("bo", within="ann and bo/")}
    code, _, wrong = take(files)
    assert code == 1
    assert wrong.splitlines() == [
        f"{LEFT}The name 'ann and bo' fits 2 on the roster: 'ann' (Ann Tarrow), 'bo' (Bo Winsk). "
        "Say whose it is with --match 'ann and bo=ID'.",
        f"{LEFT}The name 'homework' fits nobody on the roster, and its learner.json names 'ann' (Ann Tarrow). "
        "If that is so, say it with --match 'homework=ann'.",
    ]
    assert not small.submitted("ann", MODULE).exists()
    assert take(files, "--match", "homework=ann", "--match", "ann and bo=bo")[0] == 0
    assert take(files)[:2] == (0, "Taken in: 0 new, 2 unchanged, 0 left where they are.\n")


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ("homework", "'homework' is no match; write it as 'FOLDER=ID'."),
        ("homework=anne", "Nobody on the roster has the id 'anne'; did you mean 'ann'?"),
    ],
)
def test_a_match_that_is_none(take: Run, given: str, sentence: str) -> None:
    assert take(work("ann", within="homework/"), "--match", given) == (2, "", f"wetslip: {sentence}")


def test_a_match_stands_in_for_a_missing_learner_file_and_never_against_one(take: Run) -> None:
    files = work("ann", within="a/") | work("ann", within="b/")
    del files["a/learner.json"]
    code, _, wrong = take(files, "--match", "a=ann", "--match", "b=bo")
    assert (code, wrong) == (1, f"{LEFT}The folder 'b' and its learner.json disagree: that names 'ann'.")


def test_two_works_of_one_learner(take: Run, small: ClassFolder) -> None:
    files = work("ann", within="ann/") | work("ann", "2", within="ann (1)/") | work("bo", within="bo/")
    code, said, wrong = take(files)
    assert (code, said.splitlines()[0]) == (1, "Taken in: 1 new, 0 unchanged, 1 left where they are.")
    assert wrong == (
        f"{LEFT}'ann' and 'ann (1)' are all the work of 'ann' and differ; leave only the one that counts."
    )
    assert take(work("ann", within="ann/") | work("ann", within="ann (1)/"))[0] == 0


def link(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)
    entry.create_system, entry.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    return entry


@pytest.mark.parametrize(
    ("entry", "why"),
    [
        (f"ann/{MODULE}/../../../evil", "has a path that leads out of its folder"),
        (link(f"ann/{MODULE}/logbook"), "is a link"),
        ("ann/a\\b", "has a path from the top of a disk"),
    ],
)
def test_a_zip_that_reaches_out_costs_only_its_owner(
    take: Run, small: ClassFolder, tmp_path: Path, entry: str | zipfile.ZipInfo, why: str
) -> None:
    before = {path for path in tmp_path.rglob("*") if small.root not in path.parents}
    code, said, wrong = take(
        {**work("ann", within="ann/"), entry: b"/etc/passwd", **work("bo", within="bo/")}
    )
    name = entry if isinstance(entry, str) else entry.filename
    assert (code, said.splitlines()[0]) == (1, "Taken in: 1 new, 0 unchanged, 1 left where they are.")
    assert wrong == f"{LEFT}'{name}' in 'class.zip' {why}, so nothing of it is taken in."
    assert not small.received("ann", MODULE).exists()
    after = {path for path in tmp_path.rglob("*") if small.root not in path.parents}
    assert after - before == {tmp_path / "class.zip"}


def test_entries_of_nobody_that_reach_out(take: Run) -> None:
    code, _, wrong = take(
        {**work("ann", within="ann/"), **work("bo", within="bo/"), "/etc/cron": b"", "../up": b""}
    )
    assert code == 1
    assert wrong.splitlines() == [
        f"{LEFT}'/etc/cron' in 'class.zip' has a path from the top of a disk, and is not read.",
        f"{LEFT}'../up' in 'class.zip' has a path that leads out of its folder, and is not read.",
    ]


def test_bombs(take: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(handed_in.MAXIMUM_BYTES, "answers.jsonl", 1000)
    liar = bytearray(zipped(work("bo") | {f"{MODULE}/answers.jsonl": b"\0" * 5000}))
    at = liar.rindex(b"PK\x01\x02", 0, liar.rindex(f"{MODULE}/answers.jsonl".encode()))
    liar[at + 24 : at + 28] = (900).to_bytes(4, "little")  # the size it claims
    code, _, wrong = take({**work("ann", "0" * 2000, within="ann/"), "bo.zip": bytes(liar)})
    assert code == 1
    assert wrong.splitlines() == [
        f"{LEFT}'ann/{MODULE}/answers.jsonl' in 'class.zip' holds 2010 bytes, and at most 1000 are taken in.",
        f"{LEFT}'{MODULE}/answers.jsonl' in 'bo.zip' is damaged and cannot be unpacked (BadZipFile).",
    ]


def test_the_time_of_handing_in(take: Run, small: ClassFolder) -> None:
    assert take(work("ann", within="ann/"), "--at", "2031-05-04 17:00+00:00")[0] == 0
    stamp = (small.submitted("ann", MODULE) / "timestamp.txt").read_text(encoding="ascii")
    assert stamp == "2031-05-04 17:00:00.000000 UTC"
    assert take(work("ann", within="ann/"), "--at", "5 May")[2] == (
        "wetslip: '5 May' is no time; write it as '2031-05-04 17:30'."
    )


def test_whom_a_name_can_mean() -> None:
    roster = (
        Learner("nström", "Nelly Ström", "nelly@reach.example"),
        Learner("b2", "Bo Winsk"),
        Learner("bw", "Bo van Winsk"),
        Learner("x1", "Xenia"),
    )
    found = {
        name: [learner.id for learner in candidates(name, roster)]
        for name in (
            "Stro\u0308m, Nelly",
            "nelly@reach.example 2",
            "Winsk Bo",
            "winsk van bo",
            "B2",
            "xenia",
            "b22",
            "",
        )
    }
    assert found == {
        "Stro\u0308m, Nelly": ["nström"], "nelly@reach.example 2": ["nström"], "Winsk Bo": ["b2"],
        "winsk van bo": ["b2", "bw"], "B2": ["b2"], "xenia": [], "b22": [], "": [],
    }  # fmt: skip


@pytest.mark.skipif(os.name != "posix", reason="the exchange needs POSIX")
def test_release_submit_and_take_in_through_the_exchange(
    run: Run, small: ClassFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pwd

    from nbgrader.auth import Authenticator
    from nbgrader.coursedir import CourseDirectory
    from nbgrader.exchange.default import ExchangeSubmit

    account, exchange, home = pwd.getpwuid(os.getuid()).pw_name, tmp_path / "exchange", tmp_path / "home"
    monkeypatch.setenv("USER", account)
    with small.roster.open("a", encoding="utf-8") as stream:
        stream.write(f"{account},Somebody,,,0\n")
    code, said, _ = run("release", MODULE, "--exchange", exchange, "--folder", small.root)
    assert (code, said.splitlines()[-1]) == (
        0,
        f"It lies in nbgrader's exchange as '{exchange / 'tern-1' / 'outbound' / MODULE}'.",
    )
    (home / MODULE).mkdir(parents=True)
    released = exchange / "tern-1" / "outbound" / MODULE / f"{MODULE}.ipynb"
    (home / MODULE / released.name).write_bytes(released.read_bytes())
    (home / MODULE / "answers.jsonl").write_bytes(b'{"n": "1"}\n')
    monkeypatch.chdir(home)
    directory = CourseDirectory(course_id="tern-1", assignment_id=MODULE)
    submit = ExchangeSubmit(coursedir=directory, authenticator=Authenticator())
    submit.root, submit.cache = str(exchange), str(tmp_path / "cache")
    submit.start()
    inbound = exchange / "tern-1" / "inbound"
    (inbound / f"ann+{MODULE}+2031-05-04 09:30:00 UTC").mkdir()
    code, said, wrong = run("take-in", MODULE, "--exchange", exchange, "--folder", small.root)
    assert (code, said.splitlines()[0]) == (1, "Taken in: 1 new, 0 unchanged, 1 left where they are.")
    assert wrong == (
        f"{LEFT}'ann+{MODULE}+2031-05-04 09:30:00 UTC' belongs to the account '{account}' and not to 'ann'."
    )
    stamp = parse_utc((small.submitted(account, MODULE) / "timestamp.txt").read_text(encoding="ascii"))
    assert parse_utc(next(inbound.glob(f"{account}+*")).name.split("+")[2]) == stamp
