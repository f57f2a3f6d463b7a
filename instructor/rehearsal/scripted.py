"""Invented learners who work by script, through the same slip and the same answer file as anybody.

Each takes one way through module 03: the right one, or a wrong one that we know by name. Names are invented.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.people.roster import Learner

if TYPE_CHECKING:
    from course.instruments.slip import Slip

MODULE = "03_reference_cell"
ANSWERS, LOGBOOK = "answers.jsonl", "logbook.jsonl"
SETTLE_CELL, SETTLE_METAL, LOOK_AGAIN = 90, 600, 12  # simulated minutes, longer than any boat here needs
DEPTH_M = 1.0
WANTED_SHIFT_MV, OVERPROTECTED_MV = 200, -1100  # the criterion taught in the module
FORGED_BY_V = Decimal("-0.060")


@dataclass(frozen=True)
class Habits:
    """How a learner goes about it: leads the wrong way round, readings written in volts."""

    swapped: bool = False
    in_volts: bool = False

    def write(self, volts: Decimal) -> str:
        """Return a reading as this learner writes it into a field for millivolts."""
        return str(volts) if self.in_volts else f"{1000 * volts:.0f}"


def set_up(slip: Slip, habits: Habits) -> None:
    """Plug and clip, hang the cell amidships and wait for it to settle."""
    cell, test = ("V", "COM") if habits.swapped else ("COM", "V")
    slip.turn_dial("2 V")
    slip.plug("cell lead", cell)
    slip.plug("test lead", test)
    slip.clip("common_bonding_point")
    slip.hang_cell(slip.plan.boat.hull.length_m / 2, DEPTH_M)
    slip.wait(SETTLE_CELL)


def read(slip: Slip) -> Decimal:
    """Write the display down in the logbook and return it [V]."""
    return Decimal(str(slip.record()["display"]))


def hull_potential(slip: Slip, habits: Habits) -> dict[str, str]:
    """Make a pass from bow to stern and end amidships."""
    length = slip.plan.boat.hull.length_m
    set_up(slip, habits)
    for share in (0.95, 0.05, 0.5):
        slip.hang_cell(share * length, DEPTH_M)
        last = read(slip)
    berth = slip.plan.berth
    water = berth.water.split()[0]
    return {
        "hull_potential": habits.write(last),
        "water_temperature": str(berth.temperature_degC),
        "water_kind": water,
    }


def baseline(slip: Slip, habits: Habits) -> dict[str, str]:
    """Read with the anodes, take them off, wait, read twice, and put everything back."""
    links = [conductor.id for conductor in slip.plan.boat.conductors if conductor.openable]
    hanging = [anode.id for anode in slip.plan.boat.anodes if anode.mounting == "hanging"]
    set_up(slip, habits)
    on = read(slip)
    for link in links:
        slip.open_link(link)
    for anode in hanging:
        slip.lift_anode(anode)
    slip.wait(SETTLE_METAL)
    read(slip)
    slip.wait(LOOK_AGAIN)
    off = read(slip)
    for link in links:
        slip.close_link(link)
    for anode in hanging:
        slip.lower_anode(anode)
    return {
        "baseline": habits.write(off),
        "with_anodes": habits.write(on),
        "shift": habits.write(off - on),
    }


def verdict(slip: Slip, habits: Habits) -> dict[str, str]:
    """Read, and judge by the shift from the record card's baseline."""
    set_up(slip, habits)
    volts = read(slip)
    card = next(iter(slip.plan.record_card.values()))
    # whoever has the leads swapped still knows from the lesson that metals read negative, and judges so
    reading, before = -abs(1000 * volts), Decimal(card.split()[0])
    if reading < OVERPROTECTED_MV:
        judged = ("overprotected", "beyond_limit")
    elif before - reading >= WANTED_SHIFT_MV:
        judged = ("protected", "good_shift")
    else:
        judged = ("unprotected", "small_shift")
    return {"reading": habits.write(volts), "verdict": judged[0], "reason": judged[1]}


WAYS: Mapping[str, Callable[[Slip, Habits], dict[str, str]]] = {
    "03.1": hull_potential,
    "03.2": baseline,
    "03.3": verdict,
}


