"""The logbook: nothing is lost, nothing doubled, nothing rewritten, and it replays to the same digits."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import textwrap
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from course.boats.afloat import Afloat
from course.instruments.replay import replay
from course.instruments.rows import read_rows
from course.instruments.slip import Slip
from course.instruments.state import SlipError


def test_another_slip_object_takes_up_where_the_first_left(wired, plan, folder):
    wired.record()
    again = Slip(plan, folder)
    assert again.text() == wired.text()
    assert again.display == wired.display


def test_a_recorded_row_is_what_the_display_said(wired):
    said = wired.display
    row = wired.record()
    assert f"{row['display']} {row['unit']}" == said
    assert row["leads"]["test lead"] == {"jack": "V", "point": "common_bonding_point"}
    assert row["cell"] == {
        "kind": "silver_chloride_sea_water",
        "in_water": True,
        "x_m": 5.6,
        "depth_m": 1.0,
    }


def test_the_same_act_told_twice_is_done_once(slip):
    first = slip.act("wait", {"minutes": 5}, "message-1")
    again = slip.act("wait", {"minutes": 5}, "message-1")
    assert first == again
    assert slip.state.minute == 5
    assert len(slip.rows) == 1


def test_two_notebooks_on_one_slip_lose_and_double_nothing(plan, folder):
    slips = [Slip(plan, folder) for _ in range(2)]
    with ThreadPoolExecutor(2) as pool:
        for job in [pool.submit(lambda s=slip: [s.wait(1) for _ in range(15)]) for slip in slips]:
            job.result()
    rows = read_rows(folder / "logbook.jsonl").rows
    assert [row["n"] for row in rows] == list(range(1, 31))
    for slip in slips:
        slip.refresh()
        assert slip.state.minute == 30


def test_two_processes_on_one_slip_lose_and_double_nothing(plan, folder):
    (folder / "plan.json").write_text(plan.canonical_json(), encoding="utf-8")
    program = textwrap.dedent("""
        import sys
        from pathlib import Path
        from course.boats.plan import SlipPlan
        from course.instruments.slip import Slip
        slip = Slip(SlipPlan.model_validate_json(Path("plan.json").read_text(encoding="utf-8")), Path())
        for k in range(12):
            slip.act("wait", {"minutes": 1}, f"{sys.argv[1]}-{k}")
            slip.act("record", {"instrument": "clamp"}, f"{sys.argv[1]}-{k}-read")
    """)
    both = [subprocess.Popen([sys.executable, "-c", program, name], cwd=folder) for name in "ab"]
    assert [process.wait(timeout=300) for process in both] == [0, 0]
    rows = read_rows(folder / "logbook.jsonl").rows
    assert [row["n"] for row in rows] == list(range(1, 49))
    assert len({row["id"] for row in rows}) == 48
    found = replay(Afloat(plan), rows)
    assert (len(found.readings), found.problems) == (24, ())


def test_a_torn_last_line_is_set_aside_and_the_work_goes_on(wired, plan, folder):
    wired.record()
    path = folder / "logbook.jsonl"
    whole = path.read_bytes()
    path.write_bytes(whole + b'{"v": 2, "n": 8, "kind": "rea')
    again = Slip(plan, folder)
    again.wait(5)
    text = path.read_bytes()
    assert text.startswith(whole)
    found = read_rows(path)
    assert found.set_aside == ('{"v": 2, "n": 8, "kind": "rea',)
    assert [row["n"] for row in found.rows] == list(range(1, 9))


def test_a_process_killed_at_work_loses_nothing_it_has_written(plan, folder):
    (folder / "plan.json").write_text(plan.canonical_json(), encoding="utf-8")
    program = textwrap.dedent("""
        from pathlib import Path
        from course.boats.plan import SlipPlan
        from course.instruments.slip import Slip
        slip = Slip(SlipPlan.model_validate_json(Path("plan.json").read_text(encoding="utf-8")), Path())
        while True:
            print(slip.wait(1)["n"], flush=True)
    """)
    worker = subprocess.Popen([sys.executable, "-c", program], cwd=folder, stdout=subprocess.PIPE, text=True)
    assert worker.stdout is not None
    for line in worker.stdout:
        if int(line) >= 25:
            worker.kill()
            break
    said = [line for line in worker.stdout if line.endswith("\n")]
    worker.wait(timeout=60)
    worker.stdout.close()
    slip = Slip(plan, folder)
    slip.wait(1)
    found = read_rows(folder / "logbook.jsonl")
    assert [row["n"] for row in found.rows] == list(range(1, len(found.rows) + 1))
    assert len(found.rows) > max([25, *map(int, said)])
    assert len(found.set_aside) <= 1
    assert not replay(Afloat(plan), found.rows).problems


def test_a_note_is_a_row_of_its_own(wired, folder):
    wired.record()
    before = (folder / "logbook.jsonl").read_bytes()
    wired.note("taken between two ferries", about=7)
    assert (folder / "logbook.jsonl").read_bytes().startswith(before)
    assert wired.rows[-1]["about"] == 7
    assert "Note on row 7: taken between two ferries" in [row["text"] for row in wired.view()["logbook"]]


def test_a_logbook_that_cannot_be_opened_is_one_sentence(plan, folder):
    slip = Slip(plan, folder)
    (folder / "logbook.jsonl").mkdir()
    for look in (lambda: Slip(plan, folder), lambda: slip.wait(5)):
        with pytest.raises(SlipError, match=r"logbook\.jsonl cannot be (read|written) \(Is a directory\)"):
            look()
    assert slip.state.minute == 0


@pytest.mark.skipif(os.name == "nt", reason="file size limits are POSIX")
def test_a_full_disk_loses_no_row_and_work_goes_on_when_there_is_room(plan, folder):
    """A limit on the size of a file stands for the full disk: the write stops in the middle of a line."""
    (folder / "plan.json").write_text(plan.canonical_json(), encoding="utf-8")
    program = textwrap.dedent("""
        import resource
        from pathlib import Path
        from course.boats.plan import SlipPlan
        from course.instruments.slip import Slip, SlipError
        slip = Slip(SlipPlan.model_validate_json(Path("plan.json").read_text(encoding="utf-8")), Path())
        resource.setrlimit(resource.RLIMIT_FSIZE, (500, resource.RLIM_INFINITY))
        try:
            for _ in range(10):
                slip.wait(1)
        except SlipError as error:
            print(slip.state.minute, error)
    """)
    full = subprocess.run(
        [sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=True
    )
    minute, sentence = full.stdout.strip().split(" ", 1)
    assert "logbook.jsonl cannot be written (File too large); this was not done." in sentence
    slip = Slip(plan, folder)
    assert slip.state.minute == int(minute) >= 2
    slip.wait(1)
    assert [row["n"] for row in read_rows(folder / "logbook.jsonl").rows] == list(range(1, int(minute) + 2))


def test_a_logbook_replays_in_another_process_to_the_same_digits(wired, plan, folder):
    for x in (0.5, 5.6, 10.5):
        wired.hang_cell(x, 1.2)
        wired.record()
    (folder / "plan.json").write_text(plan.canonical_json(), encoding="utf-8")
    program = textwrap.dedent("""
        from pathlib import Path
        from course.boats.afloat import Afloat
        from course.boats.plan import SlipPlan
        from course.instruments.replay import replay
        from course.instruments.rows import read_rows
        plan = SlipPlan.model_validate_json(Path("plan.json").read_text(encoding="utf-8"))
        found = replay(Afloat(plan), read_rows(Path("logbook.jsonl")).rows)
        print(len(found.readings), all(r.replays for r in found.readings), found.problems)
    """)
    there = subprocess.run(
        [sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=True,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "2"},
    )  # fmt: skip
    assert there.stdout.strip() == "3 True ()"


def forged(folder, change):
    path = folder / "logbook.jsonl"
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    change(rows)
    path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    return rows


def edit_display(rows):
    rows[-1]["display"] = "-0.950"


def delete_the_wait(rows):
    del rows[5]


def reorder(rows):
    rows[0], rows[4] = rows[4], rows[0]


def claim_another_minute(rows):
    rows[-1]["minute"] += 60


def invent_a_reading(rows):
    rows[-1:] = [{**rows[-1], "display": "-0.905", "leads": {}}]


@pytest.mark.parametrize(
    "change", [edit_display, delete_the_wait, reorder, claim_another_minute, invent_a_reading]
)
def test_a_forged_logbook_does_not_replay(wired, plan, folder, change):
    wired.record()
    rows = forged(folder, change)
    found = replay(Afloat(plan), rows)
    assert found.problems
    assert not any(reading.replays for reading in found.readings)


def test_one_count_of_rounding_makes_nobody_a_forger(wired, plan, folder):
    display = wired.record()["display"]

    def one_count(rows):
        rows[-1]["display"] = f"{float(display) + 0.001:.3f}"

    found = replay(Afloat(plan), forged(folder, one_count))
    assert found.readings[0].replays
    assert not found.problems


def acts(names, **args):
    """Return a strategy of (act, args) pairs."""
    return st.tuples(st.sampled_from(names), st.fixed_dictionaries(args))


ACTS = st.one_of(
    acts(["turn_dial"], position=st.sampled_from(["off", "200 mV", "2 V", "20 V", "200 mA"])),
    acts(
        ["plug"],
        lead=st.sampled_from(["cell lead", "test lead"]),
        jack=st.sampled_from(["COM", "V", "A", None]),
    ),
    acts(["clip"], point=st.sampled_from(["common_bonding_point", "seacock_heads", "rail_foot", None])),
    acts(["hang_cell"], x_m=st.floats(-1, 12), depth_m=st.floats(0.05, 2.9)),
    acts(["lift_cell", "record"]),
    acts(["open_link", "close_link"], link=st.just("hull_anode_lead")),
    acts(["lift_anode", "lower_anode"], anode=st.just("hanging_anode")),
    acts(["wait"], minutes=st.integers(1, 90)),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=st.lists(ACTS, max_size=25))
def test_any_sequence_of_acts_replays_exactly(plan, tmp_path_factory, acts):
    slip = Slip(plan, tmp_path_factory.mktemp("fuzz"))
    for action, args in acts:
        slip.act(action, args)
    found = replay(Afloat(plan), read_rows(slip.path).rows)
    assert not found.problems
    assert len(found.readings) == sum(action == "record" for action, _ in acts)
    assert all(reading.replays for reading in found.readings)
    if found.states:
        assert found.states[-1].minute == slip.state.minute
