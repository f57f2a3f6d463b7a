"""Item statistics against a published worked example, and at their edges."""

from __future__ import annotations

import numpy as np
import pytest

from instructor.report.statistics import LEAST, Item, alpha, consistency, correlation, items

# Karl L. Wuensch, East Carolina University, a sheet on KR-20: ten students by ten items, and what comes of them.
ANSWERS = "1111110110 1011011101 1111011001 0010001000 0000010010 1110111111 1101110111 1111111101 0101111101 1101101110"
TOTALS = [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
DIFFICULTY = [0.7, 0.7, 0.6, 0.7, 0.6, 0.8, 0.7, 0.7, 0.5, 0.6]
KR_20 = 0.6963
WITH_TOTAL = [0.7946, 0.7946, 0.2027, 0.6140, 0.7095, 0.4345, 0.1625, 0.7946, 0.0828, 0.6251]
WITH_REST = [0.7059, 0.7059, 0.0000, 0.4736, 0.5839, 0.2861, -0.0274, 0.7059, -0.1236, 0.4759]
FOUR_DECIMALS = 5.1e-5


@pytest.fixture
def worked() -> np.ndarray:
    return np.array([[float(sign) for sign in row] for row in ANSWERS.split()])


def test_the_worked_examples_totals(worked: np.ndarray) -> None:
    assert worked.sum(axis=1).tolist() == TOTALS


def test_alpha_is_the_published_kr_20(worked: np.ndarray) -> None:
    assert alpha(worked) == pytest.approx(KR_20, abs=FOUR_DECIMALS)


def test_difficulty_and_both_correlations_are_the_published_ones(worked: np.ndarray) -> None:
    found = items(worked, [str(number) for number in range(1, 11)])
    assert [item.difficulty for item in found] == pytest.approx(DIFFICULTY)
    assert [item.with_total for item in found] == pytest.approx(WITH_TOTAL, abs=FOUR_DECIMALS)
    assert [item.with_rest for item in found] == pytest.approx(WITH_REST, abs=FOUR_DECIMALS)
    assert {item.n for item in found} == {10}


def test_ten_learners_are_too_few_for_a_verdict_and_thirty_are_enough(worked: np.ndarray) -> None:
    few, enough = items(worked, list("abcdefghij")), items(np.tile(worked, (3, 1)), list("abcdefghij"))
    assert {item.verdict for item in few} == {""}
    assert not any(item.to_repair for item in few)
    assert [item.verdict for item in enough] == [
        "tells learners apart very well", "tells learners apart very well", "poor",
        "tells learners apart very well", "tells learners apart very well", "marginal", "negative: look at its key",
        "tells learners apart very well", "negative: look at its key", "tells learners apart very well",
    ]  # fmt: skip
    assert [item.to_repair for item in enough] == [item.with_rest < 0.2 for item in enough]


@pytest.mark.parametrize(
    ("with_rest", "words"),
    [(0.40, "tells learners apart very well"), (0.39, "tells them apart well"), (0.30, "tells them apart well"),
     (0.29, "marginal"), (0.20, "marginal"), (0.19, "poor"), (0.0, "poor"), (-0.01, "negative: look at its key"),
     (None, "tells nobody apart")],
)  # fmt: skip
def test_the_words_of_discrimination_have_ebels_bounds(with_rest: float | None, words: str) -> None:
    assert Item("03.1", LEAST, 0.5, 0.5, with_rest).verdict == words


def test_too_hard_is_for_repair_and_what_everybody_knows_is_not() -> None:
    assert Item("a", LEAST, 0.1, 0.5, 0.5).to_repair
    assert not Item("a", LEAST, 0.97, None, None).to_repair
    assert Item("a", LEAST, 0.97, 0.1, 0.1).verdict == "poor; nearly everybody is right"


def test_figures_without_a_meaning_are_none() -> None:
    same = np.ones((5, 2))
    assert alpha(same) is None
    assert correlation(same[:, 0], same.sum(axis=1)) is None
    assert alpha(np.array([[1.0], [0.0], [1.0]])) is None
    assert alpha(np.zeros((0, 3))) is None
    assert items(np.array([[1.0, 0.0], [0.0, 1.0]]), ["a", "b"])[0].with_rest is None


def test_part_credit_counts() -> None:
    shares = np.array([[0.0, 0.1], [0.5, 0.4], [1.0, 0.9], [0.5, 0.6]])
    first = items(shares, ["a", "b"])[0]
    assert first.with_rest == pytest.approx(np.corrcoef(shares.T)[0, 1])


@pytest.mark.parametrize(
    ("value", "n", "words"),
    [(0.9, 30, "over 0.75 is satisfactory."), (0.7, 30, "to be read with care."), (0.2, 30, "says little"),
     (0.9, 29, "with n below 30 no verdict is spoken."), (None, 30, "cannot be told")],
)  # fmt: skip
def test_alpha_in_one_sentence(value: float | None, n: int, words: str) -> None:
    sentence = consistency(value, n)
    assert words in sentence
    assert sentence.count(".") - sentence.count("0.") == 1
    assert value is None or f"n = {n}" in sentence
