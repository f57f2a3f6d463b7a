"""The installed command, from outside: what it says, what it leaves, and what it keeps apart."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import psutil
import pytest

from course import desk, desk_settings, learner
from course.learner import Learner, LearnerError, read_learner, write_learner
from instructor import doctor
from instructor.command import main

HEAVY = (
    "IPython",
    "ipywidgets",
    "jupyter_server",
    "jupyterlab",
    "matplotlib",
    "nbgrader",
    "numpy",
    "pydantic",
)


def one_sentence(text: str) -> str:
    """Return what follows the command's name, having seen that it is one line."""
    assert text.startswith("wetslip: ")
    assert text.count("\n") == 1
    return text.removeprefix("wetslip: ").rstrip("\n")


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# help


@pytest.mark.parametrize("part", [[], ["learn"], ["class"], ["doctor"], ["notebooks"]])
def test_help_is_a_page_and_imports_nothing_heavy(part: list[str]) -> None:
    ask = (
        "import sys\nfrom instructor.command import main\n"
        f"try:\n    main([*{part!r}, '--help'])\nexcept SystemExit:\n    pass\n"
        f"print('HEAVY', *sorted(set(sys.modules) & set({HEAVY!r})))"
    )
    child = subprocess.run([sys.executable, "-c", ask], capture_output=True, encoding="utf-8", check=True)
    page, _, heavy = child.stdout.rpartition("HEAVY")
    assert heavy.split() == []
    assert page.startswith("usage: wetslip")
    assert len(page.splitlines()) > 10
    assert max(map(len, page.splitlines())) <= 90


def test_the_version_is_the_package_s(wetslip: Callable[..., Any]) -> None:
    from course import __version__

    assert wetslip("--version").stdout == f"wetslip {__version__}\n"


# who a learner is


def test_a_learner_is_found_from_any_folder_below(tmp_path: Path) -> None:
    write_learner(tmp_path, Learner("anna.ł", "spring-b"))
    below = tmp_path / "03_reference_cell" / "notes"
    below.mkdir(parents=True)
    assert read_learner(below) == Learner("anna.ł", "spring-b")


@pytest.mark.parametrize("name", ["", ".", "a/b", "a b", "-a", "a" * 65, "con", "NUL.txt", "a.", "a\n"])
def test_an_id_that_is_no_folder_s_name_is_refused(name: str) -> None:
    with pytest.raises(LearnerError, match=re.escape(repr(name))):
        Learner(name, "spring-b")


def test_an_id_typed_in_two_forms_is_one_learner() -> None:
    assert Learner("zo\u00eb", "c") == Learner("zoe\u0308", "c")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "cannot be read"),
        ("[1]", "no learner file"),
        ('{"schema": 2, "id": "a", "cohort": "c"}', "no learner file"),
        ('{"schema": 1, "id": 7, "cohort": "c"}', "as text"),
        ('{"schema": 1, "id": "../x", "cohort": "c"}', "cannot be used"),
    ],
)
def test_a_spoiled_learner_file_gets_a_sentence(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "learner.json").write_text(text, encoding="utf-8")
    with pytest.raises(LearnerError, match=says):
        read_learner(tmp_path)


def test_no_learner_anywhere_above_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(LearnerError, match="wetslip learn"):
        read_learner(tmp_path)


# the folder


@pytest.fixture
def source(tmp_path: Path) -> Path:
    place = tmp_path / "modules"
    for name in ("00_a/00_a.ipynb", "01_b/01_b.ipynb", "01_b/picture ż.svg", "01_b/answers.jsonl"):
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_text(f"shipped {name}", encoding="utf-8")
    return place


def test_a_learner_s_work_is_never_overwritten(tmp_path: Path, source: Path) -> None:
    folder = tmp_path / "żaglówka one"
    desk.settle(folder, None)
    assert desk.lay_out(folder, source) == desk.LaidOut(copied=3, kept=0)
    mine = {"00_a/00_a.ipynb": "my work", "01_b/answers.jsonl": "my answers"}
    for name, text in mine.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "01_b/01_b.ipynb").unlink()
    before = contents(folder)
    assert desk.lay_out(folder, source) == desk.LaidOut(copied=1, kept=2)
    assert contents(folder) == before | {str(Path("01_b/01_b.ipynb")): b"shipped 01_b/01_b.ipynb"}


