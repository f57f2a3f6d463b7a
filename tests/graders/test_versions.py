"""The fingerprint of the physics: the same in a checkout and in an installed copy, another when physics or data change."""

from __future__ import annotations

import shutil

import pytest

import course
from course.boats.datasets import datasets_folder
from graders import versions


@pytest.fixture
def fingerprint(tmp_path, monkeypatch):
    """A function that gives the fingerprint of a copy of the house, its data beside the package or inside it."""

    def of(name, inside, change=None):
        package = tmp_path / name / "course"
        data = package / "datasets" if inside else tmp_path / name / "datasets"
        for folder in versions.PHYSICS:
            shutil.copytree(
                f"{course.__path__[0]}/{folder}",
                package / folder,
                ignore=shutil.ignore_patterns("__pycache__"),
            )
        shutil.copytree(datasets_folder(), data)
        if change:
            path = package.parent / change
            path.write_text(path.read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8")
        monkeypatch.setattr(versions.course, "__file__", str(package / "__init__.py"))
        monkeypatch.setattr(versions, "datasets_folder", lambda: data)
        versions.frozen_versions.cache_clear()
        return versions.frozen_versions()["physics"]

    yield of
    versions.frozen_versions.cache_clear()


def test_a_wheel_and_a_checkout_are_the_same_physics(fingerprint):
    assert fingerprint("checkout", inside=False) == fingerprint("wheel", inside=True)


def test_a_changed_engine_or_a_changed_table_is_another(fingerprint):
    first = fingerprint("a", inside=False)
    assert fingerprint("b", inside=False, change="course/engine/solve.py") != first
    assert fingerprint("c", inside=False, change="datasets/metals.yaml") != first
    assert fingerprint("d", inside=False, change="course/engine/field/panels.py") != first
