"""`wetslip class report`: pages that show one learner everything that is theirs, and nothing else."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest
from nbgrader.api import Gradebook

from graders.exercises import MODULES
from instructor.layout import ClassFolder, open_class
from instructor.marking.marks import read_marks
from instructor.rehearsal.scripted import CLASS, MODULE
from instructor.report.feedback_figure import readings
from instructor.report.summary import mistake_rows, plain_cell

Run = Callable[..., tuple[int, str, str]]
OUT_OF = sum(exercise.points for exercise in MODULES[MODULE])
SCRIPT = "<script>alert(1)</script>&\"'"
AA = 4.5  # WCAG 2.2, success criterion 1.4.3: contrast of text at least 4.5:1
LEAST_PIXELS = 16


class Page(HTMLParser):
    """A page's text, tags and addresses."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [str(value) for name, value in attrs if name in ("src", "href")]

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def page_of(folder: ClassFolder, learner: str) -> Page:
    return Page(folder.feedback(learner, MODULE))


def edit_marks(folder: ClassFolder, learner: str, **changes: object) -> None:
    path = folder.marks(learner, MODULE)
    content = json.loads(path.read_text(encoding="utf-8"))
    for name, value in changes.items():
        if name in ("given", "reason", "title", "mistake"):
            content["marks"][0]["parts"][0][name] = value
        else:
            content["marks"][0][name] = value
    path.write_text(json.dumps(content), encoding="utf-8")


@pytest.mark.parametrize("learner", [scripted.learner.id for scripted in CLASS])
def test_a_page_holds_the_whole_mark(example_folder: Path, learner: str) -> None:
    folder = open_class(example_folder / "class")
    text = page_of(folder, learner).text
    marks = read_marks(folder, MODULE, learner)
    assert marks is not None
    for mark in marks:
        for sentence in (*mark.notices, *mark.trail, *mark.method):
            assert " ".join(sentence.split()) in text
        for part in mark.parts:
            assert part.title in text
            assert " ".join(part.reason.split()) in text
    assert f"{sum(mark.points for mark in marks):.4g} of {OUT_OF:g} points" in text


