"""The scene without a browser: a message goes in, the view and the words that come back are looked at."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from course.instruments.words import view_words
from course.panels import Bench, Scene

PANELS = Path(__file__).parents[2] / "course" / "panels"
MESSAGES = [
    ("turn_dial", {"position": "20 V"}, lambda v: v["meter"]["dial"] == "20 V"),
    ("plug", {"lead": "cell lead", "jack": "A"}, lambda v: v["leads"]["cell lead"]["jack"] == "A"),
    ("plug", {"lead": "test lead", "jack": None}, lambda v: v["leads"]["test lead"]["jack"] is None),
    ("clip", {"point": "heads_outlet"}, lambda v: v["leads"]["test lead"]["point"] == "heads_outlet"),
    ("hang_cell", {"x_m": 2.5, "depth_m": 0.9}, lambda v: v["cell"]["depth_m"] == 0.9),
    ("lift_cell", {}, lambda v: not v["cell"]["in_water"]),
    ("open_link", {"link": "transom_anode_lead"}, lambda v: v["links"][0]["open"]),
    ("lift_anode", {"anode": "hanging_anode"}, lambda v: not v["hoists"][0]["lowered"]),
    ("breaker", {"circuit": "bilge_pump", "closed": False}, lambda v: not v["breakers"][1]["closed"]),
    ("wait", {"minutes": 30}, lambda v: v["clock"]["minute"] == 67),
    ("record", {}, lambda v: v["logbook"][-1]["kind"] == "reading"),
]  # fmt: skip


def deliver(scene: Scene, content: object) -> None:
    """Give the widget a message as the comm does."""
    scene._handle_msg({"content": {"data": {"method": "custom", "content": content}}, "buffers": []})


def tell(scene: Scene, action: object, args: object, action_id: object = "one") -> None:
    deliver(scene, {"action": action, "args": args, "id": action_id})


@pytest.mark.parametrize(
    ("action", "args", "holds"), MESSAGES, ids=[f"{i}-{m[0]}" for i, m in enumerate(MESSAGES)]
)
def test_a_message_is_done_and_shown(slip: Any, action: str, args: dict[str, Any], holds: Any) -> None:
    scene = Scene(slip)
    tell(scene, action, args)
    assert slip.acts == [(action, args)]
    assert holds(scene.view)
    assert scene.answered == "one"
    assert scene.words == view_words(scene.view)


def test_the_same_id_twice_is_one_act(slip: Any) -> None:
    scene = Scene(slip)
    tell(scene, "record", {}, "same")
    tell(scene, "record", {}, "same")
    assert len(slip.acts) == 1


def test_a_refusal_is_one_sentence_and_changes_nothing(slip: Any) -> None:
    scene = Scene(slip)
    before = scene.view
    tell(scene, "turn_dial", {"position": "9 V"}, "refused")
    assert scene.view == {**before, "said": "The dial has no position '9 V'."}
    assert scene.answered == "refused"
    tell(scene, "record", {}, "next")
    assert scene.view["said"] == "Did record."


def test_a_defect_is_shown_and_raised(slip: Any) -> None:
    scene = Scene(slip)
    with pytest.raises(TypeError):
        scene.act("turn_dial", {"wrong": 1}, "defect")
    assert "TypeError" in scene.view["said"]
    assert scene.answered == "defect"


@pytest.mark.parametrize(
    "content",
    [
        None,
        [],
        {"action": 3, "args": {}, "id": "a"},
        {"action": "record", "args": [], "id": "a"},
        {"action": "record", "args": {}},
        {"action": "record", "args": {}, "id": ""},
        {"action": "record", "args": {}, "id": "x" * 65},
    ],
)
def test_what_is_no_message_does_nothing(slip: Any, content: object) -> None:
    scene = Scene(slip)
    deliver(scene, content)
    assert slip.acts == []


def test_the_view_is_plain_data(slip: Any) -> None:
    json.dumps(Scene(slip).view, allow_nan=False)


def test_refresh_looks_again(slip: Any) -> None:
    scene = Scene(slip)
    scene.refresh()
    assert scene.view["said"] == "looked again"


def test_the_module_stands_alone() -> None:
    text = (PANELS / "scene.js").read_text(encoding="utf-8")
    assert not [line for line in text.splitlines() if line.startswith("import")]
    for word in ("import(", "fetch(", "http:", "https:", "innerHTML", "insertAdjacentHTML", "eval("):
        assert word not in text.replace("http://www.w3.org/2000/svg", ""), word
    style = (PANELS / "scene.css").read_text(encoding="utf-8")
    for word in ("@import", "url(", "@font-face", "animation"):
        assert word not in style, word


def test_the_words_say_all_that_is_drawn(view: dict[str, Any]) -> None:
    said = "\n".join(view_words(view)).lower()
    for item in [*view["parts"], *view["links"], *view["hoists"], *view["breakers"]]:
        assert item["label"].lower() in said
    assert "dial at 2 v, display -0.904 v" in said
    assert "cell lead in jack com" in said
    assert "5.60 m forward of the transom, 1.00 m deep" in said
    assert "hanging anode, zinc, in the water, worn to about 85 % of its new size" in said
    view["cell"]["in_water"] = False
    view["leads"] = {"cell lead": {"jack": None}, "test lead": {"jack": None, "point": None}}
    said = "\n".join(view_words(view))
    assert "Cell lead not plugged in." in said
    assert "Test lead not plugged in, its clip on nothing." in said
    assert "Reference cell out of the water." in said


def test_the_bench_follows_the_scene(slip: Any) -> None:
    bench = Bench(slip)
    assert bench.text() == slip.text()
    bench.scene.act("record", {}, "one")
    assert "<td>reading</td>" in bench.logbook.value.split("<tbody>")[1].split("</tr>")[0]
    assert bench.about.options[1] == ("row 7", 7)
    assert bench.figure().axes


def test_a_note_is_written_once_and_an_empty_one_is_not(slip: Any) -> None:
    bench = Bench(slip)
    bench.write.click()
    assert slip.acts == []
    assert "nothing in the note" in bench.refusal.value
    bench.note.value, bench.about.value = "  growth on the shafts ", 5
    bench.write.click()
    assert slip.acts == [("note", {"text": "growth on the shafts", "about": 5})]
    assert (bench.note.value, bench.about.value, bench.refusal.value) == ("", 0, "")
