"""A part of a page that comes later: words first, then what was made, in the page's own thread."""

from __future__ import annotations

import asyncio
import threading

import ipywidgets as widgets
import pytest

from course.panels import later
from course.panels.later import Later


def shown(work, make, drawn=True):
    """What stands in the part at once, and what once the work has ended and the page, if there is one, has drawn it."""

    async def page():
        part = Later("She <comes>.", work, make)
        first = part.children[0].value
        await asyncio.sleep(0.1)  # the work has ended, and waits for the page
        assert part.children[0].value == first
        if drawn:
            part.here._handle_custom_msg({"here": True}, [])
        for _ in range(500):
            await asyncio.sleep(0.01)
            if part.children[0].value != first:
                break
        return first, part.children[0].value

    return asyncio.run(page())


def test_words_first_then_what_was_made():
    threads = []
    made = widgets.HTML("a boat")
    first, then = shown(
        lambda: threads.append(threading.current_thread()),
        lambda: threads.append(threading.current_thread()) or made,
    )
    assert "She &lt;comes&gt;." in first
    assert then == "a boat"
    assert threads[0] is not threads[1] is threading.main_thread()


def test_without_a_page_it_comes_all_the_same(monkeypatch):
    monkeypatch.setattr(later, "PATIENCE_S", 0.2)
    made = widgets.HTML("a boat")
    assert shown(lambda: None, lambda: made, drawn=False)[1] == "a boat"


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_what_goes_wrong_is_said(caplog):
    def fail():
        raise ValueError("no boat")

    _, then = shown(fail, fail)
    assert "This could not be shown: no boat" in then
