"""Any sequence of acts gives a logbook that replays: here, in another process, in another order of slips, with other threads.

A few hundred sequences by default; ``pytest -m long tests/instruments/test_fuzz.py`` takes ten thousand, a part of them written
by a whole slip to disk.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import textwrap

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from course.boats.afloat import Afloat
from course.boats.faults import candidates
from course.boats.plan import Kit, Start
from course.instruments.fold import ACTS, after
from course.instruments.logbook import action_row
from course.instruments.replay import replay
from course.instruments.rows import read_rows
from course.instruments.slip import Slip
from course.instruments.state import LEADS, SlipError, first_state

FEW, MANY = 150, 10_000
DIALS = (
    "off",
    "auto V",
    "200 mV",
    "2 V",
    "20 V",
    "200 mA",
    "200 ohm",
    "20 kohm",
    "continuity",
    "diode",
    "2.5 V",
    "10 V",
)
POINTS = ("common_bonding_point", "engine", "seacock", "shaft", "hull_anode", "rail", "battery_positive", "isolator_boat",
          "isolator_shore", "propeller", None)  # fmt: skip
WIRES = (
    "bond_engine",
    "hull_anode_lead",
    "positive:fridge",
    "negative:fridge",
    "positive:bilge_pump",
    "shore_earth",
)
CIRCUITS = ("bilge_pump", "lights", "fridge")
PARTS = ("bond_seacock", "fridge", "hull_anode", "bilge_pump", "isolator", "shore_earth")
CELLS = ("silver_chloride_sea_water", "silver_chloride_saturated", "copper_sulphate", "zinc_sea_water")
INSTRUMENTS = ("meter", "meter", "clamp", "thermometer", "conductivity meter")
SWITCH = st.booleans()


def one(*options):
    return st.sampled_from(options)


NOTHING: dict[str, st.SearchStrategy] = {}
ARGUMENTS = {
    "turn_dial": {"position": one(*DIALS)},
    "take_meter": {"meter": one("digital", "analogue")},
    "plug": {"lead": one(*LEADS), "jack": one("COM", "V", "A", None)},
    "clip": {"point": one(*POINTS), "lead": one("test lead", "long lead"), "scraped": SWITCH},
    "null_leads": NOTHING,
    "change_fuse": NOTHING,
    "take_cell": {"cell": one(*CELLS)},
    "hang_cell": {"x_m": st.floats(-1, 7), "depth_m": st.floats(0.05, 2.5)},
    "lift_cell": NOTHING,
    "dip_probe": {"in_bilge": SWITCH},
    "close_clamp": {
        "around": st.lists(one(*WIRES), min_size=1, max_size=3),
        "arrow": one("forward", "backward"),
    },
    "open_clamp": NOTHING,
    "zero_clamp": NOTHING,
    "open_link": {"link": one("hull_anode_lead", "shore_earth")},
    "close_link": {"link": st.just("hull_anode_lead")},
    "lift_anode": {"anode": st.just("hanging_anode")},
    "lower_anode": {"anode": st.just("hanging_anode")},
    "breaker": {"circuit": one(*CIRCUITS), "closed": SWITCH},
    "battery_switch": {"on": SWITCH},
    "shore_lead": {"plugged": SWITCH},
    "mend": {"part": one(*PARTS)},
    "wait": {"minutes": st.integers(1, 90)},
    "record": {"instrument": one(*INSTRUMENTS)},
}
ANY_ACT = one(*ARGUMENTS, *["record"] * 4, "plug", "clip", "turn_dial").flatmap(
    lambda name: st.tuples(st.just(name), st.fixed_dictionaries(ARGUMENTS[name]))
)
WIRED = [
    ("plug", {"lead": "cell lead", "jack": "COM"}), ("plug", {"lead": "test lead", "jack": "V"}),
    ("clip", {"point": "common_bonding_point"}), ("hang_cell", {"x_m": 3.0, "depth_m": 0.8}), ("turn_dial", {"position": "2 V"}),
]  # fmt: skip
LAST = [("record", {}), ("record", {"instrument": "clamp"})]
SEQUENCES = st.tuples(one([], WIRED), st.lists(ANY_ACT, min_size=2, max_size=14)).map(
    lambda two: [*two[0], *two[1], *LAST]
)


@pytest.fixture(scope="module")
def plans(tern_plan, tern):
    found = {fault.id: fault for fault in candidates(tern)}
    kit = Kit(
        cells=CELLS,
        cell_condition="dry",
        meter_gain=1.002,
        noise_mV=0.6,
        clamp_zero_mA=35.0,
        long_lead_ohm=0.7,
    )
    stray = found["chafed_positive:seacock:fridge:poor"]
    short = found["chafed_positive:seacock:fridge:bonded"]
    passing = found["isolator_fault:isolator:failed_short"]
    return (
        tern_plan(kit=kit),
        tern_plan(stray, passing, kit=kit, start=Start(shore_plugged=True), seed="b"),
        tern_plan(short, found["bilge_splice:bilge_water:bilge_pump:poor"], kit=kit, seed="c"),
    )


@pytest.fixture(scope="module")
def afloat(plans):
    return Afloat(plans[0])


def written(afloat, acts):
    """Return the rows a slip would write, without a disk."""
    state, rows = first_state(afloat), []
    for name, args in acts:
        try:
            following = after(afloat, state, name, args)
        except SlipError:
            continue
        rows.append(action_row(afloat, state, following, len(rows) + 1, name, args, None))
        state = following
    return rows


def taken(plans, count):
    """Return (number of the plan, rows) of ``count`` random sequences, each replayed once here."""
    afloats = [Afloat(plan) for plan in plans]
    logbooks = []

    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(which=st.integers(0, len(plans) - 1), acts=SEQUENCES)
    def take(which, acts):
        rows = written(afloats[which], acts)
        found = replay(afloats[which], rows)
        assert not found.problems
        assert len(found.readings) == sum(row["kind"] == "reading" for row in rows)
        logbooks.append((which, rows))

    take()
    return logbooks


ELSEWHERE = textwrap.dedent("""
    import json
    from pathlib import Path
    from course.boats.afloat import Afloat
    from course.boats.plan import SlipPlan
    from course.instruments.replay import replay
    afloats = [Afloat(SlipPlan.model_validate(plan)) for plan in json.loads(Path("plans.json").read_text(encoding="utf-8"))]
    readings, problems = 0, []
    for which, rows in reversed(json.loads(Path("logbooks.json").read_text(encoding="utf-8"))):
        found = replay(afloats[which], rows)
        readings += sum(reading.replays for reading in found.readings)
        problems += found.problems
    print(json.dumps([readings, problems[:3]]))
