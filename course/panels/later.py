"""A part of a page that takes some seconds to work out: what comes is said at once, and it takes its place when it is ready."""

from __future__ import annotations

import asyncio
import html
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from course.panels.hearing import Hearing, with_ears

PATIENCE_S = 30.0  # for a page that says nothing, or is none; then what was made is shown all the same


class Here(Hearing):
    """Says when the page has drawn it. What is sent to a page that is still being put together is lost at times."""

    _esm = with_ears(Path(__file__).with_name("here.js"))

    def __init__(self, arrived: Callable[[], object]) -> None:
        super().__init__()
        self.on_msg(lambda *_message: arrived())


class Later(widgets.VBox):
    """Says ``words`` until ``work``, done beside the page in a thread, has ended; then ``make`` makes what is shown.

    Widgets are made in the thread of the page's own loop, when the page is there. What goes wrong is said in their place.
    """

    def __init__(self, words: str, work: Callable[[], object], make: Callable[[], Any]) -> None:
        self._make = make
        self._words = widgets.HTML(self._said(words), layout={"width": "auto"})
        self._here = self._ready = self._shown = False
        self.here = Here(self.arrived)
        super().__init__([self._words, self.here], layout={"width": "auto"})
        loop = asyncio.get_running_loop()
        threading.Thread(target=self._work, args=(work, loop), daemon=True).start()

    @staticmethod
    def _said(words: str) -> str:
        return f"<div class='wetslip ws-asked' role='status'><p>{html.escape(words)}</p></div>"

    def _work(self, work: Callable[[], object], loop: asyncio.AbstractEventLoop) -> None:
        try:
            work()
        finally:  # whatever is wrong with it, making it says so
            loop.call_soon_threadsafe(self._done, loop)

    def arrived(self) -> None:
        """Take it that the page is there."""
        self._here = True
        if self._ready:
            self._show()

    def _done(self, loop: asyncio.AbstractEventLoop) -> None:
        self._ready = True
        if self._here:
            self._show()
        else:
            loop.call_later(PATIENCE_S, self._show)

    def _show(self) -> None:
        if self._shown:
            return
        self._shown = True
        try:
            made = self._make()
        except Exception as error:
            self._words.value = self._said(f"This could not be shown: {error}")
            raise
        self.children = (self._words,) if made is None else (made,)
