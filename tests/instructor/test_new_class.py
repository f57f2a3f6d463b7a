"""`wetslip class new`, with good and bad folders, rosters and codes."""

from __future__ import annotations

import errno
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from nbgrader.api import Gradebook

from instructor import files
from instructor.layout import open_class

Run = Callable[..., tuple[int, str, str]]
ROSTER = "\ufeffid;name;group\nann;Ann Tarrow;A\nnäs;Näs;B\n"


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    path = tmp_path / "roster.csv"
    path.write_text(ROSTER, encoding="utf-8")
    return path


def test_a_class_folder_and_its_gradebook(run: Run, roster: Path, tmp_path: Path) -> None:
    target = tmp_path / "Kurs ö 1"
    code, said, wrong = run("new", target, "--roster", roster, "--cohort", "tern-1")
    assert (code, wrong) == (0, "")
    assert "wetslip learn --id THEIR_ID --cohort tern-1" in said
    folder = open_class(target)
    assert folder.cohort == "tern-1"
    assert folder.roster.read_text(encoding="utf-8") == (
        "id,name,email,group,extra time\nann,Ann Tarrow,,A,0\nnäs,Näs,,B,0\n"
    )
    with Gradebook(folder.database_url) as gradebook:
        assert {(s.id, s.first_name, s.last_name) for s in gradebook.students} == {
            ("ann", "Ann", "Tarrow"),
            ("näs", "", "Näs"),
        }


def test_alembic_is_found_where_the_path_does_not_name_it(
    run: Run, roster: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    assert run("new", tmp_path / "class", "--roster", roster)[0] == 0


def test_a_cohort_is_invented_when_none_is_given(run: Run, roster: Path, tmp_path: Path) -> None:
    run("new", tmp_path / "class", "--roster", roster)
    assert re.fullmatch(r"[a-z]+-\d{4}", open_class(tmp_path / "class").cohort)


def test_an_empty_folder_will_do_and_a_full_one_is_left_alone(run: Run, roster: Path, tmp_path: Path) -> None:
    target = tmp_path / "class"
    target.mkdir()
    assert run("new", target, "--roster", roster)[0] == 0
    before = sorted(path.name for path in target.iterdir())
    code, _, wrong = run("new", target, "--roster", roster)
    assert code == 2
    assert wrong == f"wetslip: '{target}' exists and is not an empty folder; nothing was changed."
    assert sorted(path.name for path in target.iterdir()) == before
    code, _, wrong = run("new", roster, "--roster", roster)
    assert (code, roster.read_text(encoding="utf-8")) == (2, ROSTER)


@pytest.mark.parametrize("cohort", ["", "../x", "a b", "-x"])
def test_an_unfit_cohort_code(run: Run, roster: Path, tmp_path: Path, cohort: str) -> None:
    code, _, wrong = run("new", tmp_path / "class", "--roster", roster, f"--cohort={cohort}")
    assert code == 2
    assert wrong.startswith(f"wetslip: The cohort code {cohort!r} cannot be used: allowed are letters")
    assert not (tmp_path / "class").exists()


def test_a_path_that_nbgrader_would_take_for_a_pattern(run: Run, roster: Path, tmp_path: Path) -> None:
    code, _, wrong = run("new", tmp_path / "class [1]", "--roster", roster)
    assert code == 2
    assert "may not hold '['" in wrong


def test_a_bad_roster_makes_no_folder(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_text("id,name\nann,A\nann,B\n", encoding="utf-8")
    code, _, wrong = run("new", tmp_path / "class", "--roster", path)
    assert code == 2
    assert wrong == f"wetslip: The id 'ann' in line 3 of '{path}' was given in line 2 already."
    assert not (tmp_path / "class").exists()


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "the disk is full"), (errno.EROFS, "the disk is read-only"),
     (errno.EACCES, "this user may not write or read there")],
)  # fmt: skip
def test_a_disk_that_refuses_is_said_in_one_sentence(
    run: Run, roster: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(number, "refused", str(tmp_path / "class" / "roster.csv"))

    monkeypatch.setattr(files.os, "fsync", refuse)
    code, _, wrong = run("new", tmp_path / "class", "--roster", roster)
    assert code == 2
    assert words in wrong
    assert len(wrong.splitlines()) == 1
    assert not (tmp_path / "class" / "class.json").exists()
    assert not (tmp_path / "class" / "roster.csv").exists()
    assert [path for path in (tmp_path / "class").rglob("*") if path.is_file()] == []


def test_no_class_a_damaged_one_and_one_of_a_later_scheme(run: Run, tmp_path: Path) -> None:
    code, _, wrong = run("mark", "03_reference_cell", "--folder", tmp_path)
    assert code == 2
    assert wrong.startswith(f"wetslip: There is no class in '{tmp_path}'")
    for content, words in (
        ("{", "is damaged: it is not JSON"),
        ('["a"]', "is damaged: it names no cohort"),
        (json.dumps({"schema": 2, "cohort": "x"}), "has scheme 2, and this Wetslip reads scheme 1"),
    ):
        (tmp_path / "class.json").write_text(content, encoding="utf-8")
        code, _, wrong = run("mark", "03_reference_cell", "--folder", tmp_path)
        assert code == 2
        assert words in wrong
        assert len(wrong.splitlines()) == 1
