"""A part of a page that comes later: words first, then what was made, in the page's own thread."""

from __future__ import annotations

import asyncio
import threading

import ipywidgets as widgets
import pytest

from course.panels.later import Later


def shown(work, make):
    """What stands in the part at once, and what once the work has ended."""

    async def page():
        part = Later("She <comes>.", work, make)
        first = part.children[0].value
        for _ in range(500):
            await asyncio.sleep(0.01)
            if len(part.children) != 1 or part.children[0].value != first:
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


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_what_goes_wrong_is_said(caplog):
    def fail():
        raise ValueError("no boat")

    _, then = shown(fail, fail)
    assert "This could not be shown: no boat" in then
