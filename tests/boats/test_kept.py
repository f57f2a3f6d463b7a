"""What is kept between solves and from day to day changes no number, and goes with what it was kept for."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
import pytest

from course.boats import fresh_water, kept
from course.boats.by_identity import MOST, by_identity
from course.boats.description import fleet_boat
from course.boats.personal import draw_plan, seed_for
from course.boats.plan import Berth, SlipPlan

NAMES = frozenset({"a", "b"})
LAKE = Berth(
    marina="invented", name="B1", water="fresh water", depth_m=3.0, temperature_degC=12.0, salinity=0.2,
    flow_m_per_s=0.02, bed_reflection=0.6,
)  # fmt: skip


def whole(arrays: kept.Arrays) -> bool:
    return arrays.keys() == NAMES


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(kept, "user_cache", lambda: tmp_path)
    return tmp_path


def test_arrays_come_back_as_they_were(cache: Path) -> None:
    arrays = {"a": np.array([0.1, 1 / 3]), "b": np.array(["bow", "stern"])}
    path = kept.place("kind", "key")
    assert kept.read(path, whole) is None
    kept.keep(path, arrays)
    found = kept.read(path, whole)
    assert found is not None
    assert all((found[name] == arrays[name]).all() for name in NAMES)
    assert kept.place("kind", "other") != path


@pytest.mark.parametrize("damage", [b"", b"no archive", b"PK\x03\x04 cut short"])
def test_a_damaged_file_makes_room(cache: Path, damage: bytes) -> None:
    path = cache / "one.npz"
    path.write_bytes(damage)
    assert kept.read(path, whole) is None
    kept.keep(path, {name: np.zeros(1) for name in NAMES})
    assert kept.read(path, whole) is not None
    assert kept.read(path, lambda _: False) is None
    assert not path.exists()


def test_a_drawer_holds_only_so_many(cache: Path) -> None:
    for k in range(kept.IN_A_DRAWER + 5):
        kept.keep(cache / "drawer" / f"{k}.npz", {"a": np.array([float(k)])})
    assert len(list((cache / "drawer").iterdir())) == kept.IN_A_DRAWER


def test_where_nothing_can_be_written_nothing_is_kept(cache: Path) -> None:
    (cache / "in the way").write_text("", encoding="utf-8")
    kept.keep(cache / "in the way" / "one.npz", {"a": np.zeros(1)})
    assert kept.read(cache / "in the way" / "one.npz", whole) is None


def test_a_kept_field_is_the_field(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    boat, points = fleet_boat("noon_ripple"), np.array([[1.0, 2.6, -0.8], [5.0, 2.6, -1.2]])
    basin = fresh_water.Basin(True, LAKE.depth_m, LAKE.bed_reflection)
    monkeypatch.setattr(fresh_water, "_HEARD", {})
    made = fresh_water._heard(boat, LAKE)
    fresh_water.keep_field(boat, LAKE)
    fresh_water._HEARD.clear()
    monkeypatch.setattr(fresh_water, "pool_of", None)  # nothing is reckoned again
    found = fresh_water._heard(boat, LAKE)
    assert found.metals == made.metals
    assert (found.transfer == made.transfer).all()
    assert (found.to_points(points, basin) == made.to_points(points, basin)).all()


def test_a_function_remembers_objects_and_not_what_they_equal() -> None:
    asked: list[list[int]] = []

    @by_identity
    def total(numbers: list[int]) -> int:
        asked.append(numbers)
        return sum(numbers)

    mine, yours = [1, 2], [1, 2]
    assert [total(mine), total(mine), total(yours)] == [3, 3, 3]
    assert len(asked) == 2
    for k in range(MOST):
        total([k])
    assert total(mine) == 3
    assert len(asked) == 3 + MOST


def test_a_changed_plan_has_another_name() -> None:
    plan = draw_plan("hull_potential", "03.1", seed_for("practice", "CR26", "learner", "03.1", 0), "practice")
    name = plan.digest
    other = plan.model_copy(update={"sheet": {"drawn": 1.0}})
    assert other.digest != name
    assert '"drawn": 1.0' in other.canonical_json()
    assert plan.model_copy().digest == plan.digest == name


def test_a_stored_plan_is_read_by_its_name_and_no_other() -> None:
    plan = draw_plan("hull_potential", "03.1", seed_for("practice", "CR26", "learner", "03.1", 0), "practice")
    content = plan.canonical_json().encode("utf-8")
    again = SlipPlan.stored(content, plan.digest)
    assert again == plan
    assert again.digest == plan.digest
    assert again.model_copy(update={"seed": "0"}).digest != plan.digest
    for broken, name in ((content + b" ", plan.digest), (content, "0" * 16)):
        with pytest.raises(ValueError, match="not what was stored"):
            SlipPlan.stored(broken, name)
    nothing = b"{}"
    with pytest.raises(ValueError, match="exercise"):
        SlipPlan.stored(nothing, hashlib.sha256(nothing).hexdigest()[:16])
