"""What leaves a class: exports, backups, appeal files. One worked class serves all tests, which do not change it."""

from __future__ import annotations

import csv
import io
import json
import shutil
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from graders.exercises import MODULES
from instructor.layout import ClassFolder, open_class
from instructor.records.export import cell
from instructor.rehearsal.scripted import CLASS, MODULE

Run = Callable[..., tuple[int, str, str]]
# the fields of a score: LTI Assignment and Grade Services 2.0, 3.4 Score publish service
SCORE_FIELDS = {
    "userId", "scoreGiven", "scoreMaximum", "timestamp", "activityProgress", "gradingProgress", "comment",
}  # fmt: skip


@pytest.fixture(scope="module")
def out(example_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    folder = tmp_path_factory.mktemp("ut ö") / "class"
    shutil.copytree(example_folder / "class", folder)
    with (folder / "roster.csv").open("a", encoding="utf-8") as stream:
        stream.write('absent,Ab Sent,,,0\nzed,"=HYPERLINK(""http://x"")",,C,0\n')
    return open_class(folder)


def table(path: Path) -> list[dict[str, str]]:
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("=1+1", "'=1+1"), ("+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"), ("@SUM(A1)", "'@SUM(A1)"),
        ("-2+3", "'-2+3"), ("-904", "-904"), ("-0,904", "-0,904"), ("\t=1", "' =1"), ("  =1", "'  =1"),
        ("\r\n=1", "' =1"), ("＝1+1", "'＝1+1"), ("plain", "plain"), ("", ""), ("a\nb", "a b"), ("\0=1", "' =1"),
    ],
)  # fmt: skip
def test_no_cell_runs(text: str, shown: str) -> None:
    assert cell(text) == shown


def test_the_export_of_a_class(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    code, said, wrong = run("export", "--to", tmp_path / "till", "--folder", out.root)
    names = [f"{MODULE}.csv", f"{MODULE}-items.csv", f"{MODULE}-scores.json", "all-modules.csv"]
    assert (code, wrong) == (0, "")
    assert [Path(line).name for line in said.splitlines()] == names
    marks = {row["id"]: row for row in table(tmp_path / "till" / names[0])}
    assert [*marks] == [scripted.learner.id for scripted in CLASS] + ["absent", "zed"]
    assert marks["rpell"]["points"] == marks["rpell"]["out of"] == marks["rpell"]["earned"]
    assert marks["zed"]["name"] == '\'=HYPERLINK("http://x")'
    assert marks["absent"]["points"] == ""
    items = [row for row in table(tmp_path / "till" / names[1]) if row["id"] == "torle"]
    assert sum(float(row["points"]) for row in items) == pytest.approx(float(marks["torle"]["earned"]))
    assert any(row["mistake"] for row in items)
    totals = {row["id"]: row[MODULE] for row in table(tmp_path / "till" / names[3])}
    assert totals["rpell"] == marks["rpell"]["points"]


def test_scores_have_the_standards_names(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    run("export", MODULE, "--to", tmp_path, "--folder", out.root)
    content = json.loads((tmp_path / f"{MODULE}-scores.json").read_text(encoding="utf-8"))
    assert content["lineItem"].keys() == {"label", "resourceId", "scoreMaximum"}
    scores = {score["userId"]: score for score in content["scores"]}
    assert scores["rpell"].keys() == SCORE_FIELDS
    assert (
        scores["rpell"]["scoreGiven"]
        == scores["rpell"]["scoreMaximum"]
        == content["lineItem"]["scoreMaximum"]
    )
    assert (scores["rpell"]["activityProgress"], scores["rpell"]["gradingProgress"]) == (
        "Completed",
        "FullyGraded",
    )
    assert datetime.fromisoformat(scores["rpell"]["timestamp"]).utcoffset() is not None
    assert scores["absent"].keys() == {"userId", "timestamp", "activityProgress", "gradingProgress"}
    assert scores["absent"]["gradingProgress"] == "NotReady"


def test_an_anonymous_export_names_nobody_and_is_the_same_again(
    run: Run, out: ClassFolder, tmp_path: Path
) -> None:
    own = open_class(shutil.copytree(out.root, tmp_path / "class"))
    who = CLASS[0].learner
    kept = json.loads(own.marks(who.id, MODULE).read_text(encoding="utf-8"))
    kept["marks"][0]["parts"][0] |= {"given": f"{who.name} wrote this", "mistake": "unread"}
    own.marks(who.id, MODULE).write_text(json.dumps(kept), encoding="utf-8")
    assert run("export", "--to", tmp_path / "named", "--folder", own.root)[0] == 0
    assert f"{who.name} wrote this" in (tmp_path / "named" / f"{MODULE}-items.csv").read_text(
        encoding="utf-8"
    )
    for place in ("a", "b"):
        assert run("export", "--anonymous", "--to", tmp_path / place, "--folder", own.root)[0] == 0
    said = b"".join(path.read_bytes() for path in (tmp_path / "a").iterdir()).decode()
    for scripted in CLASS:
        assert scripted.learner.id not in said
        assert scripted.learner.name not in said
    same = [(tmp_path / place / f"{MODULE}.csv").read_bytes() for place in ("a", "b")]
    assert same[0] == same[1]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            ["03_refrence_cell"],
            "The module '03_refrence_cell' is not released; did you mean '03_reference_cell'?",
        ),
        (["--group", "Q"], "Nobody on the roster is in the group 'Q'; there are: A, B, C."),
    ],
)
def test_an_export_of_nothing(run: Run, out: ClassFolder, given: list[str], sentence: str) -> None:
    assert run("export", *given, "--folder", out.root) == (2, "", f"wetslip: {sentence}")


