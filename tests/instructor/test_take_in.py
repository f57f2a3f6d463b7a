"""`wetslip class take-in`: what comes in, what is left where it is, and what is kept."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest
from nbgrader.utils import determine_grade, parse_utc

from graders.exercises import MODULES
from graders.submission import LARGEST_BYTES
from instructor import files
from instructor.handout.check_cells import check_cells
from instructor.intake import handed_in
from instructor.layout import ClassFolder
from instructor.rehearsal.scripted import MODULE

Run = Callable[..., tuple[int, str, str]]
LEFT = "wetslip: Not taken in, left where it is: "


def hand_in(place: Path, learner: str, says: object = None, flat: bool = False, answer: str = "1") -> Path:
    """Make a learner's folder as it is handed in; `says` overrides what learner.json holds."""
    own = place / learner
    folder = own if flat else own / MODULE
    folder.mkdir(parents=True)
    identity = {"schema": 1, "id": learner, "cohort": "tern-1"} if says is None else says
    text = identity if isinstance(identity, str) else json.dumps(identity)
    (own / "learner.json").write_text(text, encoding="utf-8")
    (folder / "answers.jsonl").write_text(json.dumps({"n": answer}) + "\n", encoding="utf-8")
    (folder / "logbook.jsonl").write_text("", encoding="utf-8")
    (folder / f"{MODULE}.ipynb").write_text("not a notebook", encoding="utf-8")
    return own


def versions(small: ClassFolder, learner: str) -> list[Path]:
    return sorted(small.received(learner, MODULE).iterdir())