""")


def replayed_elsewhere(plans, logbooks, folder, threads):
    """Replay logbooks in another process, in reversed order, with another number of BLAS threads; return readings and problems."""
    (folder / "plans.json").write_text(
        json.dumps([plan.model_dump(mode="json", by_alias=True) for plan in plans]), encoding="utf-8"
    )
    (folder / "logbooks.json").write_text(json.dumps(logbooks), encoding="utf-8")
    names = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
    there = subprocess.run(
        [sys.executable, "-c", ELSEWHERE], cwd=folder, capture_output=True, text=True, check=True,
        env={**os.environ, **dict.fromkeys(names, str(threads))},
    )  # fmt: skip
    return json.loads(there.stdout)


def test_every_act_is_among_the_random_ones():
    assert set(ARGUMENTS) == set(ACTS)


def test_random_sequences_replay_here_and_elsewhere(plans, tmp_path):
    logbooks = taken(plans, FEW)
    readings = sum(row["kind"] == "reading" for _, rows in logbooks for row in rows)
    assert readings >= 2 * FEW
    assert replayed_elsewhere(plans, logbooks, tmp_path, threads=2) == [readings, []]


@pytest.mark.long
def test_ten_thousand_random_sequences_replay_here_and_elsewhere(plans, tmp_path):
    logbooks = taken(plans, MANY)
    readings = sum(row["kind"] == "reading" for _, rows in logbooks for row in rows)
    assert readings >= 2 * MANY
    assert {row["action"] for _, rows in logbooks for row in rows} == set(ACTS)
    for threads in (1, 2, 4):
        assert replayed_elsewhere(plans, logbooks, tmp_path, threads) == [readings, []]


@settings(max_examples=8, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(which=st.integers(0, 2), acts=SEQUENCES)
def test_a_slip_on_disk_writes_what_replays_and_is_taken_up_again(plans, tmp_path_factory, which, acts):
    folder = tmp_path_factory.mktemp("fuzz")
    slip = Slip(plans[which], folder)
    for name, args in acts:
        with contextlib.suppress(SlipError):
            slip.act(name, args)
    found = replay(Afloat(plans[which]), read_rows(slip.path).rows)
    assert not found.problems
    again = Slip(plans[which], folder)
    assert again.text() == slip.text()
    json.dumps(slip.view(), allow_nan=False)


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False)
    | st.text(max_size=8)
    | one(*WIRES, *CIRCUITS, *DIALS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)
NAMES = sorted({name for arguments in ARGUMENTS.values() for name in arguments})


@settings(max_examples=120, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(name=one(*ACTS, "jump", "note"), args=st.dictionaries(one(*NAMES), JSON, max_size=4))
def test_whatever_an_act_is_told_it_is_done_or_refused_in_one_sentence(afloat, name, args):
    try:
        after(afloat, first_state(afloat), name, args)
    except SlipError as refusal:
        sentence = str(refusal)
    else:
        sentence = "Done."
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 1500
