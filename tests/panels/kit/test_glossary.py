"""The glossary: every term one plain sentence, every lead to another term followed."""

from __future__ import annotations

import re

import pytest

import course
from course.boats.datasets import load
from course.boats.glossary import Unknown, meaning, related, terms
from course.panels.kit import Glossary


def test_there_are_enough_terms_and_none_twice() -> None:
    assert len(terms()) >= 60
    assert len({term.lower() for term in terms()}) == len(terms())


@pytest.mark.parametrize("term", terms())
def test_one_plain_sentence(term: str) -> None:
    said = meaning(term)
    assert said[0].isupper()
    assert said.endswith(".")
    assert not re.search(r"[.!?]\s+[A-Z]", said)
    assert len(said.split()) <= 32  # a school leaver reads it in one breath
    assert all(meaning(other) for other in related(term))
    assert term not in related(term)


def test_words_of_the_standards_are_there() -> None:
    """Terms of ISO 8044 and ISO 12473 (from memory) that the course leans on."""
    for term in (
        "general corrosion", "crevice corrosion", "galvanic corrosion", "stray-current corrosion", "reference cell",
        "hull potential", "corrosion potential", "polarisation", "bonding conductor", "common bonding point", "anode",
        "protection potential", "overprotection", "galvanic isolator", "isolation transformer", "safety earth",
    ):  # fmt: skip
        assert meaning(term)


def test_every_row_says_whose_word_it_is() -> None:
    assert {found["origin"] for found in load("glossary").values()} == {
        "ISO 8044",
        "ISO 12473",
        "trade",
        "this course",
    }


def test_capitals_and_a_plural_do_not_matter() -> None:
    assert meaning("Anodes") == meaning("anode")
    assert course.glossary("galvanic isolators") == meaning("galvanic isolator")


def test_an_unknown_word_is_answered_with_the_nearest() -> None:
    with pytest.raises(Unknown, match="did you mean 'reference cell'"):
        meaning("referense cell")
    assert course.glossary("referense cell").endswith("did you mean 'reference cell'?")


def test_the_panel_leads_on() -> None:
    panel = Glossary("anodes")
    assert panel.term.value == "anode"
    assert meaning("anode") in panel.text()
    panel.onwards.children[0].click()
    assert panel.term.value == related("anode")[0]
    assert meaning(panel.term.value) in panel.meaning.value
    assert isinstance(course.glossary(), Glossary)