def work(folder: Path, learner: str, cohort: str, habits: Habits | None = None) -> None:
    """Work through the module in a learner's module folder, as a notebook would have it done.

    Habits show in the exercises that have a way above; the others are done rightly.
    """
    from course.instruments.slip import Slip
    from graders.answers import record_answer
    from graders.exercises import MODULES
    from graders.hands import Hands
    from graders.personal import plan_for

    for exercise in MODULES[MODULE]:
        plan = plan_for(exercise, learner, cohort)
        if exercise.id in WAYS:
            values = WAYS[exercise.id](Slip(plan, folder, exercise.title), habits or Habits())
        else:
            task, found = exercise.task(plan), {}
            if exercise.hands is not None:
                found = dict(exercise.hands(Hands(task, Slip(plan, folder, exercise.title))))
            values = exercise.right_values(task, found)
        record_answer(folder, exercise, plan.digest, learner, values)


def forge(folder: Path) -> None:
    """Change every reading in the logbook, and the answers with it, by the same amount."""
    log = _rows(folder / LOGBOOK)
    for row in log:
        if row["kind"] == "reading":
            row["display"] = str(Decimal(str(row["display"])) + FORGED_BY_V)
    _write(folder / LOGBOOK, log)
    answers = _rows(folder / ANSWERS)
    for row in answers:
        for field in ("hull_potential", "baseline", "with_anodes", "reading"):
            if field in row["values"]:
                row["values"][field] = f"{Decimal(row['values'][field]) + 1000 * FORGED_BY_V:.0f}"
    _write(folder / ANSWERS, answers)


def truncate(folder: Path) -> None:
    """Cut the answers file off in the middle of its last row."""
    content = (folder / ANSWERS).read_bytes()
    start_of_last = content.rstrip(b"\n").rfind(b"\n") + 1
    (folder / ANSWERS).write_bytes(content[: (start_of_last + len(content)) // 2])


def copy_from(folder: Path, other: Path) -> None:
    """Put another learner's answers and logbook in place of one's own."""
    for name in (ANSWERS, LOGBOOK):
        shutil.copyfile(other / name, folder / name)


def _rows(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def _write(path: Path, rows: list[dict[str, Any]]) -> None:
    path.write_text("".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows), encoding="utf-8")


@dataclass(frozen=True)
class Scripted:
    """One invented learner and the way they take; `copies` names whose work they hand in."""

    learner: Learner
    way: str
    habits: Habits | None = None
    spoil: Callable[[Path], None] | None = None
    copies: str = ""

    def hand_in(self, place: Path, cohort: str, notebook: Path) -> None:
        """Make the folder that this learner hands in: place/<id>/ with learner.json and the module's folder.

        Parameters
        ----------
        place : where the learners' folders lie; the one who is copied from must have handed in before
        cohort : the class's code
        notebook : the released notebook, of which the learner has a copy
        """
        from course.learner import Learner as Identity
        from course.learner import write_learner

        own = place / self.learner.id
        folder = own / MODULE
        folder.mkdir(parents=True)
        write_learner(own, Identity(self.learner.id, cohort))
        shutil.copyfile(notebook, folder / notebook.name)
        if self.copies:
            copy_from(folder, place / self.copies / MODULE)
        elif self.habits is not None:
            work(folder, self.learner.id, cohort, self.habits)
        if self.spoil is not None:
            self.spoil(folder)


CLASS = (
    Scripted(Learner("rpell", "Rowan Pell", "", "A"), "right", Habits()),
    Scripted(Learner("imarren", "Isko Marren", "", "A"), "leads swapped", Habits(swapped=True)),
    Scripted(Learner("torle", "Tamsin Orle", "", "A"), "wrong unit", Habits(in_volts=True)),
    Scripted(Learner("jvask", "Jory Vask", "", "B", 25.0), "blank"),
    Scripted(Learner("mkestrin", "Maud Kestrin", "", "B"), "forged logbook", Habits(), forge),
    Scripted(Learner("ofarrell-lund", "Odo Farrell-Lund", "", "B"), "another's work", copies="rpell"),
    Scripted(Learner("nström", "Nelly Ström", "", "B"), "truncated answers", Habits(), truncate),
)
