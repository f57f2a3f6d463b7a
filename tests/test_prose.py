"""What learners read: links, glossary terms, figures' words, spelling, the length of sentences; each check also seen to fail."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from course import desk
from course.boats.datasets import load
from instructor.command import main
from instructor.notebooks import notebooks_under
from instructor.prose import check_file, sentence_lengths
from instructor.prose.links import bad_links, wordless_pictures
from instructor.prose.reading import MOST_MEAN_WORDS, sentences, too_long
from instructor.prose.spelling import AMERICAN_WORDS, TRADE_WORDS, misspelt
from instructor.prose.terms import PLAIN_WORDS, is_term, listed, unknown_terms

STORED = list(notebooks_under(desk.MODULES))
GOLDEN = sorted((Path(__file__).parent / "graders" / "golden").glob("*.md"))
FEWEST_TERMS = 2  # in bold, of the glossary; the first module shows the glossary itself
MOST_PLAIN = 20  # a list that grows longer is no list of exceptions


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_a_module_reads_well(path: Path) -> None:
    assert [str(found) for found in check_file(path)] == []
    average, _, _ = sentence_lengths(path)
    assert 5 < average <= MOST_MEAN_WORDS


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_what_exercises_say_is_spelt_rightly_and_short(path: Path) -> None:
    assert [str(found) for found in check_file(path)] == []
    average, _, _ = sentence_lengths(path)
    assert average <= MOST_MEAN_WORDS


@pytest.mark.parametrize("name", ["README.md", "instructor/guide.md"])
def test_a_page_for_people_is_spelt_rightly_and_its_links_lead_somewhere(root: Path, name: str) -> None:
    assert [str(found) for found in check_file(root / name)] == []


def test_the_glossary_is_spelt_rightly_and_its_sentences_are_short() -> None:
    meanings = [row["meaning"] for row in load("glossary").values()]
    assert [said for meaning in meanings for said in misspelt(meaning)] == []
    assert list(too_long(meanings)) == []


@pytest.mark.parametrize("path", STORED[1:], ids=lambda path: path.stem)
def test_a_module_marks_its_terms(path: Path) -> None:
    assert sum(is_term(part) for part in path.read_text(encoding="utf-8").split("**")[1::2]) >= FEWEST_TERMS


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("see [there](gone.ipynb)", 1),
        ("see [there](here.md)", 0),
        ("see [there](here.md#a-title)", 0),
        ("see [there](here.md#another)", 1),
        ("see [below](#A-title)", 0),
        ("![a boat](gone.png)", 1),
        ("[outside](https://example.org)", 0),
    ],
)
def test_a_link_leads_somewhere(tmp_path: Path, text: str, found: int) -> None:
    page = tmp_path / "here.md"
    page.write_text("# A title\n", encoding="utf-8")
    assert len(list(bad_links(text, page))) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("![](a.png)", 1),
        ("![A ketch from above](a.png)", 0),
        ('<img src="a.png">', 1),
        ('<img src="a.png" alt=" ">', 1),
        ('<img src="a.png" alt="A ketch from above">', 0),
    ],
)
def test_a_picture_has_words(text: str, found: int) -> None:
    assert len(list(wordless_pictures(text))) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("the **reference cell** and two **anodes** of hers", 0),
        ("the **referense cell** of hers", 1),
        ("- **Wait.** Then read.", 0),
        ("- **Baseline:** the reading without anodes", 0),
        ("that makes **2.3 mm a year** of it", 0),
        ("## Words\n\n**Anode** a metal. **Sparkle** a light.", 1),
    ],
)
def test_a_bold_word_is_a_term(text: str, found: int) -> None:
    assert len(list(unknown_terms(text))) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The colour of the aluminium hull is grey; the meter reads 12 mV.", 0),
        ("The color of the aluminum hull", 2),
        ("Recognize what is galvanized", 2),
        ("a bronze prize of any size, seized", 0),
        ("The anoode is gone", 1),
        ("`not_a_word` in [code](notaword.md) and hull's, don't", 0),
    ],
)
def test_spelling_is_british(text: str, found: int) -> None:
    assert len(list(misspelt(text))) == found


def test_sentences_are_counted_and_long_ones_told() -> None:
    text = "# A title\n\nOne short sentence. Another one!\n\n| a | table |\n\n- an item of three words\n- a second item"
    assert list(sentences(text)) == ["One short sentence.", "an item of three words", "a second item"]
    assert len(list(too_long(["word " * 60 + "."]))) == 2
    assert list(too_long(["Ten words are in this sentence, and that is enough."])) == []


def test_the_lists_are_sorted_short_and_needed() -> None:
    for path in (TRADE_WORDS, AMERICAN_WORDS, PLAIN_WORDS):
        words = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
        assert words == sorted(set(words), key=str.lower), path
    assert len(listed(PLAIN_WORDS)) <= MOST_PLAIN
    assert not listed(TRADE_WORDS) & listed(AMERICAN_WORDS)


def test_the_command_says_where_and_what(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cells = [{"cell_type": "markdown", "metadata": {}, "source": ["The anoode ", "is **gone** now."]}]
    page = tmp_path / "page.ipynb"
    page.write_text(json.dumps({"cells": cells}), encoding="utf-8")
    assert main(["notebooks", "--prose", str(tmp_path)]) == 1
    said = capsys.readouterr().out
    assert f"{page}, cell 1: 'anoode' is in no word list" in said
    assert "**gone** is in bold and is no term" in said
    page.write_text("{}", encoding="utf-8")
    assert main(["notebooks", "--prose", str(page)]) == 2
    assert capsys.readouterr().err.startswith(f"wetslip: {page} cannot be read as a notebook.")


def test_a_module_in_form_passes_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["notebooks", "--prose", str(STORED[0])]) == 0
    assert "words a sentence" in capsys.readouterr().out
