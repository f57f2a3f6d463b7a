"""nbgrader's formgrader, opened by `wetslip class open` in a real Chromium, shows the marks and asks nothing outside."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

import instructor
from instructor.command import main
from instructor.layout import open_class
from instructor.marking.marks import read_marks
from instructor.rehearsal.scripted import MODULE

pytestmark = pytest.mark.browser

PATIENCE_MS = 90_000  # for a shared machine with two cores; it says nothing about speed

MARKED = {
    "Pell, Rowan": "rpell",
    "Marren, Isko": "imarren",
    "Orle, Tamsin": "torle",
    "Vask, Jory": "jvask",
    "Kestrin, Maud": "mkestrin",
    "Farrell-Lund, Odo": "ofarrell-lund",
    "Ström, Nelly": "nström",
}


@pytest.fixture(scope="module")
def class_folder(tmp_path_factory: pytest.TempPathFactory, chromium: Path) -> Path:
    """The invented class, marked, in a folder with spaces and letters outside ASCII."""
    folder = tmp_path_factory.mktemp("Klasse å 中") / "an example"
    assert main(["class", "example", str(folder)]) == 0
    return folder / "class"


@pytest.fixture(scope="module")
def formgrader(class_folder: Path) -> Iterator[str]:
    """The address that `wetslip class open --no-browser` prints, served until the tests are done."""
    packages = str(Path(instructor.__file__).parents[1])
    path = os.pathsep.join(filter(None, [os.environ.get("PYTHONPATH", ""), packages]))
    log = class_folder.parent / "server.txt"
    with log.open("w", encoding="utf-8") as stream:
        server = subprocess.Popen(
            [sys.executable, "-c", "import sys; from instructor.command import main; sys.exit(main())", "class",
             "open", "--no-browser", "--folder", str(class_folder)],
            env={**os.environ, "PYTHONPATH": path, "PATH": "/usr/bin:/bin"},  # alembic is not on this path
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=stream,
            encoding="utf-8",
        )  # fmt: skip
    assert server.stdout is not None
    found = re.search(r"http://\S+", server.stdout.readline())
    assert found, log.read_text(encoding="utf-8")
    yield found.group()
    server.terminate()
    server.wait(30)
    server.stdout.close()


@pytest.fixture
def at(formgrader: str, page_at: Callable[..., Page]) -> Callable[[str], Page]:
    """Open the printed address, which logs in, and then one of formgrader's pages."""

    def open_page(name: str) -> Page:
        page = page_at(formgrader)
        expect(page.locator("#main-table tr", has_text=MODULE)).to_be_visible(timeout=PATIENCE_MS)
        page.goto(formgrader.split("?")[0] + "/" + name)
        return page

    return open_page


def score(class_folder: Path, learner: str, more: float = 0.0) -> str:
    """What our own marks of a learner come to, as formgrader writes it."""
    marks = read_marks(open_class(class_folder), MODULE, learner)
    assert marks is not None
    points, out_of = sum(mark.points for mark in marks) + more, sum(mark.out_of for mark in marks)
    return f"{round(points, 2):g} / {out_of:g}"


def row_of(page: Page, name: str) -> str:
    return page.locator("#main-table tr", has_text=name).inner_text()


def test_the_address_leads_to_the_assignments(formgrader: str, page_at: Callable[..., Page]) -> None:
    page = page_at(formgrader)
    expect(page.locator("#main-table tr", has_text=MODULE)).to_be_visible(timeout=PATIENCE_MS)
    assert page.url.endswith("/formgrader/manage_assignments")
    assert row_of(page, MODULE).split()[-1] == "7"


def test_without_the_token_nothing_is_shown(formgrader: str, page_at: Callable[..., Page]) -> None:
    page = page_at(formgrader.split("?")[0])
    assert "/login" in page.url
    assert MODULE not in page.locator("body").inner_text()


def test_manage_submissions_shows_every_mark(
    class_folder: Path, at: Callable[[str], Page], tmp_path: Path
) -> None:
    page = at(f"manage_submissions/{MODULE}")
    expect(page.locator("#main-table tr", has_text="Orle, Tamsin")).to_be_visible(timeout=PATIENCE_MS)
    for name, learner in MARKED.items():
        row = row_of(page, name)
        assert score(class_folder, learner) in row
        assert "graded" in row
    page.screenshot(path=tmp_path / "manage_submissions.png", full_page=True)


def test_a_submission_shows_points_and_reasons_and_takes_a_score_by_hand(
    class_folder: Path, formgrader: str, at: Callable[[str], Page]
) -> None:
    page = at(f"manage_students/torle/{MODULE}")
    page.locator("#main-table a", has_text=MODULE).click()
    box = page.locator("#check-03-1")
    expect(box).to_have_attribute("placeholder", "5", timeout=PATIENCE_MS)
    expect(page.locator("body")).to_contain_text("this field wants millivolts", timeout=PATIENCE_MS)
    box.fill("7")
    with page.expect_response(lambda answer: answer.request.method == "PUT"):
        box.blur()
    page.wait_for_load_state("networkidle")
    page.goto(formgrader.split("?")[0] + f"/manage_submissions/{MODULE}")
    expect(page.locator("#main-table tr", has_text="Orle, Tamsin")).to_contain_text(
        score(class_folder, "torle", more=2), timeout=PATIENCE_MS
    )


def test_the_autograde_button_gives_the_same_mark(class_folder: Path, at: Callable[[str], Page]) -> None:
    page = at(f"manage_submissions/{MODULE}")
    row = page.locator("#main-table tr", has_text="Kestrin, Maud")
    maud = score(class_folder, "mkestrin")
    expect(row).to_contain_text(maud, timeout=PATIENCE_MS)
    row.locator(".autograde a").click()
    expect(page.locator("#success-modal")).to_contain_text("Successfully autograded", timeout=PATIENCE_MS)
    expect(page.locator("#main-table tr", has_text="Kestrin, Maud")).to_contain_text(
        maud, timeout=PATIENCE_MS
    )
