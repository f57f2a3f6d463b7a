"""Entries of more than one box: several choices, and steps in order; what each hands on as text."""

from __future__ import annotations

import pytest
import traitlets

from course.panels.desk import HintBox, asked_html
from course.panels.entries import OrderEntry, SeveralEntry
from course.panels.forms import AnswerForm, Field, Reply

STEPS = (("off", "all off"), ("one", "one on"), ("read", "read"))


def test_several_hands_on_what_is_ticked():
    entry = SeveralEntry("All that hold", STEPS, "read, off")
    assert entry.value == "off, read"
    entry.boxes["off"].value = False
    assert entry.value == "read"


def test_an_order_hands_on_what_the_page_says():
    entry = OrderEntry("Order", STEPS, "")
    entry.set_state({"value": "off, read, one"})
    assert entry.value == "off, read, one"
    form = AnswerForm(
        "Order", [Field("order", "Order", kind="order", choices=STEPS)], lambda _values: Reply(())
    )
    asks = {form.entries["order"].model_id: "read, off, one"}
    form.button._on_message(None, {"stood": asks}, [])  # what stands there as the button is pressed
    assert form.answers == {"order": "read, off, one"}


@pytest.mark.parametrize("strange", ["off, off, read", "off", "off, read, one, two"])
def test_an_order_that_is_none_of_its_steps_is_not_taken(strange):
    assert OrderEntry("Order", STEPS, strange).value == ""
    entry = OrderEntry("Order", STEPS, "read, one, off")
    with pytest.raises(traitlets.TraitError, match="does not name each step"):
        entry.value = strange
    assert entry.value == "read, one, off"


def test_an_order_that_nobody_touched_is_no_answer():
    assert OrderEntry("Order", STEPS, "").value == ""
    assert OrderEntry("Order", STEPS, "read, one, off").value == "read, one, off"


def test_every_text_is_escaped():
    head = asked_html("<b>", "a < b", {"<i>": "&"}, [("t<", ("c<",), (("v<",),))])
    assert "<b>" not in head
    assert "<i>" not in head
    assert "v&lt;" in head


def test_hints_come_in_turn_and_end():
    box = HintBox(lambda step: f"hint {step}", 2, "free", ("hint 1",))
    box.next()
    assert box.told == ["hint 1", "hint 2"]
    assert box.button.disabled
    box.next()
    assert box.told == ["hint 1", "hint 2"]
