"""The box below an exercise that fetches copies for practice."""

from __future__ import annotations

import ipywidgets as widgets

from course.panels.practice import PracticeBox


def box(begun=()):
    asked = []

    def fetch(number):
        asked.append(number)
        if number == 9:
            raise ValueError("No such boat.")
        return widgets.HTML(f"boat {number}")

    return PracticeBox("boat", begun, fetch), asked


def shown(practice: PracticeBox) -> list[str]:
    return [child.value for child in practice.shown.children]


def test_a_fresh_copy_is_fetched_and_the_first_one_is_found_again():
    practice, asked = box()
    assert practice.another.description == "Another boat for practice"
    assert practice.chosen.layout.display == "none"  # there is nothing to choose yet
    practice.another.click()
    practice.another.click()
    assert shown(practice) == ["boat 2"]
    assert "Practice boat 2 stands below" in practice.said.value
    assert "your own boat and her logbook stay as you left them" in practice.said.value
    practice.chosen.value = 1
    assert shown(practice) == ["boat 1"]
    assert asked == [1, 2]  # a copy is made once
    practice.chosen.value = 0
    assert (shown(practice), practice.said.value) == ([], "")


def test_what_was_begun_is_listed_and_not_fetched_before_it_is_asked_for():
    practice, asked = box((2, 1))
    assert [n for _, n in practice.chosen.options] == [0, 1, 2]
    assert (asked, shown(practice)) == ([], [])
    practice.another.click()
    assert asked == [3]


def test_a_refusal_is_said_in_its_place():
    practice, _ = box((9,))
    practice.chosen.value = 9
    assert shown(practice) == []
    assert "No such boat." in practice.said.value
