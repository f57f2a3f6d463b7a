"""Rosters as spreadsheets write them, and what is said of bad ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from instructor.errors import ClassError
from instructor.people.roster import Learner, find, read_roster, roster_text

PLAIN = "id,name,email,group,extra time\nann,Ann Tarrow,ann@example.org,A,25\nbo,Bo Winsk,,,\n"


def written(folder: Path, content: str | bytes) -> Path:
    path = folder / "räster list.csv"
    path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
    return path


@pytest.mark.parametrize(
    "content",
    [
        PLAIN,
        "\ufeff" + PLAIN,
        PLAIN.replace(",", ";"),
        "\ufeff" + PLAIN.replace(",", ";").replace("\n", "\r\n"),
        PLAIN.replace(",", "\t"),
        PLAIN.replace("extra time", "Extra_Time").replace("email", "E-Mail").replace("id,", " ID ,"),
        PLAIN.replace("25", '"25 %"'),
        PLAIN + "\n,,,,\n\n",
    ],
)
def test_one_roster_in_every_dress(tmp_path: Path, content: str) -> None:
    assert read_roster(written(tmp_path, content)) == (
        Learner("ann", "Ann Tarrow", "ann@example.org", "A", 25.0),
        Learner("bo", "Bo Winsk"),
    )


def test_columns_in_any_order_and_unknown_ones_left_alone(tmp_path: Path) -> None:
    path = written(tmp_path, "name;phone;id\nAnn Tarrow;12;ann\n")
    assert read_roster(path) == (Learner("ann", "Ann Tarrow"),)


def test_decimal_comma_in_extra_time(tmp_path: Path) -> None:
    path = written(tmp_path, "id;name;extra time\nann;Ann Tarrow;12,5\n")
    assert read_roster(path)[0].extra_time == 12.5


def test_names_keep_their_letters(tmp_path: Path) -> None:
    path = written(tmp_path, 'id,name\nåsa-中,"Åsa ""Reef"" O\'Dunn, junior"\n')
    assert read_roster(path) == (Learner("åsa-中", 'Åsa "Reef" O\'Dunn, junior'),)


def test_the_same_accented_id_in_two_forms_is_one_id(tmp_path: Path) -> None:
    path = written(tmp_path, "id,name\nna\u0308s,One\nn\u00e4s,Two\n")
    with pytest.raises(ClassError, match=r"The id 'n\u00e4s' in line 3 .* given in line 2 already"):
        read_roster(path)


BAD = [
    ("id,name\nann,A\nbo,B\nann,C\n", "The id 'ann' in line 4 of '{path}' was given in line 2 already."),
    (
        "id,name\nann,A\nAnn,B\n",
        "The id 'Ann' in line 3 of '{path}' was given in line 2 already (as 'ann': ids may not differ by "
        "capitals alone).",
    ),
    ("name\nAnn\n", "The roster '{path}' has no column 'id'; its first line names 'name'."),
    ("id,mark\nann,3\n", "The roster '{path}' has no column 'name'; its first line names 'id', 'mark'."),
    ("id,name,ID\na,b,c\n", "The roster '{path}' has the column 'id' twice."),
    (
        "",
        "The roster '{path}' is empty; its first line names the columns: id, name, email, group, extra time.",
    ),
    ("id,name\n", "The roster '{path}' names nobody: it needs one line a learner below its header."),
    ("id,name\n,Ann\n", "The id in line 2 of '{path}' is empty."),
    ("id,name\nann,\n", "The name of 'ann' in line 2 of '{path}' is empty."),
    ("id,name\nann,Ann,extra\n", "There are 3 cells in line 2 of '{path}', and the header names 2."),
    (
        "id,name,extra time\nann,Ann,a lot\n",
        "The extra time 'a lot' in line 2 of '{path}' is not a number of per cent from 0 to 1000.",
    ),
    (
        "id,name,extra time\nann,Ann,nan\n",
        "The extra time 'nan' in line 2 of '{path}' is not a number of per cent from 0 to 1000.",
    ),
    ("id,name\nann,A\x07nn\n", "The name in line 2 of '{path}' holds the control character '\\x07'."),
    (
        "id,name\nann,Ann\nbo,B\u00f6\n".encode("latin-1"),
        "Line 3 of the roster '{path}' is not utf-8 (byte 0xf6); save it as 'CSV UTF-8'.",
    ),
    (
        "id,name\nann,Ann\n".encode("utf-16"),
        "Line 1 of the roster '{path}' is not utf-8 (byte 0xff); save it as 'CSV UTF-8'.",
    ),
    ("id,name\nann,A\0nn\n", "Line 2 of the roster '{path}' holds a zero byte; save it as 'CSV UTF-8'."),
]


@pytest.mark.parametrize(("content", "sentence"), BAD)
def test_bad_rosters_get_one_sentence(tmp_path: Path, content: str | bytes, sentence: str) -> None:
    path = written(tmp_path, content)
    with pytest.raises(ClassError) as raised:
        read_roster(path)
    assert str(raised.value) == sentence.format(path=path)


UNFIT = [
    "../up",
    "..",
    ".hidden",
    "a/b",
    "a\\b",
    "c:",
    "a b",
    "-flag",
    "nul",
    "COM1.x",
    "x" * 65,
    "a*",
    "[a]",
]


@pytest.mark.parametrize("name", [*UNFIT, "~", "a.", "a\u202eb", "a+b", "a,b", "a%2fb", "=1+1"])
def test_an_id_that_cannot_name_a_folder_is_refused(tmp_path: Path, name: str) -> None:
    path = written(tmp_path, f'id,name\nok,Fine\n"{name}",Ann\n')
    with pytest.raises(ClassError) as raised:
        read_roster(path)
    sentence = str(raised.value)
    assert sentence.startswith(f"The id {name!r} in line 3 of '{path}' cannot name a folder: ")
    assert "\n" not in sentence


def test_an_unclosed_quote_names_its_line(tmp_path: Path) -> None:
    path = written(tmp_path, 'id,name\nann,"Ann\n')
    with pytest.raises(ClassError, match=r"of the roster .* is not CSV"):
        read_roster(path)


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(ClassError, match="There is no roster file"):
        read_roster(tmp_path / "none.csv")
    with pytest.raises(ClassError, match="is a folder; the roster is a CSV file"):
        read_roster(tmp_path)


def test_the_normalised_text_reads_back_the_same(tmp_path: Path) -> None:
    learners = (Learner("ann", 'Ann "A", T', "ann@example.org", "A", 12.5), Learner("bö", "Bö"))
    assert read_roster(written(tmp_path, roster_text(learners))) == learners


def test_a_wrong_id_is_answered_with_the_nearest() -> None:
    learners = (Learner("ann", "Ann"), Learner("bo", "Bo"))
    assert find(learners, "bo").name == "Bo"
    with pytest.raises(ClassError, match="Nobody on the roster has the id 'anm'; did you mean 'ann'"):
        find(learners, "anm")
