"""A module of an instructor's own: exercises made from the course's, on boats of the fleet or of their own, as data.

A module's folder holds ``module.yaml`` and, if wanted, ``boats/*.yaml``; nothing in it is run.

    schema: 1
    module: 40_our_boats
    exercises:
      - {id: "40.1", like: "03.1", boat: our_boat, title: Our own launch}

``like`` is an exercise of the course; ``boat``, ``title`` and ``prompt`` may be left out and are then its own.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import yaml
from pydantic import BaseModel, ConfigDict, ValidationError

from course.boats.description import BoatError, add_boat, fleet_boat, read_boat
from course.boats.personal import FAMILIES, Family
from graders.exercise import Exercise
from graders.exercises import UnknownExercise, add_own, exercise_named, objectives_of

FILE_NAME = "module.yaml"
LARGEST_BYTES = 200_000
NAME = re.compile(r"[2-9][0-9]_[a-z0-9]+(?:_[a-z0-9]+)*")  # 00 to 19 are the course's own


class OwnError(ValueError):
    """A module's folder that cannot be used; the message is one sentence for the person who wrote it."""


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    like: str
    boat: str = ""
    title: str = ""
    prompt: str = ""


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    schema_: int = 1
    module: str
    exercises: tuple[_Asked, ...]


def load_own(folder: Path) -> str:
    """Make a module of one's own known, by its folder, and return its name. Loading it again is harmless.

    Raises OwnError, in one sentence, for whatever is wrong with it.
    """
    path = folder / FILE_NAME
    asked = _read(path)
    if not NAME.fullmatch(asked.module) or asked.module != folder.name:
        raise OwnError(
            f"{path} names the module {asked.module!r}; it must be its folder's name, from 20_... to 99_..., "
            "in small letters, digits and '_'."
        )
    for boat in sorted((folder / "boats").glob("*.yaml")):
        _add_boat(boat)
    exercises = tuple(_made(entry, asked.module, path) for entry in asked.exercises)
    ids = [exercise.id for exercise in exercises]
    if not ids or len(set(ids)) < len(ids):
        raise OwnError(f"{path} must name at least one exercise, and none twice.")
    wanted = {objective for exercise in exercises for objective in exercise.objectives}
    modules = dict.fromkeys(exercise_named(entry.like).module for entry in asked.exercises)
    known = [one for module in modules for one in objectives_of(module) if one.id in wanted]
    add_own(asked.module, tuple(known), exercises)
    return asked.module


def load_near(folder: Path) -> None:
    """Make the module of one's own known that a learner works in, if the folder is one. Raises OwnError."""
    if (folder / FILE_NAME).is_file():
        load_own(folder)


def _read(path: Path) -> _File:
    try:
        with path.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
        if len(content) > LARGEST_BYTES:
            raise OwnError(f"{path} is larger than {LARGEST_BYTES} bytes.")
        document: Any = yaml.safe_load(content.decode("utf-8-sig"))
        if isinstance(document, dict):
            document["schema_"] = document.pop("schema", None)
        read = _File.model_validate(document)
    except OSError as error:
        raise OwnError(f"{path} cannot be read: {error.strerror}.") from error
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as error:
        raise OwnError(f"{path} is not readable YAML: {str(error).splitlines()[0]}.") from error
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(step) for step in first["loc"]) or "its whole"
        raise OwnError(f"{path} is no module: {place}: {first['msg']}.") from error
    if read.schema_ != 1:
        raise OwnError(f"{path} has scheme {read.schema_}, and this Wetslip reads scheme 1.")
    return read


def _add_boat(path: Path) -> None:
    try:
        boat = read_boat(path)
        if boat.id != path.stem:
            raise OwnError(f"{path} describes the boat {boat.id!r}; the file must have that name.")
        add_boat(boat)
    except BoatError as error:
        raise OwnError(f"{path}: {error}.") from error


def _made(asked: _Asked, module: str, path: Path) -> Exercise:
    """Return one exercise made from one of the course's."""
    if not re.fullmatch(rf"{module[:2]}\.[1-9][0-9]?", asked.id):
        raise OwnError(
            f"{path} gives an exercise the id {asked.id!r}; here ids are {module[:2]}.1, {module[:2]}.2 ..."
        )
    try:
        like = exercise_named(asked.like)
        family = _family(asked, like)
    except (UnknownExercise, BoatError) as error:
        raise OwnError(f"{path}, exercise {asked.id}: {str(error).rstrip('.')}.") from error
    plain = asked.prompt.replace("{", "{{").replace("}", "}}")
    return replace(
        like,
        id=asked.id,
        module=module,
        title=asked.title or like.title,
        prompt=plain or like.prompt,
        family=family,
    )


def _family(asked: _Asked, like: Exercise) -> str:
    if not asked.boat:
        return like.family
    fleet_boat(asked.boat)
    kind = FAMILIES[like.family]
    name = f"{like.family} on {asked.boat}"
    if isinstance(kind, Family):
        FAMILIES[name] = replace(kind, boat=asked.boat)
    else:
        FAMILIES[name] = replace(kind, boats=(asked.boat,))
    return name