@pytest.mark.parametrize("links", [True, False])
def test_two_starts_in_one_moment_are_one_learner(
    tmp_path: Path, source: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    """Started twice on a folder that is not there yet: who comes second finds what the first one wrote."""
    folder = tmp_path / "folder"
    found: list[Learner] = []
    met: list[Path] = []

    def start() -> None:
        found.append(desk.settle(folder, None))
        desk.lay_out(folder, source)

    def other_first(part: Path, path: Path) -> None:
        met.append(part)
        if len(met) == 1:  # the second start goes the whole way just before the first one moves its file
            start()
        move(part, path)

    move = learner._move_first
    monkeypatch.setattr(learner, "_move_first", other_first)
    if not links:
        monkeypatch.delattr(os, "link")
    start()
    assert len(found) == 2
    assert found[0] == found[1] == read_learner(folder)
    assert all(not path.name.endswith(".part") for path in folder.rglob("*"))


def test_somebody_s_answers_among_the_modules_are_not_handed_on(tmp_path: Path, source: Path) -> None:
    folder = tmp_path / "folder"
    desk.settle(folder, None)
    desk.lay_out(folder, source)
    assert not (folder / "01_b" / "answers.jsonl").exists()


def test_a_disk_that_fills_leaves_no_half_file(
    tmp_path: Path, source: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "folder"
    desk.settle(folder, None)

    def full(source: Path, target: Path) -> None:
        Path(target).write_text("half", encoding="utf-8")
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(target))

    with monkeypatch.context() as patch:
        patch.setattr(shutil, "copyfile", full)
        with pytest.raises(OSError, match="space"):
            desk.lay_out(folder, source)
    assert set(contents(folder)) == {"learner.json"}
    assert desk.lay_out(folder, source).copied == 3


@pytest.mark.skipif(os.name != "posix", reason="limits on a process's files are POSIX")
def test_a_file_system_that_takes_nothing_gets_one_sentence(
    tmp_path: Path, wetslip: Callable[..., Any]
) -> None:
    import resource

    def no_byte() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))

    done = wetslip("learn", tmp_path / "new", "--no-browser", preexec_fn=no_byte)
    assert done.returncode == 2
    assert "learner.json" in one_sentence(done.stderr)
    assert contents(tmp_path) == {}


@pytest.mark.parametrize("place", ["/proc/wetslip", "/sys/wetslip"])
def test_a_folder_that_cannot_be_made_gets_one_sentence(place: str, wetslip: Callable[..., Any]) -> None:
    if not Path(place).parent.is_dir():
        pytest.skip(f"this system has no {Path(place).parent}, which refuses even root")
    done = wetslip("learn", place, "--no-browser")
    assert done.returncode == 2
    assert place in one_sentence(done.stderr)


def test_a_file_in_the_folder_s_place_gets_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "file"
    path.write_text("mine", encoding="utf-8")
    assert main(["learn", str(path), "--no-browser"]) == 2
    assert "is a file" in one_sentence(capsys.readouterr().err)
    assert path.read_text(encoding="utf-8") == "mine"