def test_a_page_tells_nothing_of_anybody_else(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    for scripted in CLASS:
        raw = folder.feedback(scripted.learner.id, MODULE).read_text(encoding="utf-8")
        for other in CLASS:
            if other is not scripted:
                assert other.learner.id not in raw
                assert other.learner.name not in raw


def test_a_page_tells_nothing_of_the_slips_inside(example_folder: Path) -> None:
    """No seed, digest, gain or kinetics: only what the mark says in words."""
    folder = open_class(example_folder / "class")
    index = json.loads(folder.released(MODULE).read_text(encoding="utf-8"))
    for learner, digests in index["slips"].items():
        raw = folder.feedback(learner, MODULE).read_text(encoding="utf-8")
        for digest in digests.values():
            seed = json.loads(folder.slip(digest).read_text(encoding="utf-8"))["seed"]
            assert digest not in raw
            assert seed not in raw


def test_a_page_stands_alone(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    for scripted in CLASS:
        page = page_of(folder, scripted.learner.id)
        assert page.addresses == []
        assert not {"script", "link", "img", "iframe"} & set(page.tags)
        assert "url(" not in folder.feedback(scripted.learner.id, MODULE).read_text(encoding="utf-8")


def test_whatever_a_learner_wrote_is_shown_and_not_run(run: Run, worked: ClassFolder) -> None:
    edit_marks(worked, "torle", given=SCRIPT, reason=SCRIPT, trail=[SCRIPT], notices=[SCRIPT], mistake=SCRIPT)
    assert run("report", MODULE, "--folder", worked.root)[0] == 0
    for path in (worked.feedback("torle", MODULE), worked.report(MODULE, "html")):
        page = Page(path)
        assert "script" not in page.tags
        assert "<script>alert(1)" in page.text


def test_a_name_from_the_roster_is_escaped_too(run: Run, worked: ClassFolder) -> None:
    text = worked.roster.read_text(encoding="utf-8").replace("Tamsin Orle", "<b>Tamsin</b> Orle")
    worked.roster.write_text(text, encoding="utf-8")
    run("report", MODULE, "--folder", worked.root)
    assert "b" not in page_of(worked, "torle").tags
    assert "<b>Tamsin</b> Orle" in page_of(worked, "torle").text


def test_an_instructors_own_score_counts_and_is_said(run: Run, worked: ClassFolder) -> None:
    with Gradebook(worked.database_url) as gradebook:
        gradebook.find_grade("check-03-1", MODULE, MODULE, "torle").manual_score = 7.5
        gradebook.db.commit()
    run("report", MODULE, "--folder", worked.root)
    text = page_of(worked, "torle").text
    marks = read_marks(worked, MODULE, "torle") or ()
    assert f"{sum(mark.points for mark in marks) + 2.5:.4g} of {OUT_OF:g} points" in text
    assert "Your instructor set this score by hand; the marking below came to 5 of 10." in text
    assert "7.5*" in Page(worked.report(MODULE, "html")).text
    assert "set by hand" not in page_of(worked, "rpell").text


def test_the_class_page_links_to_every_feedback_page(example_folder: Path) -> None:
    from urllib.parse import unquote

    folder = open_class(example_folder / "class")
    path = folder.report(MODULE, "html")
    addresses = Page(path).addresses
    assert len(addresses) == len(CLASS)
    assert all((path.parent / unquote(address)).is_file() for address in addresses)


def test_the_class_page_counts_mistakes_and_says_n(example_folder: Path) -> None:
    text = Page(open_class(example_folder / "class").report(MODULE, "html")).text
    assert "7 of 7 learners marked (n = 7)" in text
    assert "With n below 30 a share says little" in text
    assert "leads swapped 1 (20 %)" in text


def table(folder: ClassFolder) -> list[list[str]]:
    content = folder.report(MODULE, "csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_the_csv_has_a_row_for_everyone(example_folder: Path) -> None:
    header, *rows = table(open_class(example_folder / "class"))
    exercises = [exercise.id for exercise in MODULES[MODULE]]
    assert header == [
        "id", "name", "group", *exercises, "points", "out of", "mistakes", "minutes", "readings",
    ]  # fmt: skip
    assert [row[:6] for row in rows][:2] == [
        ["rpell", "Rowan Pell", "A", "10", "10", "10"],
        ["imarren", "Isko Marren", "A", "2", "3", "6"],
    ]
    for row in rows:
        assert float(row[-4]) == OUT_OF
        assert float(row[-5]) == pytest.approx(sum(map(float, row[3:-5])), rel=1e-3)
    assert len(rows) == len(CLASS)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_that_would_be_a_formula_is_shown_as_text(start: str) -> None:
    assert plain_cell(f"{start}HYPERLINK(1)") == f"'{start}HYPERLINK(1)"
    assert plain_cell(f"a{start}b") == f"a{start}b"


def test_no_formula_gets_into_the_csv(run: Run, worked: ClassFolder) -> None:
    text = worked.roster.read_text(encoding="utf-8").replace("Tamsin Orle,,A", "=1+1,,@group")
    worked.roster.write_text(text, encoding="utf-8")
    run("report", MODULE, "--folder", worked.root)
    row = next(row for row in table(worked) if row[0] == "torle")
    assert row[1:3] == ["'=1+1", "'@group"]


def test_learners_without_marks_are_listed_without(run: Run, worked: ClassFolder) -> None:
    worked.marks("jvask", MODULE).unlink()
    worked.feedback("jvask", MODULE).unlink()
    code, said, _ = run("report", MODULE, "--folder", worked.root)
    assert code == 0
    assert "Wrote 6 feedback pages" in said
    assert "nothing marked" in Page(worked.report(MODULE, "html")).text
    assert next(row for row in table(worked) if row[0] == "jvask")[3:] == [""] * (5 + len(MODULES[MODULE]))
    assert not worked.feedback("jvask", MODULE).exists()


@pytest.mark.parametrize("content", ["{", "{}", '{"marks": [{}]}', '{"marks": [1]}'])
def test_damaged_marks_are_that_learners_problem(run: Run, worked: ClassFolder, content: str) -> None:
    worked.marks("torle", MODULE).write_text(content, encoding="utf-8")
    code, said, wrong = run("report", MODULE, "--folder", worked.root)
    assert code == 1
    assert "Wrote 6 feedback pages" in said
    assert wrong.startswith("wetslip: 'torle' got no page: the stored marks")
    assert len(wrong.splitlines()) == 1


def test_before_marking(run: Run, small: ClassFolder) -> None:
    code, _, wrong = run("report", MODULE, "--folder", small.root)
    assert code == 2
    assert wrong == (
        f"wetslip: Nobody's '{MODULE}' is marked yet; do that with 'wetslip class mark {MODULE}'."
    )


def test_counting_by_hand(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    marks = [mark for s in CLASS for mark in read_marks(folder, MODULE, s.learner.id) or ()]
    rows = {(row.exercise, row.title): row for row in mistake_rows(marks)}
    row = rows["03.1", "Hull potential"]
    assert (row.marked, row.right) == (7, 2)
    assert dict(row.mistakes) == {
        "leads_swapped": 1, "unit": 1, "blank": 1, "does_not_replay": 1, "another_boat": 1,
    }  # fmt: skip


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance)."""
    plain = colour.lstrip("#")
    plain = "".join(2 * digit for digit in plain) if len(plain) == 3 else plain
    shares = [int(plain[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_ink_on_paper_is_legible_in_light_dark_and_print(example_folder: Path) -> None:
    raw = open_class(example_folder / "class").report(MODULE, "html").read_text(encoding="utf-8")
    palettes = re.findall(r":root \{([^}]*)\}", raw)
    assert len(palettes) == 3
    for palette in palettes:
        colours = dict(re.findall(r"--(\w+): (#\w+);", palette))
        for ink in ("ink", "quiet"):
            for paper in ("paper", "band"):
                light, dark = sorted((luminance(colours[ink]), luminance(colours[paper])), reverse=True)
                assert (light + 0.05) / (dark + 0.05) >= AA, (ink, paper, colours)


def test_no_text_on_screen_is_smaller_than_16_pixels(example_folder: Path) -> None:
    raw = open_class(example_folder / "class").report(MODULE, "html").read_text(encoding="utf-8")
    sizes = re.findall(r"font(?:-size)?: ?([\d.]+)rem", raw)
    assert sizes
    assert all(float(size) * 16 >= LEAST_PIXELS for size in sizes)
    assert not re.search(r"font(-size)?: ?[\d.]+(px|em)\b", raw)


def test_the_figure_shows_what_the_cell_read_and_no_volts_of_another_lead() -> None:
    cell = {"in_water": True, "x_m": 3.0, "depth_m": 1.0}
    row = {"kind": "reading", "slip": "a", "n": 1, "minute": 9, "display": "-0.9", "unit": "V", "cell": cell}
    plugged, loose = ({"cell lead": {"jack": jack}} for jack in ("COM", None))
    rows = [{**row, "leads": plugged}, {**row, "n": 2, "display": "6.2", "leads": loose}, {**row, "n": 3}]
    assert [shown.number for shown in readings(rows, "a")] == [1, 3]
