"""A class that runs: the roster added to and corrected, due times, and a learner removed wholly."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from instructor.handout.terms import Terms, read_terms
from instructor.layout import ClassFolder, open_class
from instructor.people.roster import Learner, read_roster
from instructor.records.history import rows
from instructor.rehearsal.scripted import MODULE

Run = Callable[..., tuple[int, str, str]]
NOON = datetime(2031, 5, 4, 12, tzinfo=UTC)
ANN = Learner("ann", "Ann Tarrow", extra_time=25)


@pytest.fixture(scope="module")
def later(example_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """One copy of the worked class for all tests of this file, which go on from each other's state."""
    folder = tmp_path_factory.mktemp("later ö") / "class"
    return open_class(shutil.copytree(example_folder / "class", folder))


def test_a_newer_roster_adds_corrects_and_keeps(run: Run, later: ClassFolder, tmp_path: Path) -> None:
    before = {path: path.read_bytes() for path in (later.root / "submitted").rglob("*") if path.is_file()}
    newer = tmp_path / "newer.csv"
    newer.write_text(
        "id;name;e-mail\nrpell;Rowan Pell-Orme;r@reach.example\nzoe;Zoe Wick;\n", encoding="utf-8"
    )
    code, said, _ = run("roster", newer, "--folder", later.root)
    assert code == 0
    assert said.splitlines() == [
        "Added: zoe.",
        "Corrected: rpell.",
        "Not in the file, and kept: imarren, torle, jvask, mkestrin, ofarrell-lund, nström.",
        f"To draw the new learners' boats: wetslip class release {MODULE}",
    ]
    roster = {learner.id: learner for learner in read_roster(later.roster)}
    assert roster["rpell"] == Learner("rpell", "Rowan Pell-Orme", "r@reach.example", "A")
    assert roster["jvask"].extra_time == 25
    assert {path: path.read_bytes() for path in before} == before
    assert run("roster", newer, "--folder", later.root)[1].startswith("Nothing was to be changed.")


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (["new"], "'new' is not on the roster yet; to add them give a --name."),
        (["RPELL", "--name", "X"], "The id 'RPELL' differs from 'rpell' on the roster by capitals alone."),
        (["../x", "--name", "X"], "The id '../x' in the command cannot name a folder: allowed are letters"),
        (
            ["rpell", "--extra-time", "lots"],
            "The extra time 'lots' in the command is not a number of per cent from 0 to 1000.",
        ),
    ],
)
def test_one_learner_that_cannot_be(run: Run, later: ClassFolder, given: list[str], sentence: str) -> None:
    code, _, wrong = run("learner", *given, "--folder", later.root)
    assert code == 2
    assert wrong.startswith(f"wetslip: {sentence}")


def test_one_learner_is_corrected_and_shown(run: Run, later: ClassFolder) -> None:
    assert run("learner", "torle", "--extra-time", "10 %", "--folder", later.root)[1] == "Corrected: torle.\n"
    _, said, _ = run("roster", "--folder", later.root)
    assert "torle          Tamsin Orle, group A, 10 % extra time" in said
    assert said.endswith("8 learners, cohort example-1.\n")


def test_lateness() -> None:
    terms = Terms(NOON, None, per_day=10, last_day=3, own={"bo": NOON + timedelta(days=1)})
    assert terms.late(ANN, NOON) is None
    assert terms.late(ANN, None) is None
    found = [terms.late(ANN, NOON + timedelta(hours=hours)) for hours in (1, 24, 25, 72, 73)]
    assert [late.per_cent if late else None for late in found] == [10, 10, 20, 30, 100]
    assert terms.late(Learner("bo", "Bo"), NOON + timedelta(hours=24)) is None
    sitting = Terms(NOON, NOON - timedelta(hours=2))
    assert sitting.due_for(ANN) == NOON + timedelta(minutes=30)
    assert Terms(NOON).due_for(ANN) == NOON


