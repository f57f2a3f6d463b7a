"""Entries of more than one box: several choices, and steps in order; what each hands on as text."""

from __future__ import annotations

from course.panels.desk import HintBox, asked_html
from course.panels.entries import OrderEntry, SeveralEntry

STEPS = (("off", "all off"), ("one", "one on"), ("read", "read"))


def test_several_hands_on_what_is_ticked():
    entry = SeveralEntry("All that hold", STEPS, "read, off")
    assert entry.value == "off, read"
    entry.boxes["off"].value = False
    assert entry.value == "read"


def test_an_order_moves_by_button_and_stays_at_its_ends():
    entry = OrderEntry("Order", STEPS, "")
    entry.move("read", -1)
    assert entry.value == "off, read, one"
    entry.move("off", -1)
    assert entry.value == "off, read, one"
    up, down, words = entry.children[1].children
    assert (up.disabled, down.disabled, words.value) == (True, False, "1. all off")
    down.click()
    assert entry.value == "read, off, one"


def test_the_focus_goes_with_the_step_that_moves(monkeypatch):
    focused = []
    monkeypatch.setattr("ipywidgets.Button.focus", lambda button: focused.append(button.tooltip))
    entry = OrderEntry("Order", STEPS, "")
    entry.lines[2].up.click()
    entry.lines[1].up.click()  # now at the top: only down is left
    assert focused == ["Move up: read", "Move down: read"]
    entry.move("read", -1)
    assert len(focused) == 2


def test_an_order_that_is_none_of_its_steps_is_put_back():
    entry = OrderEntry("Order", STEPS, "off, off, read")
    assert entry.order == ["off", "one", "read"]


def test_an_order_that_nobody_touched_is_no_answer():
    entry = OrderEntry("Order", STEPS, "")
    assert entry.value == ""
    entry.move("read", -1)
    entry.move("read", 1)
    assert entry.value == "off, one, read"
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
