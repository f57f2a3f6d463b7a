"""Where things are on a page of the course."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page


def exercise_on(page: Page, number: str) -> Locator:
    """Return an exercise on a page by its number: boats come in any order, so counting them finds now one, now another."""
    heading = page.locator("h3", has_text=re.compile(rf"^{re.escape(number)} "))
    return page.locator(".ws-exercise").filter(has=heading).first  # copies for practice lie within it


def own_form(page: Page, number: str) -> Locator:
    """Return the answer form of an exercise, not that of a copy for practice."""
    heading = page.locator("h3", has_text=f"Your answer to {number}")
    return exercise_on(page, number).locator(".ws-form").filter(has=heading).first
