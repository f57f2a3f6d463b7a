"""Tables of hunts are kept, made anew when they are damaged, and done without when they cannot be kept."""

from __future__ import annotations

import numpy as np
import pytest

from graders.hunt.kept import kept, place

SHAPES = {"dead": (2, 3), "trips": (2,)}


def maker(calls):
    def make():
        calls.append(1)
        return {"dead": np.arange(6.0).reshape(2, 3), "trips": np.array([0.0, 1.0])}

    return make


def test_made_once_and_then_read(tmp_path):
    calls, path = [], tmp_path / "deep" / "one.npz"
    first, second = (kept(path, SHAPES, maker(calls)) for _ in range(2))
    assert len(calls) == 1
    assert all(np.array_equal(first[name], second[name]) for name in SHAPES)
    assert [p.name for p in path.parent.iterdir()] == ["one.npz"]


@pytest.mark.parametrize("damage", [b"", b"no archive", b"PK\x03\x04 cut short"])
def test_damaged_is_made_anew(tmp_path, damage):
    calls, path = [], tmp_path / "one.npz"
    path.write_bytes(damage)
    kept(path, SHAPES, maker(calls))
    kept(path, SHAPES, maker(calls))
    assert len(calls) == 1


def test_another_shape_is_made_anew(tmp_path):
    calls, path = [], tmp_path / "one.npz"
    np.savez(path, dead=np.zeros((1, 3)), trips=np.zeros(1))
    assert kept(path, SHAPES, maker(calls))["dead"].shape == (2, 3)
    assert len(calls) == 1


def test_what_cannot_be_kept_is_done_without(tmp_path):
    calls, blocked = [], tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    assert kept(blocked / "one.npz", SHAPES, maker(calls))["trips"][1] == 1.0
    assert len(calls) == 1


def test_a_name_depends_on_boat_and_instruments():
    names = {place(plan, kit) for plan in ("{}", "{ }") for kit in (("cell",), ("cell", "clamp"))}
    assert len(names) == 4
