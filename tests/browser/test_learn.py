"""``wetslip learn`` brings a learner to the first page, and nothing stands before it."""

from __future__ import annotations

import pytest

from course import desk as course_desk

pytestmark = pytest.mark.browser

QUIET_MS = 4000  # a notice of news or of an update comes within this, where it is not switched off


def test_the_first_page_opens_and_nothing_pops_up(desk, page_at, lab, shot) -> None:
    page = page_at(desk.url)
    opened = lab(page)
    opened.wait_open()
    page.wait_for_timeout(QUIET_MS)
    assert opened.popups() == []
    assert (
        course_desk.FIRST_PAGE.split("/")[-1]
        in page.locator(".jp-mod-current .lm-TabBar-tabLabel").all_inner_texts()
    )
    assert shot(page, "first_page").stat().st_size > 10_000