def test_due_is_set_shown_and_taken_off(run: Run, later: ClassFolder) -> None:
    at = ("--folder", later.root)
    assert run("due", MODULE, *at)[1] == f"'{MODULE}' has no due time.\n"
    code, said, _ = run(
        "due", MODULE, "2020-05-04T17:00+00:00", "--late-per-day", "10", "--last-day", "9999", *at
    )
    assert (code, len(said.splitlines())) == (0, 3)
    run("due", MODULE, "2999-01-01 12:00", "--for", "rpell", *at)
    assert read_terms(later, MODULE).own.keys() == {"rpell"}
    run("report", MODULE, *at)
    page = later.feedback("imarren", MODULE).read_text(encoding="utf-8")
    assert "100 per cent" in page
    assert re.search(r">0 of [0-9.]+ points<", page)
    assert "per cent" not in later.feedback("rpell", MODULE).read_text(encoding="utf-8")
    assert run("due", MODULE, "none", "--for", "rpell", *at)[0] == 0
    assert run("due", MODULE, "none", *at)[0] == 0


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (["soon"], "'soon' is no time; write it as '2031-05-04 17:30'."),
        (["2031-05-04"], "'2031-05-04' is no time; write it as '2031-05-04 17:30'."),
        (
            ["--for", "rpell"],
            "Say until when: 'wetslip class due MODULE WHEN --for ID', or 'none' to take it back.",
        ),
        (
            ["2031-05-04 09:00", "--for", "rpel"],
            "Nobody on the roster has the id 'rpel'; did you mean 'rpell'?",
        ),
        (
            ["2031-05-04 09:00", "--late-per-day", "200"],
            "What a late day costs is from 0 to 100 per cent, and not 200.",
        ),
        (
            ["2031-05-04 09:00", "--from", "2031-05-04 09:00"],
            "A sitting begins before it is due; give both times, the earlier one with --from.",
        ),
    ],
)
def test_terms_that_cannot_be(run: Run, later: ClassFolder, given: list[str], sentence: str) -> None:
    assert run("due", MODULE, *given, "--folder", later.root) == (2, "", f"wetslip: {sentence}")


def test_a_learner_is_removed_wholly(run: Run, later: ClassFolder) -> None:
    at = ("--folder", later.root)
    run("due", MODULE, "2999-01-01 12:00", "--for", "ofarrell-lund", *at)
    run("learner", "ofarrell-lund", "--email", "odo@reach.example", *at)
    run("paper", MODULE, "ofarrell-lund", *at)
    (later.root / "gradebook-before-20310504T000000Z.db").write_bytes(
        (later.root / "gradebook.db").read_bytes()
    )
    code, said, _ = run("remove", "ofarrell-lund", *at)
    assert (code, "submitted/ofarrell-lund" in said) == (1, True)
    assert later.submitted("ofarrell-lund", MODULE).is_dir()
    assert run("remove", "ofarrell-lund", "--yes", *at)[0] == 0
    wanted = (b"ofarrell-lund", b"Farrell", b"odo@reach.example")
    left = [
        path
        for path in later.root.rglob("*")
        if path.is_file() and any(w in path.read_bytes() for w in wanted)
    ]
    assert left == []
    assert not any("ofarrell" in path.name for path in later.root.rglob("*"))
    assert later.submitted("rpell", MODULE).is_dir()
    assert run("mark", MODULE, *at)[0] == 0
    assert run("remove", "ofarrell-lund", "--yes", *at)[2].startswith(
        "wetslip: Nobody on the roster has the id"
    )


def test_the_history_tells_who_did_what(run: Run, later: ClassFolder) -> None:
    told = list(rows(later.root))
    assert {"roster", "learner", "due", "mark"} <= {row["command"] for row in told}
    assert all(row["by"] and datetime.fromisoformat(row["at"]) for row in told)
    assert "(removed)" in json.dumps(told)
    code, said, _ = run("history", "--folder", later.root)
    assert (code, len(said.splitlines())) == (0, len(told))
