"""A part of a page that takes some seconds to work out: what comes is said at once, and it takes its place when it is ready."""

from __future__ import annotations

import asyncio
import html
import threading
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets


class Later(widgets.VBox):
    """Says ``words`` until ``work``, done beside the page in a thread, has ended; then ``make`` makes what is shown.

    Widgets are made in the thread of the page's own loop. What goes wrong is said in their place.
    """

    def __init__(self, words: str, work: Callable[[], object], make: Callable[[], Any]) -> None:
        self._make = make
        self._words = widgets.HTML(self._said(words), layout={"width": "auto"})
        super().__init__([self._words], layout={"width": "auto"})
        loop = asyncio.get_running_loop()
        threading.Thread(target=self._work, args=(work, loop), daemon=True).start()

    @staticmethod
    def _said(words: str) -> str:
        return f"<div class='wetslip ws-asked' role='status'><p>{html.escape(words)}</p></div>"

    def _work(self, work: Callable[[], object], loop: asyncio.AbstractEventLoop) -> None:
        try:
            work()
        finally:  # whatever is wrong with it, making it says so
            loop.call_soon_threadsafe(self._show)

    def _show(self) -> None:
        try:
            made = self._make()
        except Exception as error:
            self._words.value = self._said(f"This could not be shown: {error}")
            raise
        self.children = (self._words,) if made is None else (made,)
