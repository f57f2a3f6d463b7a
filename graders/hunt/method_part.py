"""How a hunt was gone about, step by step: the baseline, everything off, the right repair, its proof, and the time it took."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from course.instruments.mendable import mendable
from graders.case import Case
from graders.exercise import Field
from graders.hunt.part import NOTHING, DiagnosisPart, score_of, true_part
from graders.hunt.score import HuntScore
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.task import Task

METHOD_MISTAKES = (
    "no_baseline",
    "never_all_off",
    "not_mended",
    "harmful_change",
    "premature_repair",
    "repair_not_verified",
    "proof_not_heeded",
    "nothing_found_yet",
    "slow",
)
GENTLE = 0.8  # of par's pace: as good as par


@dataclass(frozen=True)
class MethodPart:
    """Five steps of a hunt, a point or two each. ``all_off`` is marked only where circuits are to be switched."""

    all_off: bool = True
    before_points: float = 1.0
    off_points: float = 1.0
    repair_points: float = 2.0
    after_points: float = 1.0
    time_points: float = 2.0

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return none: the logbook is what is marked."""
        return ()

    @property
    def out_of(self) -> float:
        """Return the points."""
        off = self.off_points if self.all_off else 0.0
        return self.before_points + off + self.repair_points + self.after_points + self.time_points

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        return tuple(name for name in METHOD_MISTAKES if self.all_off or name != "never_all_off")

    def truth_of(self, field: str, task: Task) -> str:
        """Raise KeyError: it has no field."""
        raise KeyError(field)

    def apart(self, task: Task) -> bool:
        """Return True."""
        return True

    def right(self, task: Task) -> Mapping[str, str]:
        """Return nothing: it is done at the bench."""
        return {}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return nothing: the exercise's ``examples`` make them."""
        return {}

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the marks of the steps."""
        found = score_of(case)
        steps = [
            _mark("before", "Read before anything was changed", self.before_points, _before(found)),
            *(
                [_mark("off", "Everything off, and read", self.off_points, _off(found))]
                if self.all_off
                else []
            ),
            _mark("repair", "The repair", self.repair_points, _repair(case, found)),
            _mark("after", "The repair proved", self.after_points, _after(case, found)),
            self._time(case, found),
        ]
        return tuple(steps)

    def _time(self, case: Case, found: HuntScore) -> PartMark:
        title, own, least = "Time and measurements against par", found.minutes, found.par_minutes
        given = f"{own} minutes, {len(case.taken)} readings"
        if not own or not found.evidence:
            none = "The logbook holds no reading of this boat, so there is no hunt to time."
            return PartMark("time", title, 0.0, self.time_points, None, "slow", none)
        says = (
            f"Par on this boat is {least} minutes and {case.task.number('par_measurements'):.0f} readings. You took {own} minutes "
            f"and {len(case.taken)} reading{'s' * (len(case.taken) != 1)}."
        )
        way, part = case.given("way") or "", case.given("part") or ""
        if not DiagnosisPart().accepted(case.task, way, NOTHING if way == NOTHING else part):
            says = f"{says} Time counts once you have found what is wrong: a quick hunt to the wrong part is no hunt."
            return PartMark("time", title, 0.0, self.time_points, given, "nothing_found_yet", says)
        points = round(self.time_points * min(1.0, found.efficiency / GENTLE), 2)
        if found.redundant:
            rows = ", ".join(str(ordinal) for ordinal in found.redundant[:6])
            says += f" These rows of your logbook showed only what you knew already: {rows}."
        if points >= self.time_points:
            return PartMark("time", title, self.time_points, self.time_points, given, None, says)
        return PartMark("time", title, points, self.time_points, given, "slow", says)


def _mark(part: str, title: str, out_of: float, judged: tuple[Mistake | None, float, str]) -> PartMark:
    mistake, share, right = judged
    if mistake is None:
        return PartMark(part, title, out_of, out_of, None, None, right)
    return PartMark(part, title, round(out_of * share, 2), out_of, None, mistake.name, mistake.sentence)


Judged = tuple[Mistake | None, float, str]


def _before(found: HuntScore) -> Judged:
    if found.before:
        return (
            None,
            1.0,
            "You read her as she was found, so you can compare every later reading with that.",
        )
    says = "You recorded nothing before the first switch or repair. Without her reading as found, no later one tells what changed."
    return Mistake("no_baseline", says), 0.0, ""


def _off(found: HuntScore) -> Judged:
    if found.all_off:
        return None, 1.0, "You read with everything off: what is left then is not the battery's doing."
    says = (
        "Some circuit was on at every reading. First comes everything off, with what is fed ahead of the battery switch too. Only "
        "then do you see whether a current from the battery is at work at all."
    )
    return Mistake("never_all_off", says), 0.0, ""


def _repair(case: Case, found: HuntScore) -> Judged:
    part, named, boat = true_part(case.task.plan), mendable(case.task.plan), case.task.plan.boat
    if found.harmful:
        share = 0.5 if part in found.mended else 0.0
        return (
            Mistake(
                "harmful_change",
                f"You did to her what should not have been done: {'; '.join(found.harmful)}.",
            ),
            share,
            "",
        )
    if part == NOTHING:
        return (
            (None, 1.0, "Nothing needed mending, and you mended nothing.")
            if found.evidence
            else (_UNMENDED, 0.0, "")
        )
    if part not in found.mended:
        if found.bonds:
            return _bond_first(found.bonds), 0.5, ""
        return (_ONE_OF_SEVERAL, 0.5, "") if found.mended else (_UNMENDED, 0.0, "")
    if found.rival:
        says = f"You mended the right part, but before it was sure. By what you had measured, this was still possible: {found.rival}."
        return Mistake("premature_repair", says), 0.5, ""
    says = f"You mended what was wrong once it was sure: {named.get(part, part)}."
    beside = [boat.label(bond) for fault in case.task.plan.faults for bond in fault.bad_bonds(boat)]
    return None, 1.0, says + (f" The bad bond was remade with it: {', '.join(beside)}." if beside else "")


def _bond_first(bonds: tuple[str, ...]) -> Mistake:
    says = (
        f"The {' and the '.join(bonds)} was bad indeed. But something fed that metal, and it still does: now its current runs in the "
        "copper, and you can no longer see it. First find what feeds, then mend."
    )
    return Mistake("premature_repair", says)


_UNMENDED = Mistake("not_mended", "You have not put right what is wrong with her.")
_ONE_OF_SEVERAL = Mistake(
    "not_mended",
    "No measurement tells what you mended from what is wrong, and it was another of them. Read again after each, and go on to the next.",
)


def _after(case: Case, found: HuntScore) -> Judged:
    if true_part(case.task.plan) == NOTHING and not found.mended:
        ready = bool(found.evidence) and not found.harmful
        return (None, 1.0, "She lies as she was found.") if ready else (_UNPROVED, 0.0, "")
    if not found.after:
        return _UNPROVED, 0.0, ""
    if true_part(case.task.plan) not in (NOTHING, *found.mended):
        says = (
            f"You read again with everything back as found: {found.again}. When she is sound she reads otherwise. So she is not mended "
            "yet: go on hunting."
        )
        return Mistake("proof_not_heeded", says), 0.5, ""
    return None, 1.0, "Everything is back as found, and you took the same reading again. That proves it."


_UNPROVED = Mistake(
    "repair_not_verified",
    "After the repair you took no reading with everything switched back as found, in a place where you had read before. A "
    "repair without proof is a guess.",
)
