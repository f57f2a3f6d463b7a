"""``wetslip boat check``: a sound boat is described, an unsound one refused in one sentence."""

from __future__ import annotations

from course.boats.datasets import datasets_folder
from instructor.command import main

BOAT = datasets_folder() / "boats" / "marsh_lantern.yaml"


def test_a_sound_boat_is_described_and_drawn(tmp_path, capsys):
    picture = tmp_path / "she.png"
    assert main(["boat", "check", str(BOAT), "--figure", str(picture), "--no-faults"]) == 0
    said = capsys.readouterr().out
    assert "Marsh Lantern, fibreglass twin-inboard cruiser: 12 metals in the water, 4 wet inside, 4 anodes" in said
    assert "hull potential with the anodes" in said
    assert "Nothing looks implausible." in said
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_an_unsound_boat_is_one_sentence_and_exit_code_2(tmp_path, capsys):
    path = tmp_path / "mein Böötchen.yaml"
    text = BOAT.read_text(encoding="utf-8")
    for wrong, sentence in [
        (
            text.replace("wetted_area_m2: 0.11", "wetted_area_m2: -0.11"),
            "strut_port, wetted_area_m2: it should be greater than 0",
        ),
        (text.replace("silicon_bronze", "silicone_bronze"), "did you mean 'silicon_bronze'?"),
    ]:
        path.write_text(wrong, encoding="utf-8")
        assert main(["boat", "check", str(path)]) == 2
        captured = capsys.readouterr()
        assert sentence in captured.err
        assert captured.err.count("\n") == 1
        assert captured.out == ""
