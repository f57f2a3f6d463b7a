"""Forms hand on what was typed as it was typed, and say in words what came back."""

from __future__ import annotations

import pytest

from course.panels import AnswerForm, Field, Reply, ReplyLine
from course.panels.forms import VERDICT_WORDS, reply_html

FIELDS = (
    Field("potential", "Hull potential", "mV"),
    Field(
        "verdict",
        "She is",
        kind="choice",
        choices=tuple((word, f"she is {word}") for word in ("unprotected", "protected", "overprotected")),
    ),
    Field("why", "Because", kind="text"),
    Field(
        "water",
        "Kind of water",
        kind="choice",
        choices=tuple((letter, letter.upper()) for letter in "abcdef"),
    ),
)
RIGHT = Reply((ReplyLine("hull potential", "right", "within 10 mV"),), "1 of 1")


def test_raw_strings_go_on_as_typed() -> None:
    seen: list[dict[str, str]] = []

    def check(answers: dict[str, str]) -> Reply:
        seen.append(answers)
        return RIGHT

    told: list[Reply] = []
    form = AnswerForm("Your answer", FIELDS, check, told.append)
    assert form.answers == {"potential": "", "verdict": "", "why": "", "water": ""}
    form.entries["potential"].value = " −904,5 mV "
    form.entries["verdict"].value = "protected"
    form.button.click()
    assert seen == [{"potential": " −904,5 mV ", "verdict": "protected", "why": "", "water": ""}]
    assert form.entries["potential"].value == " −904,5 mV "  # kept
    assert told == [RIGHT]


def test_the_unit_is_in_the_label() -> None:
    form = AnswerForm("t", FIELDS, lambda _answers: RIGHT)
    assert form.entries["potential"].description == "Hull potential [mV]"
    assert form.entries["verdict"].description == "She is"


def test_earlier_answers_are_put_back() -> None:
    form = AnswerForm(
        "t",
        FIELDS,
        lambda _answers: RIGHT,
        initial={"potential": "-904", "verdict": "protected", "water": "no such"},
    )
    assert form.answers == {"potential": "-904", "verdict": "protected", "why": "", "water": ""}


def test_a_note_stands_until_the_first_reply() -> None:
    form = AnswerForm("t", FIELDS, lambda _answers: RIGHT, note="You answered this <before>.")
    assert "You answered this &lt;before&gt;." in form.reply.value
    form.submit()
    assert "before" not in form.reply.value


@pytest.mark.parametrize("verdict", ["right", "wrong", "unread", "note"])
def test_a_verdict_is_a_word(verdict: str) -> None:
    shown = reply_html(Reply((ReplyLine("cell", verdict, "because"),)))
    assert f"<strong>{VERDICT_WORDS[verdict]}: cell</strong><br>because" in shown


def test_a_line_about_no_part_has_no_loose_colon() -> None:
    assert "<strong>✗ Not right.</strong>" in reply_html(Reply((ReplyLine("", "wrong", "x"),)))


def test_everything_shown_is_escaped() -> None:
    bad = "<script>alert(1)</script>"
    form = AnswerForm(bad, FIELDS, lambda _answers: Reply((ReplyLine(bad, "wrong", bad),), bad))
    form.button.click()
    assert "<script" not in form.reply.value + form.children[0].value
    assert form.reply.value.count("&lt;script&gt;") == 3


def test_a_refusal_is_said_and_the_form_kept() -> None:
    def check(_answers: dict[str, str]) -> Reply:
        raise ValueError("The answers cannot be written: the disk is full.")

    form = AnswerForm("t", FIELDS, check)
    form.entries["potential"].value = "-904"
    form.button.click()
    assert "the disk is full" in form.reply.value
    assert form.entries["potential"].value == "-904"


def test_a_form_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="names a field twice"):
        AnswerForm("t", (FIELDS[0], FIELDS[0]), lambda _answers: RIGHT)
    with pytest.raises(ValueError, match="names no choices"):
        AnswerForm("t", (Field("a", "A", kind="choice"),), lambda _answers: RIGHT)


def test_what_stands_on_the_screen_is_what_is_checked() -> None:
    got: list[dict[str, str]] = []
    fields = [
        Field("mV", "m", "mV"),
        Field("so", "s", kind="choice", choices=(("a", "A"), ("b", "B"))),
        Field("which", "w", kind="several", choices=(("x", "X"), ("y", "Y"))),
    ]
    form = AnswerForm("t", fields, lambda answers: got.append(answers) or RIGHT)
    asked = [name for name, _trait in form.button.asks]
    assert [trait for _name, trait in form.button.asks] == ["value", "index", "value", "value"]
    form.button._on_message(None, {"stood": dict(zip(asked, ["-904", 1, False, True], strict=True))}, [])
    form.button._on_message(None, {"stood": {asked[0]: 7, "nobody": 1}}, [])
    assert got == [{"mV": "-904", "so": "b", "which": "y"}] * 2
    assert form.button.answered == 2