def test_both_shapes_come_in_and_the_original_is_kept(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    place = tmp_path / "in å"
    hand_in(place, "ann")
    hand_in(place, "bo", flat=True)
    code, said, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert (code, wrong) == (0, "")
    assert said == "Taken in: 2 new, 0 unchanged, 0 left where they are.\n"
    for learner in ("ann", "bo"):
        (kept,) = versions(small, learner)
        assert (kept / f"{MODULE}.ipynb").read_text(encoding="utf-8") == "not a notebook"
        submitted = small.submitted(learner, MODULE)
        names = {path.name for path in submitted.iterdir()}
        assert names == {
            "answers.jsonl", "logbook.jsonl", "learner.json", f"{MODULE}.ipynb", "timestamp.txt",
            "submission_secret.txt",
        }  # fmt: skip
        for name in ("answers.jsonl", "logbook.jsonl", "learner.json"):
            assert (kept / name).read_bytes() == (submitted / name).read_bytes()
        assert parse_utc((submitted / "timestamp.txt").read_text(encoding="utf-8")) is not None


def test_the_released_notebook_stands_in_place_with_zero_in_every_check_cell(
    run: Run, small: ClassFolder, tmp_path: Path
) -> None:
    hand_in(tmp_path / "in", "ann")
    run("take-in", MODULE, tmp_path / "in", "--folder", small.root)
    notebook = nbformat.read(str(small.submitted("ann", MODULE) / f"{MODULE}.ipynb"), as_version=4)
    released = nbformat.read(str(small.release_notebook(MODULE)), as_version=4)
    assert [cell.source for cell in notebook.cells] == [cell.source for cell in released.cells]
    assert [determine_grade(cell)[0] for cell in check_cells(notebook)] == [0.0] * len(MODULES[MODULE])


def test_nobody_on_the_roster_and_disagreeing_names_are_told_and_the_rest_comes_in(
    run: Run, small: ClassFolder, tmp_path: Path
) -> None:
    place = tmp_path / "in"
    hand_in(place, "ann")
    hand_in(place, "ghost")
    hand_in(place, "bo", says={"schema": 1, "id": "ann", "cohort": "tern-1"})
    before = {path: path.read_bytes() for path in place.rglob("*") if path.is_file()}
    code, said, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert code == 1
    assert said.splitlines() == [
        "Taken in: 1 new, 0 unchanged, 2 left where they are.",
        "Nothing yet from: bo",
    ]
    assert wrong.splitlines() == [
        f"{LEFT}The folder 'bo' and its learner.json disagree: that names 'ann'.",
        f"{LEFT}'ghost' is the work of 'ghost' by its learner.json, and nobody on the roster has that id.",
    ]
    assert {path: path.read_bytes() for path in place.rglob("*") if path.is_file()} == before
    assert not small.submitted("bo", MODULE).exists()
    assert not (small.root / "submitted" / "ghost").exists()


@pytest.mark.parametrize(
    ("says", "sentence"),
    [
        ("{", "The learner.json of 'ann' is damaged, so it cannot be told whose work it is."),
        ("[]", "The learner.json of 'ann' is damaged, so it cannot be told whose work it is."),
        ("[" * 5000, "The learner.json of 'ann' is damaged, so it cannot be told whose work it is."),
        (
            {"schema": 1, "id": "ann", "cohort": "gull-2"},
            "'ann' was worked with the cohort code 'gull-2', and this class has 'tern-1', so its boats are "
            "other ones.",
        ),
        (
            {"schema": 1, "id": "../../etc", "cohort": "tern-1"},
            "'ann' is the work of '../../etc' by its learner.json, and nobody on the roster has that id.",
        ),
        (
            {"schema": 1, "id": ["ann"], "cohort": "tern-1"},
            "'ann' is the work of ['ann'] by its learner.json, and nobody on the roster has that id.",
        ),
    ],
)
def test_a_learner_file_that_cannot_be_trusted(
    run: Run, small: ClassFolder, tmp_path: Path, says: object, sentence: str
) -> None:
    hand_in(tmp_path / "in", "ann", says=says)
    code, _, wrong = run("take-in", MODULE, tmp_path / "in", "--folder", small.root)
    assert (code, wrong) == (1, LEFT + sentence)
    assert not small.received("ann", MODULE).exists()


def test_no_learner_file_and_nothing_of_the_module(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    place = tmp_path / "in"
    (hand_in(place, "ann") / "learner.json").unlink()
    shutil.rmtree(hand_in(place, "bo") / MODULE)
    code, _, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert code == 1
    assert wrong.splitlines() == [
        f"{LEFT}'ann' holds no learner.json, so it cannot be told whose work it is.",
        f"{LEFT}'bo' holds nothing of the module '{MODULE}'.",
    ]


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
@pytest.mark.parametrize("name", ["answers.jsonl", "logbook.jsonl", f"{MODULE}.ipynb"])
def test_a_link_is_never_followed(run: Run, small: ClassFolder, tmp_path: Path, name: str) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("another's work", encoding="utf-8")
    path = hand_in(tmp_path / "in", "ann") / MODULE / name
    path.unlink()
    path.symlink_to(secret)
    code, _, wrong = run("take-in", MODULE, tmp_path / "in", "--folder", small.root)
    assert code == 1
    assert "is not a plain file (a link, a folder or a device), and is not read." in wrong
    assert not small.received("ann", MODULE).exists()


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_a_linked_folder_is_never_followed(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    elsewhere = hand_in(tmp_path / "elsewhere", "ann")
    place = tmp_path / "in"
    place.mkdir()
    (place / "ann").symlink_to(elsewhere)
    own = hand_in(place, "bo")
    shutil.move(own / MODULE, tmp_path / "moved")
    (own / MODULE).symlink_to(tmp_path / "moved")
    code, _, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert code == 1
    assert wrong.splitlines() == [
        f"{LEFT}'ann' is a link to another folder, and is not followed.",
        f"{LEFT}'bo' holds a link in place of the folder '{MODULE}', and it is not followed.",
    ]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_does_not_hang_the_run(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    path = hand_in(tmp_path / "in", "ann") / MODULE / "answers.jsonl"
    path.unlink()
    os.mkfifo(path)
    assert run("take-in", MODULE, tmp_path / "in", "--folder", small.root)[0] == 1


def test_a_file_that_is_too_large(
    run: Run, small: ClassFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert handed_in.MAXIMUM_BYTES["answers.jsonl"] == LARGEST_BYTES  # what marking reads comes in
    monkeypatch.setitem(handed_in.MAXIMUM_BYTES, "answers.jsonl", 1000)
    path = hand_in(tmp_path / "in", "ann") / MODULE / "answers.jsonl"
    path.write_bytes(b"x" * 1001)
    code, _, wrong = run("take-in", MODULE, tmp_path / "in", "--folder", small.root)
    assert (code, wrong) == (1, f"{LEFT}'{path}' holds 1001 bytes, and at most 1000 are taken in.")


def test_again_unchanged_keeps_one_version_and_changed_keeps_both(
    run: Run, small: ClassFolder, tmp_path: Path
) -> None:
    place = tmp_path / "in"
    own = hand_in(place, "ann")
    for _ in range(2):
        _, said, _ = run("take-in", MODULE, place, "--folder", small.root)
    assert said.startswith("Taken in: 0 new, 1 unchanged")
    assert len(versions(small, "ann")) == 1
    stamp = (small.submitted("ann", MODULE) / "timestamp.txt").read_bytes()
    first = (own / MODULE / "answers.jsonl").read_bytes()
    (own / MODULE / "answers.jsonl").write_bytes(first + b'{"n": "2"}\n')
    _, said, _ = run("take-in", MODULE, place, "--folder", small.root)
    assert said.startswith("Taken in: 1 new, 0 unchanged")
    old, new = versions(small, "ann")
    assert (old / "answers.jsonl").read_bytes() == first
    assert (new / "answers.jsonl").read_bytes() == first + b'{"n": "2"}\n'
    assert (small.submitted("ann", MODULE) / "answers.jsonl").read_bytes() == first + b'{"n": "2"}\n'
    assert (small.submitted("ann", MODULE) / "timestamp.txt").read_bytes() != stamp


def test_an_earlier_version_that_comes_back_is_taken_in_as_the_newest(
    run: Run, small: ClassFolder, tmp_path: Path
) -> None:
    for answer, place in (("1", "a"), ("2", "b"), ("1", "c")):
        hand_in(tmp_path / place, "ann", answer=answer)
        run("take-in", MODULE, tmp_path / place, "--folder", small.root)
    assert len(versions(small, "ann")) == 3
    assert b'"1"' in (small.submitted("ann", MODULE) / "answers.jsonl").read_bytes()


@pytest.mark.parametrize("stop_at", range(1, 14))
def test_stopped_anywhere_it_is_run_again_and_nothing_is_lost(
    run: Run, small: ClassFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop_at: int
) -> None:
    """The process dies at the n-th writing or move of a file or folder, during the second hand-in of a learner."""
    place = tmp_path / "in"
    own = hand_in(place, "ann")
    run("take-in", MODULE, place, "--folder", small.root)
    first = (own / MODULE / "answers.jsonl").read_bytes()
    (own / MODULE / "answers.jsonl").write_bytes(first + b"{}\n")
    moves = 0

    def dying(real: Callable[..., Path]) -> Callable[..., Path]:
        def move(*arguments: object) -> Path:
            nonlocal moves
            moves += 1
            if moves == stop_at:
                raise SystemExit("killed")
            return real(*arguments)

        return move

    with monkeypatch.context() as patch:
        patch.setattr(files.Path, "replace", dying(Path.replace))
        patch.setattr(files.Path, "rename", dying(Path.rename))
        patch.setattr(files, "_write", dying(files._write))
        with pytest.raises(SystemExit):
            run("take-in", MODULE, place, "--folder", small.root)
    assert run("take-in", MODULE, place, "--folder", small.root)[0] == 0
    old, *new = versions(small, "ann")
    assert (old / "answers.jsonl").read_bytes() == first
    assert [path / "answers.jsonl" for path in new]
    assert (new[-1] / "answers.jsonl").read_bytes() == first + b"{}\n"
    assert (small.submitted("ann", MODULE) / "answers.jsonl").read_bytes() == first + b"{}\n"
    assert len(list(small.submitted("ann", MODULE).iterdir())) == 6
    assert list((small.root / ".work").iterdir()) == []


def test_who_came_in_an_earlier_round_is_not_missed(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    hand_in(tmp_path / "first", "ann")
    hand_in(tmp_path / "second", "bo")
    said = [
        run("take-in", MODULE, tmp_path / place, "--folder", small.root)[1] for place in ("first", "second")
    ]
    assert ["Nothing yet from: bo" in said[0], "Nothing yet" in said[1]] == [True, False]


def test_folders_that_are_none(run: Run, small: ClassFolder, tmp_path: Path) -> None:
    own = hand_in(tmp_path / "in", "ann")
    (tmp_path / "empty").mkdir()
    for place, words in (
        (tmp_path / "none", "There is no folder"),
        (tmp_path / "empty", "holds no learners' folders"),
        (own, "is a learner's own folder; name the folder that holds the learners' folders"),
    ):
        code, _, wrong = run("take-in", MODULE, place, "--folder", small.root)
        assert code == 2
        assert words in wrong
        assert len(wrong.splitlines()) == 1


def test_before_the_release(run: Run, fresh: Path, tmp_path: Path) -> None:
    hand_in(tmp_path / "in", "ann")
    code, _, wrong = run("take-in", MODULE, tmp_path / "in", "--folder", fresh)
    assert code == 2
    assert f"is not released; do that with 'wetslip class release {MODULE}'" in wrong


def test_a_disk_that_fills_up_costs_only_the_learner_at_hand(
    run: Run, small: ClassFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "in"
    hand_in(place, "ann")
    hand_in(place, "bo")
    real, calls = os.fsync, []

    def full_at_first(number: int) -> None:
        calls.append(number)
        if len(calls) == 2:
            raise OSError(28, "No space left on device", "a file")
        real(number)

    with monkeypatch.context() as patch:
        patch.setattr(files.os, "fsync", full_at_first)
        code, said, wrong = run("take-in", MODULE, place, "--folder", small.root)
    assert code == 1
    assert "the disk is full" in wrong
    assert "1 new" in said
    assert run("take-in", MODULE, place, "--folder", small.root)[:2] == (
        0,
        "Taken in: 1 new, 1 unchanged, 0 left where they are.\n",
    )
