"""Material of a class's own, sheets on paper, a boat for all, and the guide. One class serves all tests here."""

from __future__ import annotations

import json
import re
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

import graders.exercises as registry
import instructor
from course.boats.datasets import datasets_folder
from course.learner import Learner, write_learner
from graders.exercises import EXERCISES
from graders.own import OwnError, load_own
from graders.personal import plan_for
from instructor.class_command import COMMANDS
from instructor.layout import ClassFolder, open_class

Run = Callable[..., tuple[int, str, str]]
OWN = "40_our_boats"


@pytest.fixture(scope="module")
def home(small_folders: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    return open_class(shutil.copytree(small_folders[1], tmp_path_factory.mktemp("eget ö") / "class"))


def test_a_module_from_the_template_is_sound_and_goes_all_the_way(
    run: Run,
    home: ClassFolder,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    at = ("--folder", home.root)
    assert run("new-module", OWN, "--like", "03.1", *at)[0] == 0
    code, said, wrong = run("check-module", OWN, *at)
    assert (code, wrong) == (0, "")
    assert [line.split("  ")[0] for line in said.splitlines()] == ["in order"] * 5
    assert "done rightly it earns 10 of 10" in said
    code, said, _ = run("release", OWN, *at)
    assert (code, said.splitlines()[0]) == (0, f"Released '{OWN}' to 2 learners.")
    learner = tmp_path / "ann"
    with zipfile.ZipFile(home.root / "handout" / f"{OWN}.zip") as archive:
        archive.extractall(learner)
    write_learner(learner, Learner("ann", "tern-1"))
    monkeypatch.chdir(learner / OWN)
    import course

    assert course.record("40.1", hull_potential="-1") == 0.0
    assert "40.1" in capsys.readouterr().out
    monkeypatch.undo()
    assert run("take-in", OWN, tmp_path, *at)[0] == 0
    code, said, wrong = run("mark", OWN, *at)
    assert (code, wrong) == (0, "")
    assert json.loads(home.marks("ann", OWN).read_text(encoding="utf-8"))["marks"][0]["tries"] == 1
    assert run("report", OWN, *at)[0] == 0
    assert run("appeal", OWN, "ann", tmp_path / "a.zip", *at)[0] == 0
    registry._OWN.pop(OWN)  # another machine, which knows of no such class
    code, said, wrong = run("recheck", tmp_path / "a.zip")
    assert (code, wrong, said.splitlines()[-1]) == (0, "", "Every part comes out as filed.")


def test_a_released_module_of_ones_own_is_not_changed_in_place(run: Run, home: ClassFolder) -> None:
    with (home.own(OWN) / "boats" / "boat_of_40.yaml").open("a", encoding="utf-8") as stream:
        stream.write("# another draught\n")
    assert "has changed since it was released" in run("release", OWN, "--folder", home.root)[2]


def test_a_boat_that_does_not_suit_is_a_finding(run: Run, home: ClassFolder, tmp_path: Path) -> None:
    boat = tmp_path / "bare_launch.yaml"
    text = (datasets_folder() / "boats" / "marsh_lantern.yaml").read_text(encoding="utf-8")
    boat.write_text(
        text.replace("id: marsh_lantern", "id: bare_launch").replace("openable: true", "openable: false"),
        encoding="utf-8",
    )
    at = ("--folder", home.root)
    assert run("new-module", "41_bare", "--like", "03.2", "--boat", boat, *at)[0] == 0
    code, said, _ = run("check-module", "41_bare", *at)
    assert code == 1
    assert "NOT IN ORDER  41.1 Baseline and shift" in said
    shutil.rmtree(home.own("41_bare"))


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            ["03_mine"],
            "A module of your own is named from 20_... to 99_..., in small letters, digits and '_', and not '03_mine'.",
        ),
        (["50_x", "--like", "03.77"], "There is no exercise '03.77'"),
        (["50_x", "--boat", "nowhere.yaml"], "the boat file nowhere.yaml cannot be read"),
        ([OWN], "is there already; nothing was changed."),
    ],
)
def test_a_module_that_cannot_be(run: Run, home: ClassFolder, given: list[str], sentence: str) -> None:
    code, _, wrong = run("new-module", *given, "--folder", home.root)
    assert (code, len(wrong.splitlines())) == (2, 1)
    assert sentence in wrong


@pytest.mark.parametrize(
    "content",
    [
        "- a", "{", "schema: 2\nmodule: 60_x\nexercises: []", "schema: 1\nmodule: 61_y\nexercises: []",
        "schema: 1\nmodule: 60_x\nexercises: []", 'schema: 1\nmodule: 60_x\nexercises: [{id: "60.1", like: "99.9"}]',
        'schema: 1\nmodule: 60_x\nexercises: [{id: "03.1", like: "03.1"}]',
        'schema: 1\nmodule: 60_x\nexercises: [{id: "60.1", like: "03.1", boat: nobodys}]',
        'schema: 1\nmodule: 60_x\nexercises: [{id: "60.1", like: "03.1", code: "import os"}]',
        "schema: 1\nmodule: !!python/object/apply:os.system [ls]\nexercises: []",
    ],
)  # fmt: skip
def test_a_module_file_is_data_and_says_what_is_wrong(tmp_path: Path, content: str) -> None:
    folder = tmp_path / "60_x"
    folder.mkdir()
    (folder / "module.yaml").write_text(content, encoding="utf-8")
    with pytest.raises(OwnError) as said:
        load_own(folder)
    assert "\n" not in str(said.value)
    assert "60.1" not in EXERCISES


def test_sheets_on_paper_and_the_key_apart(run: Run, home: ClassFolder) -> None:
    assert run("paper", OWN, "--folder", home.root)[0] == 0
    sheet, key = (
        (home.root / "paper" / f"{OWN}{ending}.html").read_text(encoding="utf-8") for ending in ("", "-key")
    )
    assert "How a good method goes" in key
    assert "How a good method goes" not in sheet
    assert re.search(r"<td>-\d+(\.\d+)? mV</td>", key)  # a number with its unit, the temperature in its own
    assert "degC" not in key + sheet
    assert sheet.count("<svg") == sheet.count("Readings taken for you") > 0
    assert run("paper", OWN, "nobody", "--folder", home.root)[0] == 2


def test_a_boat_for_all(run: Run, home: ClassFolder, tmp_path: Path) -> None:
    code, said, _ = run("demonstration", tmp_path / "show", "--folder", home.root)
    assert code == 0
    assert "--id demonstration --cohort tern-1" in said
    assert run("demonstration", tmp_path / "show", "--folder", home.root)[0] == 0
    first = EXERCISES["03.1"]
    assert plan_for(first, "demonstration", "tern-1").digest != plan_for(first, "ann", "tern-1").digest


def test_the_guide_knows_every_command_and_everything_stored(run: Run, home: ClassFolder) -> None:
    code, guide, _ = run("guide")
    assert code == 0
    names = {"take_in": "take-in", "own_module": "new-module", "open_class": "open"}
    assert [
        name
        for name in COMMANDS
        if f"class {names.get(name, name)}" not in guide and f"`{names.get(name, name)}" not in guide
    ] == []
    stored = {path.name for path in home.root.iterdir() if not path.name.startswith(".")}
    assert [name for name in stored if f"`{name}`" not in guide and f"`{name}/`" not in guide] == []
    assert Path(run("guide", "--where")[1].strip()) == Path(instructor.__file__).parent / "guide.md"