def test_a_folder_of_other_things_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "thesis.txt").write_text("mine", encoding="utf-8")
    assert main(["learn", str(tmp_path), "--no-browser"]) == 2
    assert "holds other files" in one_sentence(capsys.readouterr().err)
    assert set(contents(tmp_path)) == {"thesis.txt"}


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--id", "anna", "--cohort", "autumn"], "belongs to learner 'anna' of cohort 'spring-b'"),
        (["--id", "ben", "--cohort", "spring-b"], "not to 'ben'"),
        (["--id", "anna"], "together"),
        (["--cohort", "spring-b"], "together"),
        (["--id", "an na", "--cohort", "spring-b"], "'an na' cannot be used"),
    ],
)
def test_another_learner_s_folder_is_refused(
    tmp_path: Path, options: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    write_learner(tmp_path, Learner("anna", "spring-b"))
    before = contents(tmp_path)
    assert main(["learn", str(tmp_path), "--no-browser", *options]) == 2
    assert says in one_sentence(capsys.readouterr().err)
    assert contents(tmp_path) == before


@pytest.mark.parametrize("port", ["taken", "70000", "-1"])
def test_a_port_that_cannot_be_had_is_named(
    tmp_path: Path, port: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        wanted = str(server.getsockname()[1]) if port == "taken" else port
        assert main(["learn", str(tmp_path / "new"), "--no-browser", "--port", wanted]) == 2
    assert f"Port {wanted}" in one_sentence(capsys.readouterr().err)


# the desk


@pytest.fixture(scope="module")
def hostile_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home folder whose Jupyter settings would stop any server that read them."""
    home = tmp_path_factory.mktemp("home")
    (home / ".jupyter").mkdir()
    (home / ".jupyter" / "jupyter_server_config.py").write_text(
        "raise SystemExit('read')\n", encoding="utf-8"
    )
    (home / ".jupyter" / "jupyter_server_config.json").write_text("not json", encoding="utf-8")
    startup = home / ".ipython" / "profile_default" / "startup"
    startup.mkdir(parents=True)
    (startup / "00.py").write_text("raise SystemExit('read')\n", encoding="utf-8")
    broken = home / ".local" / "share" / "jupyter" / "labextensions" / "broken"
    broken.mkdir(parents=True)
    (broken / "package.json").write_text("not json", encoding="utf-8")
    return home


@pytest.fixture(scope="module")
def opened(
    hostile_home: Path, start_desk: Callable[..., Any], tmp_path_factory: pytest.TempPathFactory
) -> Any:
    environment = os.environ | {
        "HOME": str(hostile_home),
        "USERPROFILE": str(hostile_home),
        "JUPYTER_CONFIG_DIR": str(hostile_home / ".jupyter"),
    }
    return start_desk(
        tmp_path_factory.mktemp("rejs próbny") / "kurs 1",
        "--id",
        "anna",
        "--cohort",
        "c",
        environment=environment,
    )


@pytest.fixture
def ask(opened: Any) -> Callable[..., Any]:
    """Return a function that asks the running server, with its token."""
    token = opened.url.rpartition("token=")[2]

    def get(path: str, method: str = "GET", body: bytes | None = None) -> str:
        request = urllib.request.Request(
            f"{opened.base}/{path}", data=body, method=method, headers={"Authorization": f"token {token}"}
        )
        with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request, timeout=30) as answer:
            return str(answer.read().decode("utf-8"))

    return get


def page_config(page: str) -> dict[str, Any]:
    found = re.search(
        r'<script id="jupyter-config-data" type="application/json">(.*?)</script>', page, re.DOTALL
    )
    assert found is not None
    return dict(json.loads(found.group(1)))


def test_the_address_leads_to_the_first_page(opened: Any) -> None:
    assert f"/lab/tree/{desk.FIRST_PAGE}?token=" in opened.url
    assert read_learner(opened.folder) == Learner("anna", "c")


@pytest.mark.parametrize("page", ["lab", "tree"])
def test_only_the_wanted_extensions_are_on_the_page(ask: Callable[..., str], page: str) -> None:
    config = page_config(ask(page))
    names = {extension["name"] for extension in config["federated_extensions"]}
    assert names == set(desk_settings.PAGE_EXTENSIONS)


def test_news_and_updates_are_off(ask: Callable[..., str]) -> None:
    config = page_config(ask("lab"))
    assert "@jupyterlab/apputils-extension:announcements" in config["disabledExtensions"]
    assert config["news"]["disabled"]
    settings = json.loads(ask("lab/api/settings/@jupyterlab/apputils-extension:notification"))
    properties = settings["schema"]["properties"]
    assert properties["fetchNews"]["default"] == "false"
    assert properties["checkForUpdates"]["default"] is False


def test_the_folder_shows_the_course_and_not_the_settings(ask: Callable[..., str]) -> None:
    names = {entry["name"] for entry in json.loads(ask("api/contents"))["content"]}
    assert desk.FIRST_PAGE.split("/")[0] in names
    assert desk_settings.HIDDEN not in names


def test_without_the_token_nothing_is_told(opened: Any) -> None:
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    with pytest.raises(urllib.error.HTTPError, match="403") as refused:
        opener.open(f"{opened.base}/api/contents", timeout=30)
    refused.value.close()


def test_a_second_desk_takes_another_port(
    opened: Any, start_desk: Callable[..., Any], tmp_path: Path
) -> None:
    second = start_desk(tmp_path / "second")
    assert second.base != opened.base
    assert second.close() == 0


def test_closing_is_clean_and_the_home_untouched(
    opened: Any, ask: Callable[..., str], hostile_home: Path
) -> None:
    """Last of this group: a kernel is started, and the desk closed as Ctrl-C does."""
    before = contents(hostile_home)
    json.loads(ask("api/kernels", "POST", b'{"name": "python3"}'))
    family = psutil.Process(opened.process.pid).children(recursive=True)
    assert len(family) >= 2
    assert opened.close() == 0
    _, alive = psutil.wait_procs(family, timeout=20)
    assert alive == []
    assert "your work is on disk" in opened.words.read_text(encoding="utf-8")
    assert contents(hostile_home) == before


@pytest.mark.skipif(os.name != "posix", reason="these signals are POSIX")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_however_it_is_asked_to_end_it_leaves_no_server(
    name: str, start_desk: Callable[..., Any], tmp_path: Path
) -> None:
    begun = start_desk(tmp_path / "folder")
    family = psutil.Process(begun.process.pid).children(recursive=True)
    assert family
    begun.process.send_signal(getattr(signal, name))
    assert begun.process.wait(timeout=30) == 0
    assert psutil.wait_procs(family, timeout=20)[1] == []


# doctor


def verdicts(findings: Iterator[doctor.Finding]) -> dict[str, str]:
    return {finding.sentence: finding.verdict for finding in findings}


def test_the_doctor_finds_this_environment_well(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(Path(sys.executable).parent), prepend=os.pathsep)
    assert main(["doctor", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    for name in ("Python 3.", "wetslip ", "numpy ", "nbgrader ", "alembic is at", "can be written to"):
        assert name in said
    assert "bad" not in [line.split()[0] for line in said.splitlines()]


def test_the_doctor_sees_a_package_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "course.py").write_text("", encoding="utf-8")
    found = verdicts(doctor.own_packages(tmp_path))
    assert "note" in [verdict for sentence, verdict in found.items() if "course.py comes before" in sentence]


def test_the_doctor_sees_a_foreign_package(tmp_path: Path) -> None:
    foreign = tmp_path / "course"
    foreign.mkdir()
    (foreign / "__init__.py").write_text("", encoding="utf-8")
    ask = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r}); from instructor.command import main; "
        "sys.exit(main(['doctor', '/']))"
    )
    child = subprocess.run([sys.executable, "-c", ask], capture_output=True, encoding="utf-8", check=False)
    assert child.returncode == 1
    assert f"bad  the package course comes from {foreign}" in child.stdout


def test_the_doctor_sees_a_missing_library(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = ["no-such-library>=2", "x; extra == 'a'"]
    monkeypatch.setattr(doctor.importlib.metadata, "requires", {"wetslip": wanted}.get)
    found = verdicts(doctor.libraries())
    assert [v for s, v in found.items() if s.startswith("no-such-library is missing")] == ["bad"]
    assert not any(sentence.startswith("x ") for sentence in found)


def test_the_doctor_sees_a_folder_that_takes_nothing(tmp_path: Path) -> None:
    assert doctor.writable(tmp_path / "nowhere").verdict == "bad"
    assert list(tmp_path.iterdir()) == []


def test_the_doctor_finds_a_named_chromium(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("WETSLIP_CHROMIUM", raising=False)
    assert doctor.chromium().verdict == "note"
    monkeypatch.setenv("WETSLIP_CHROMIUM", sys.executable)
    assert doctor.find_chromium() == Path(sys.executable)
