"""Every number in the tables has a unit, a range it lies in, a source and a status: over every file of datasets."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from course.boats.datasets import datasets_folder, load

STATUSES = {"read", "derived", "memory", "fitted", "declared", "invented", "practice"}
TABLES = sorted(path.stem for path in datasets_folder().glob("*.yaml"))
BOATS = sorted(datasets_folder().glob("boats/*.yaml"))
SAYS = ("source", "status")  # what is said of the others, not a column itself


def document(table: str) -> dict[str, Any]:
    return yaml.safe_load((datasets_folder() / f"{table}.yaml").read_text(encoding="utf-8"))


def keys_twice(text: str) -> list[str]:
    """Keys that stand twice in one mapping: of two the reader would take the last, and not say so."""

    def of(node: Any) -> Iterator[str]:
        if isinstance(node, yaml.MappingNode):
            keys = [key.value for key, _ in node.value]
            yield from (key for key in set(keys) if keys.count(key) > 1)
        inner = node.value if isinstance(node, yaml.CollectionNode) else ()
        for one in inner:
            for child in one if isinstance(one, tuple) else (one,):
                yield from of(child)

    return sorted(of(yaml.compose(text)))


def columns(found: dict[str, Any]) -> dict[str, Any]:
    return {**found.get("columns", {}), **found.get("parameters", {})}


def numbers(value: Any, column: str, known: dict[str, Any]) -> Iterator[tuple[str, float]]:
    """Every number under a row, with the nearest column that its table describes."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return
    if isinstance(value, int | float):
        yield column, float(value)
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from numbers(inner, key if key in known or column not in known else column, known)
    else:
        for inner in value:
            yield from numbers(inner, column, known)


def complaints(table: str, found: dict[str, Any]) -> list[str]:
    """Return what a table lacks, a sentence each."""
    known, wrong = columns(found), []
    for name, column in known.items():
        low, high = column.get("range", (None, None))
        if not column.get("unit") or low is None or high < low:
            return [f"{table}: the column {name} has no unit or no range"]
    for row in found["rows"]:
        where = f"{table}: {row.get('id', '(no id)')}"
        wrong += [f"{where}: no {key}" for key in ("id", *SAYS) if not row.get(key)]
        statuses = row.get("status", "")
        told = statuses.values() if isinstance(statuses, dict) else [statuses]
        wrong += [
            f"{where}: the status {status!r} is none we use" for status in told if status not in STATUSES
        ]
        for key, value in row.items():
            if key in SAYS:
                continue
            for column, number in numbers(value, key, known):
                wrong += _about(where, key, column, number, row, known)
    return wrong


def _about(
    where: str, key: str, column: str, number: float, row: dict[str, Any], known: dict[str, Any]
) -> list[str]:
    wrong = []
    if column not in known:
        return [f"{where}: {column} = {number} has no unit and no range"]
    low, high = known[column]["range"]
    if not low <= number <= high:
        wrong.append(f"{where}: {column} = {number} is outside {low} to {high}")
    if isinstance(row.get("status"), dict) and key not in row["status"]:
        wrong.append(f"{where}: {key} has no status of its own")
    return wrong


@pytest.mark.parametrize("path", sorted(datasets_folder().rglob("*.yaml")), ids=lambda path: path.stem)
def test_no_key_stands_twice(path: Path) -> None:
    assert keys_twice(path.read_text(encoding="utf-8")) == []


def test_a_key_that_stands_twice_is_seen() -> None:
    assert keys_twice("rows:\n  - {a: 1, b: 2, a: 3}\n") == ["a"]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_source_unit_range_and_status(table: str) -> None:
    assert complaints(table, document(table)) == []


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (lambda d: d["rows"][0].pop("source"), "no source"),
        (lambda d: d["rows"][0].pop("status"), "no status"),
        (lambda d: d["rows"][0].update(status="guessed"), "none we use"),
        (lambda d: d["rows"][0].update(weight=3.0), "no unit and no range"),
        (lambda d: d["rows"][0].update(ohm_per_m=400.0), "outside"),
        (lambda d: d["columns"]["ohm_per_m"].pop("unit"), "no unit or no range"),
        (lambda d: d["columns"]["ohm_per_m"].pop("range"), "no unit or no range"),
        (lambda d: d["rows"][0].update(status={"gauge_awg": "read"}), "no status of its own"),
    ],
)
def test_a_row_without_is_refused(spoil: Any, word: str) -> None:
    table = document("conductors")
    spoil(table)
    assert any(word in sentence for sentence in complaints("conductors", table))


def test_the_tables_the_course_promises_are_there() -> None:
    promised = {
        "metals",
        "anodes",
        "reference_cells",
        "criteria",
        "conductors",
        "waters",
        "coatings",
        "marina",
        "neighbours",
    }
    assert promised <= set(TABLES)


def test_every_metal_named_in_a_table_is_known() -> None:
    known = set(load("metals"))
    assert {row["metal"] for row in load("anodes").values()} <= known
    assert {m["metal"] for row in load("neighbours").values() for m in row["metals"]} <= known
    assert {row["dock"]["metal"] for row in load("marina").values()} <= known


def test_an_anode_drives_and_lasts_as_its_own_row_says() -> None:
    """Efficiency is capacity over theory; driving voltage is the distance to -800 mV (to bronze at -290 mV, for iron): both rounded."""
    for name, row in load("anodes").items():
        assert row["efficiency"] == pytest.approx(
            row["capacity_Ah_kg"] / row["theoretical_Ah_kg"], abs=0.01
        ), name
        goal = -290 if name == "iron" else -800
        assert row["driving_mV_to_steel"] == pytest.approx(goal - row["closed_circuit_mV_AgAgCl"], abs=20), (
            name
        )


def test_theory_of_an_anode_is_faradays() -> None:
    """Ah/kg = F / 3600 / equivalent weight. The metals' rows count alloying elements, so 5 % is allowed."""
    for name, row in load("anodes").items():
        weight = load("metals")[row["metal"]]["equivalent_weight_g"]
        assert row["theoretical_Ah_kg"] == pytest.approx(96485.33 / 3.6 / weight, rel=0.05), name


def test_every_boat_lies_somewhere_and_only_once() -> None:
    moored = [boat for row in load("marina").values() for boat in row["boats"]]
    assert sorted(moored) == [path.stem for path in BOATS]


@pytest.mark.parametrize("path", BOATS, ids=lambda path: path.stem)
def test_a_boat_file_says_that_it_is_invented(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "is an invented boat" in text.splitlines()[0]
    assert yaml.safe_load(text)["status"] == "invented"


def test_waters_agree_with_the_engine() -> None:
    """Conductivity by PSS-78 (gsw) at 15 degC, at each end of the salinity; rounded values, 15 % allowed in fresh water, 4 % in salt."""
    from course.engine import Water

    for name in ("sea_water", "brackish_water", "soft_fresh_water", "foul_harbour_water"):
        row = load("waters")[name]
        for salinity, conductivity in zip(row["salinity"], row["conductivity_S_m"], strict=True):
            water = Water(temperature=288.15, salinity=salinity)
            assert conductivity == pytest.approx(water.conductivity, rel=0.04 if salinity > 1 else 0.15), name
