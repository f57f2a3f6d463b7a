"""The invented class of thirty: what is planted in it is found again in its reports, by the commands alone."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from instructor.intake.matching import candidates
from instructor.rehearsal.afternoon import MODULES, rehearse
from instructor.rehearsal.people import BENCH, HUNT, PAPER, PEOPLE, person
from instructor.rehearsal.post import mail_name
from instructor.rehearsal.skill import AREA_RATIO, draw_of, goes_wrong

Run = Callable[..., tuple[int, str, str]]


def test_thirty_of_two_groups_and_every_kind_of_oddity() -> None:
    assert len({each.id for each in PEOPLE}) == len(PEOPLE) == 30
    assert Counter(each.learner.group for each in PEOPLE) == {"A": 15, "B": 15}
    for oddity in ("late", "twice", "absent", "broken", "like", "copies"):
        assert any(getattr(each, oddity) for each in PEOPLE), oddity


def test_mail_names_fit_one_learner_each_but_for_the_one_that_mail_mangled() -> None:
    roster = [each.learner for each in PEOPLE]
    for number, each in enumerate(PEOPLE):
        found = [learner.id for learner in candidates(mail_name(each, number), roster)]
        assert found == ([] if each.id == "nström" else [each.id])


def test_group_b_has_not_understood_area_ratio_and_the_able_do_better_elsewhere() -> None:
    wrong = {
        (group, asked): [
            goes_wrong(each, exercise, draw_of(each, exercise))
            for each in PEOPLE
            for exercise in ("02.1", "02.3", "02.4", "02.5", "02.6", "02.9")
            if each.learner.group == group and (exercise in AREA_RATIO) == asked
        ]
        for group in "AB"
        for asked in (True, False)
    }
    share = {key: sum(values) / len(values) for key, values in wrong.items()}
    assert share["B", True] > 0.6
    assert max(share["A", True], share["A", False], share["B", False]) < 0.35


def test_only_what_is_prepared_is_rehearsed(run: Run, tmp_path: Path) -> None:
    code, _, wrong = run("example", tmp_path / "r", "--thirty", "--module", "05_seasons")
    assert (code, wrong) == (
        2,
        f"wetslip: Thirty learners are prepared for {', '.join(MODULES)}, not for '05_seasons'.",
    )
    assert not (tmp_path / "r").exists()


def plain(page: Path) -> str:
    return " ".join(re.sub(r"<[^>]+>", "", page.read_text(encoding="utf-8")).replace("&nbsp;", " ").split())


@pytest.mark.long
def test_the_reports_say_what_is_to_be_done_before_the_next_lesson(tmp_path: Path) -> None:
    reports = rehearse(tmp_path / "thirty")
    paper, bench, hunt = (plain(reports / f"{module}.html") for module in (PAPER, BENCH, HUNT))
    assert "30 of 30 learners marked (n = 30); 30 answered for their own boats" in paper
    assert "To group B: see why area ratio beats voltage" in paper
    assert "What costs most: upside down (02.3" in paper
    assert re.search(r"02\.8 The same pair in a lake: (negative|poor)", paper)
    assert re.search(r"(\d+) of \1 are 1\.37 times what is right", paper)
    assert "Tegen Gorran tgorran: handed in too late for any points" in paper
    assert "Edda Brool ebrool: " in paper
    assert "Lark Rosk lrosk: no answer for their own boats" in bench
    assert re.search(r"Tegen Gorran tgorran and Lark Rosk lrosk: \d+ rows are the very same", bench)
    assert re.search(r"Kerra Pascoe-Ray kpascoe-ray and Vidar Moxley vmoxley: \d+ runs of acts", bench)
    assert re.search(r"To the whole class: [^.]*repair, and prove the repair", hunt)
    assert "What costs most: repair not verified" in hunt
    assert re.search(r"Wenna Hask whask: [^.]*answers\.jsonl has 1 torn line", hunt)
    assert re.search(r"Written answers of 2\d learners wait for you", hunt)
    totals = (reports.parent / "exports" / "all-modules.csv").read_bytes().decode("utf-8-sig")
    assert len(list(csv.DictReader(io.StringIO(totals, newline="")))) == 30
    anonymous = tmp_path / "thirty" / "anonymous"
    text = "".join(path.read_text(encoding="utf-8") for path in anonymous.iterdir())
    assert not any(each.learner.name in text or f'"{each.id}"' in text for each in PEOPLE)
    scores = json.loads((anonymous / f"{HUNT}-scores.json").read_text(encoding="utf-8"))
    assert len(scores["scores"]) == 30
    left = [path for path in (tmp_path / "thirty" / "restored").rglob("*") if "ebrool" in path.name]
    assert (left, person("ebrool").id) == ([], "ebrool")