def test_a_backup_makes_the_class_again(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    backup, again = tmp_path / "säkert.zip", tmp_path / "again"
    assert run("backup", backup, "--folder", out.root)[0] == 0
    assert run("restore", backup, again)[0] == 0
    left_out = {".lock", "history.jsonl", "gradebook.db"}
    files = [path for path in out.root.rglob("*") if path.is_file() and path.name not in left_out]
    assert files
    assert all((again / path.relative_to(out.root)).read_bytes() == path.read_bytes() for path in files)
    with closing(sqlite3.connect(again / "gradebook.db")) as database:
        assert database.execute("pragma integrity_check").fetchone() == ("ok",)
    assert run("mark", MODULE, "--folder", again)[0] == 0
    assert run("backup", backup, "--folder", out.root)[2].endswith("a backup is never written over another.")
    assert "exists and is not an empty folder" in run("restore", backup, again)[2]


def test_only_the_gradebook_of_a_backup(run: Run, worked: ClassFolder, tmp_path: Path) -> None:
    backup = tmp_path / "b.zip"
    run("backup", backup, "--folder", worked.root)
    (worked.root / "gradebook.db").write_bytes(b"spoilt")
    assert run("mark", MODULE, "--folder", worked.root)[0] == 2
    assert run("restore", backup, worked.root, "--gradebook")[0] == 0
    (kept,) = worked.root.glob("gradebook-before-*.db")
    assert kept.read_bytes() == b"spoilt"
    assert run("mark", MODULE, "--folder", worked.root)[0] == 0


@pytest.mark.parametrize("how", ["changed", "leads out", "no zip", "nothing"])
def test_a_backup_that_is_none_leaves_nothing(run: Run, out: ClassFolder, tmp_path: Path, how: str) -> None:
    backup, spoilt, target = tmp_path / "b.zip", tmp_path / "c.zip", tmp_path / "deep" / "klass"
    run("backup", backup, "--folder", out.root)
    with zipfile.ZipFile(backup) as old, zipfile.ZipFile(spoilt, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if how == "changed" and name.endswith("rpell/03_reference_cell.json"):
                content = content.replace(b"10.0", b"99.0", 1)
            if how == "leads out" and name == "backup.json":
                index = json.loads(content)
                index["sha256"]["../../evil"] = "0"
                content = json.dumps(index).encode()
            new.writestr(name, content)
    if how == "no zip":
        spoilt.write_bytes(b"x")
    if how == "nothing":
        spoilt.unlink()
    code, _, wrong = run("restore", spoilt, target)
    assert (code, len(wrong.splitlines())) == (2, 1)
    assert not target.exists()
    assert not (tmp_path / "evil").exists()


def test_an_appeal_is_checked_again_elsewhere(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    appeal = tmp_path / "torle.zip"
    assert run("appeal", MODULE, "torle", appeal, "--folder", out.root)[0] == 0
    with zipfile.ZipFile(appeal) as archive:
        said = b"".join(archive.read(name) for name in archive.namelist()).decode("utf-8", errors="replace")
    assert not any(one.learner.name in said for one in CLASS if one.learner.id != "torle")
    code, said, _ = run("recheck", appeal)
    assert code == 0
    assert said.startswith(f"The work of 'torle' in '{MODULE}', cohort example-1, marked again:")
    assert said.endswith("Every part comes out as filed.\n")
    assert len(said.splitlines()) > 10


def test_an_appeal_that_was_tampered_with(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    appeal, better, answers = tmp_path / "a.zip", tmp_path / "b.zip", tmp_path / "c.zip"
    run("appeal", MODULE, "torle", appeal, "--folder", out.root)
    with (
        zipfile.ZipFile(appeal) as old,
        zipfile.ZipFile(better, "w") as new,
        zipfile.ZipFile(answers, "w") as other,
    ):
        for name in old.namelist():
            content = old.read(name)
            new.writestr(
                name,
                content.replace(b'"points": 0.0', b'"points": 5.0') if name == "appeal.json" else content,
            )
            other.writestr(name, content + b"\n" if name == "work/answers.jsonl" else content)
    code, said, _ = run("recheck", better)
    assert code == 1
    assert "FILED AS 5" in said
    assert run("recheck", answers) == (
        2, "", "wetslip: 'work/answers.jsonl' in 'c.zip' was changed since the file was written.",
    )  # fmt: skip
    assert run("recheck", tmp_path / "none.zip")[2] == f"wetslip: There is no file '{tmp_path / 'none.zip'}'."
    (tmp_path / "n.zip").write_bytes(b"no zip")
    assert run("recheck", tmp_path / "n.zip")[0] == 2


def test_an_appeal_of_nothing(run: Run, out: ClassFolder, tmp_path: Path) -> None:
    code, _, wrong = run("appeal", MODULE, "absent", tmp_path / "a.zip", "--folder", out.root)
    assert (code, wrong) == (
        2,
        f"wetslip: Nothing of 'absent' in '{MODULE}' is marked, so there is nothing to appeal.",
    )


def test_a_feedback_page_has_a_figure_and_nothing_of_others(run: Run, out: ClassFolder) -> None:
    assert run("feedback", MODULE, "rpell", "--folder", out.root)[1].startswith("Wrote 1 feedback page ")
    page = out.feedback("rpell", MODULE).read_text(encoding="utf-8")
    assert page.count("<svg") == sum(exercise.bench for exercise in MODULES[MODULE])
    assert "http" not in page.replace("http-equiv", "")
    assert "<script" not in page
    released = json.loads(out.released(MODULE).read_text(encoding="utf-8"))
    for digest in released["slips"]["rpell"].values():
        assert json.loads(out.slip(digest).read_text(encoding="utf-8"))["seed"] not in page
    assert not any(one.learner.name in page for one in CLASS if one.learner.id != "rpell")
