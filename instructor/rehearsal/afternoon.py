"""The rehearsal itself: the class of thirty taken from a flawed roster to a removed learner, by the commands of `wetslip class` alone."""

from __future__ import annotations

import os
import shlex
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from instructor.commands.common import DONE, IN_PART
from instructor.errors import ClassError
from instructor.files import write_text
from instructor.handout.released import read_released
from instructor.layout import ClassFolder, open_class
from instructor.marking.pool import spread
from instructor.people.roster import roster_text
from instructor.progress import progress
from instructor.rehearsal.people import COHORT, JOINS_LATER, MODULES, PEOPLE, Person, person
from instructor.rehearsal.post import mail, mail_name, stick
from instructor.rehearsal.work import Evening, Worked, work

REFUSED = 2
BEGUN, DUE = datetime(2031, 5, 8, 18, 30, tzinfo=UTC), datetime(2031, 5, 9, 17, 0, tzinfo=UTC)
MISSPELT, RIGHT = "Pim Tarant-Wye", "Pim Tarrant-Wye"


@dataclass(frozen=True)
class Afternoon:
    """Where it is rehearsed."""

    place: Path

    @property
    def home(self) -> Path:
        """The class folder."""
        return self.place / "class"

    def says(self, *command: str, code: int = DONE, at: Path | None = None) -> None:
        """Give one command of `wetslip class`, shown as it would be typed in the folder before the sign.

        Raises
        ------
        ClassError : its exit code is another than expected
        """
        from instructor.command import main

        there = at or self.home
        up, prompt = ("", "") if there == self.place else (f"..{os.sep}", there.name)
        typed = shlex.join(word.replace(f"{self.place}{os.sep}", up) for word in command)
        print(f"\n{prompt}$ wetslip class {typed}", flush=True)
        found = main(["class", *command, *(["--folder", str(there)] if there != self.place else [])])
        if found != code:
            raise ClassError(f"'wetslip class {command[0]}' ended with {found}, and {code} was expected.")


def rehearse(target: Path, chosen: Sequence[str] | None = None) -> Path:
    """Rehearse a class of thirty in a folder and return the folder of its reports.

    Raises
    ------
    ClassError : the folder holds something, or a step came out otherwise than it should
    """
    modules = tuple(chosen or MODULES)
    strange = [module for module in modules if module not in MODULES]
    if strange:
        raise ClassError(f"Thirty learners are prepared for {', '.join(MODULES)}, not for '{strange[0]}'.")
    place = target.expanduser().absolute()
    if place.exists() and (not place.is_dir() or any(place.iterdir())):
        raise ClassError(f"'{place}' exists and is not an empty folder; nothing was changed.")
    day = Afternoon(place)
    _enrol(day)
    for module in modules:
        day.says("release", module)
        day.says("due", module, _time(DUE), "--late-per-day", "10", "--last-day", "5")
    _join(day, modules)
    for module in modules:
        _take_in(day, module)
        day.says("mark", module)
        day.says("report", module)
    day.says("comment", "instrument", "Say with which instrument, and between which two points.")
    _hand_over(day, modules)
    return day.home / "reports"


def _enrol(day: Afternoon) -> None:
    """Begin with a roster that has flaws, mended one after the other."""
    first = [each.learner for each in PEOPLE if each.id != JOINS_LATER]
    text = roster_text([replace(one, name=MISSPELT) if one.name == RIGHT else one for one in first])
    flawed = text.replace("id,name", "Id,Name").replace(",", ";") + "RPELL;Rowan Pell (again);;A;\n"
    roster, old = day.place / "roster.csv", day.place / "roster as first saved.csv"
    old.parent.mkdir(parents=True, exist_ok=True)
    old.write_bytes(flawed.encode("cp1252"))
    write_text(roster, flawed)
    for path, code in ((old, REFUSED), (roster, REFUSED), (roster, DONE)):
        if code == DONE:
            write_text(roster, "\n".join(flawed.splitlines()[:-1]) + "\n")
        day.says("new", str(day.home), "--roster", str(path), "--cohort", COHORT, code=code, at=day.place)


def _join(day: Afternoon, modules: Sequence[str]) -> None:
    """Somebody joins after the release, and a name was wrong."""
    new = person(JOINS_LATER).learner
    day.says("learner", new.id, "--name", new.name, "--email", new.email, "--group", new.group)
    wrong = next(each.learner for each in PEOPLE if each.learner.name == RIGHT)
    day.says("learner", wrong.id, "--name", RIGHT)
    for module in modules:
        day.says("release", module)
    day.says("roster")


def _take_in(day: Afternoon, module: str) -> None:
    """Let everybody work, and take it in: the mail, a name that fits nobody, who is late, and who hands in again."""
    folder = open_class(day.home)
    notebook = folder.release_notebook(module).read_bytes()
    worked = day.place / "worked" / module
    again = [each for each in PEOPLE if module in each.twice]
    _work(folder, module, worked, [each for each in PEOPLE if module not in {*each.absent, *each.copies}])
    _work(folder, module, day.place / "worked again" / module, again, better=True)
    prompt = [each for each in PEOPLE if module not in each.absent and module not in each.late]
    letters = day.place / "mail" / f"{module}.zip"
    mail(prompt, module, worked, notebook, letters)
    at = _time(DUE - timedelta(hours=1))
    day.says("take-in", module, str(letters), "--at", at, code=IN_PART)
    unmatched = mail_name(person("nström"), prompt.index(person("nström")))
    day.says("take-in", module, str(letters), "--at", at, "--match", f"{unmatched}=nström")
    for each in PEOPLE:
        if module in each.late:
            place = day.place / "late" / f"{module} {each.id}"
            stick([each], module, worked, notebook, place)
            day.says("take-in", module, str(place), "--at", _time(DUE + timedelta(days=each.late[module])))
    if again:
        stick(again, module, day.place / "worked again" / module, notebook, day.place / "again" / module)
        day.says("take-in", module, str(day.place / "again" / module), "--at", at)


def _work(
    folder: ClassFolder, module: str, place: Path, people: Sequence[Person], better: bool = False
) -> None:
    evening = Evening(folder, read_released(folder, module), place, BEGUN, better)
    ids = [each.id for each in people]
    for _ in progress(spread(work, evening, ids, Worked), f"learners at work on {module}", len(ids)):
        pass


def _hand_over(day: Afternoon, modules: Sequence[str]) -> None:
    """Export, answer an appeal, back up, restore, and let somebody go, in the restored class."""
    last, other = modules[-1], day.place / "restored"
    appeal, saved = day.place / "appeal.zip", day.place / "backup.zip"
    day.says("feedback", last, "torle")
    day.says("export")
    day.says("export", last, "--anonymous", "--to", str(day.place / "anonymous"))
    day.says("appeal", last, "torle", str(appeal))
    day.says("recheck", str(appeal), at=day.place)
    day.says("backup", str(saved))
    day.says("restore", str(saved), str(other), at=day.place)
    day.says("remove", "ebrool", code=IN_PART, at=other)
    day.says("remove", "ebrool", "--yes", at=other)
    day.says("mark", last, at=other)
    day.says("report", last, at=other)
    day.says("history")


def _time(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%d %H:%M+00:00")
