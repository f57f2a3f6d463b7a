"""The table of outside checks: numbers found in what pytest says, the nearest miss shown, markers kept."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from instructor.checks import command as checks_command
from instructor.checks.table import (
    Comparison,
    between_markers,
    closeness,
    compared,
    long_results,
    markdown,
    rows,
    shortened,
)
from instructor.command import main


def a_test(
    name: str, *numbers: str, outcome: str = "passed", told: str = "From a book, p. 3.\n\nMore."
) -> dict[str, Any]:
    held = [{"line": 1, "asserted": "x", "numbers": one} for one in numbers]
    held.append({"line": 2, "asserted": "not tried", "numbers": "not ''"})
    return {
        "file": "tests/outside/test_a.py",
        "test": name,
        "told": told,
        "module": "A file.",
        "outcome": outcome,
        "held": held,
    }


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("0.3537 == 0.353 ± 0.001\n  \n  comparison failed", Comparison(0.3537, 0.353, 0.001)),
        ("np.float64(-0.66) == -0.65 ± 3.0e-02", Comparison(-0.66, -0.65, 0.03)),
        (
            "0.04 == 0.0478983...59 ± 0.01\n Obtained: 0.0479\n  Expected: 0.0479001 ± 0.0119",
            Comparison(0.0479, 0.0479001, 0.0119),
        ),
        ("2.17 < 2.5", None),
        ("", None),
    ],
)
def test_numbers_in_an_assertion(said: str, found: Comparison | None) -> None:
    assert compared(said) == found


def test_the_comparison_nearest_its_limit_stands_for_a_check() -> None:
    tests = [
        a_test("test_of_ohms", "1.0 == 1.1 ± 0.2"),
        a_test("test_of_ohms", "2.0 == 2.1 ± 0.11", "5.0 == 5.0 ± 1"),
    ]
    (row,) = rows(tests)
    assert (row.check, row.count, row.source) == ("of ohms", 3, "From a book, p. 3.")
    assert row.worst == Comparison(2.0, 2.1, 0.11)
    table = markdown([row], "2031-05-04")
    assert "1 checks, 1 held, 0 failed, 0 skipped, 3 comparisons" in table
    assert "| of ohms | From a book, p. 3. | 3 | 2 | 2.1 ± 0.11 | -0.1 |" in table


def test_bounds_failures_and_bars_in_a_table() -> None:
    tests = [
        a_test("test_bound", "0.14022685523309608 > (1.5 * 0.047902254962074675)", told=""),
        a_test("test_lost", outcome="failed", told="a | b"),
    ]
    table = markdown(rows(tests), "2031-05-04")
    assert "| bound | A file. | 1 | `0.1402 > (1.5 * 0.0479)` | - | - |" in table
    assert "| **FAILED** lost | a \\| b | 0 | - | - | - |" in table


def test_of_bounds_the_nearest_is_shown() -> None:
    tests = [a_test("test_b", "1e-12 < 1e-09", "np.float64(9e-10) < 1e-09", "'x' is not None")]
    assert rows(tests)[0].bound == "9e-10 < 1e-09"
    assert closeness("-5.0 < 3.0") == 0.0
    assert closeness("-4.0 > -5.0") == pytest.approx(0.8)


def test_results_of_long_checks_are_listed(tmp_path: Path) -> None:
    assert long_results(tmp_path) == ""
    (tmp_path / "barge.md").write_text("# A barge, 2031-05-04\n\nmore\n", encoding="utf-8")
    assert "- `barge.md`: A barge, 2031-05-04" in long_results(tmp_path)


def test_long_explanations_are_cut() -> None:
    assert len(shortened("x" * 500)) == 90
    assert len(rows([a_test("test_a", told="word " * 200)])[0].source) < 270


def test_only_what_stands_between_the_markers_is_replaced() -> None:
    page = "before\n<a>\nold\n<b>\nafter\n"
    once = between_markers(page, "<a>", "<b>", "new\n")
    assert once == "before\n<a>\n\nnew\n\n<b>\nafter\n"
    assert between_markers(once, "<a>", "<b>", "new\n") == once
    with pytest.raises(ValueError, match="are not both there"):
        between_markers("before", "<a>", "<b>", "new")


def test_the_real_command_on_one_real_file(
    capfd: pytest.CaptureFixture[str], root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root)
    assert main(["checks", "test_faraday_and_wire.py"]) == 0
    said = capfd.readouterr().out
    assert "| the constant of astm g102 | K1 = 3.27e-3 mm g/(uA cm yr): ASTM G102" in said
    assert "0.00327 ± 5e-06" in said


def test_what_cannot_be_run_is_said_in_a_sentence(
    capsys: pytest.CaptureFixture[str], root: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(root)
    assert main(["checks", "test_of_nothing.py"]) == 2
    assert "tests/outside has no test_of_nothing.py" in capsys.readouterr().err
    assert main(["checks", "test_water.py", "--write"]) == 2
    assert "leave out the files or --write" in capsys.readouterr().err
    monkeypatch.setattr(checks_command, "checkout", lambda: tmp_path)
    assert main(["checks"]) == 2
    assert "an installed copy does not have them" in capsys.readouterr().err


def test_the_page_has_the_markers(root: Path) -> None:
    page = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert checks_command.START in page
    assert checks_command.END in page.split(checks_command.START)[1]
