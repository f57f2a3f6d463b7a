"""A whole hunt as an exercise, from a family of hunts: diagnosis and method marked, par worked out once and kept with the plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from graders.exercise import Exercise
from graders.hands import Example, Hands
from graders.hunt.method_part import MethodPart
from graders.hunt.par import after_one_look, shown_by
from graders.hunt.part import (
    NOTHING,
    STRAY,
    WAYS,
    DiagnosisPart,
    par_sheet,
    part_choices,
    score_card,
    table_of,
    teaches,
    true_part,
    true_way,
    untold,
)
from graders.hunt.score import rival
from graders.hunt.walk import WET_MINUTES, reference, step, steps, switch, walk
from graders.task import Task, Tell

KIT = ("digital multimeter", "silver/silver-chloride cell", "DC clamp meter", "bilge probe")
Act = Callable[[Hands], Mapping[str, object]]


def _faulty(task: Task) -> bool:
    return bool(task.plan.faults)


def _stray(task: Task) -> bool:
    return true_way(task.plan) in STRAY


def _answer(**wrong: str) -> Act:
    return lambda hands: {**walk(hands), **wrong}


def _other_part(hands: Hands, way: str) -> str:
    """Return a part that could have something of a way wrong with it, and has not."""
    task, diagnosis = hands.task, DiagnosisPart()
    fits = [value for value, _ in part_choices(task) if diagnosis.possible(task, way, value)]
    return next(value for value in fits if not diagnosis.accepted(task, way, value))


def _sound_part(hands: Hands) -> str:
    """Return a part that nothing is wrong with, nor seems to be."""
    parts = (value for value, _ in part_choices(hands.task))
    bad = (NOTHING, true_part(hands.task.plan))
    bonds = {bond for fault in hands.task.plan.faults for bond in fault.bad_bonds(hands.task.plan.boat)}
    return next(part for part in parts if part not in (*bad, *bonds) and not untold(hands.task, part))


def _wrong_place(hands: Hands) -> Mapping[str, object]:
    return {**walk(hands), "part": _other_part(hands, true_way(hands.task.plan))}


def _has_other(task: Task) -> bool:
    way, diagnosis = true_way(task.plan), DiagnosisPart()
    parts = [value for value, _ in part_choices(task) if diagnosis.possible(task, way, value)]
    return _faulty(task) and any(not diagnosis.accepted(task, way, value) for value in parts)


def _as(way: str) -> Act:
    return lambda hands: {**walk(hands), "way": way, "part": _other_part(hands, way)}


def _other_way(task: Task) -> str:
    """Return another way of the same sort, stray or not, in which the bad part could be bad and is not; none where there is none."""
    way, part, diagnosis = true_way(task.plan), true_part(task.plan), DiagnosisPart()
    alike = (one for one in WAYS if one not in (way, NOTHING) and (one in STRAY) == (way in STRAY))
    fits = (one for one in alike if diagnosis.possible(task, one, part))
    return next((one for one in fits if not diagnosis.accepted(task, one, part)), "")


def _otherwise(hands: Hands) -> Mapping[str, object]:
    return {**walk(hands), "way": _other_way(hands.task)}


def _search(hands: Hands, leave_out: int = 0) -> None:
    """Go through the reference hunter's steps up to the repair, the first few left out."""
    hands.slip.hang_cell(hands.amidships, 1.0)
    hands.slip.wait(WET_MINUTES)
    steps(hands, reference(hands).steps[leave_out:-1])


def _prove(hands: Hands) -> Mapping[str, object]:
    step(hands, reference(hands).steps[-1], settled=False)
    return {}


def _no_baseline(hands: Hands) -> Mapping[str, object]:
    _search(hands, leave_out=1)
    if _faulty(hands.task):
        hands.slip.mend(true_part(hands.task.plan))
    return _prove(hands)


def _never_off(hands: Hands) -> Mapping[str, object]:
    first, *_, proof = reference(hands).steps
    hands.slip.hang_cell(hands.amidships, 1.0)
    hands.slip.wait(WET_MINUTES)
    step(hands, first)
    if _faulty(hands.task):
        hands.slip.mend(true_part(hands.task.plan))
    step(hands, proof)
    return {}


def _remade(hands: Hands) -> Mapping[str, object]:
    walk(hands)
    hands.slip.mend(_sound_part(hands))
    return _prove(hands)


def _unproved(hands: Hands) -> Mapping[str, object]:
    _search(hands)
    hands.slip.mend(true_part(hands.task.plan))
    switch(hands, reference(hands).steps[-1].on, hands.task.plan.start.shore_plugged)
    return {}


def _unmended(hands: Hands) -> Mapping[str, object]:
    _search(hands)
    return _prove(hands)


def _wrong_mended(hands: Hands) -> Mapping[str, object]:
    _search(hands)
    hands.slip.mend(_sound_part(hands))
    return _prove(hands)


def _slow(hands: Hands) -> Mapping[str, object]:
    hands.slip.wait(600)
    return walk(hands)


def examples(all_off: bool) -> tuple[Example, ...]:
    """Return how each mistake of a hunt is made."""
    found = [
        Example("way", "nothing_called", _answer(way=NOTHING, part=NOTHING), _faulty),
        Example("way", "something_called", _as("bond"), lambda task: not _faulty(task)),
        Example("way", "stray_called_galvanic", _as("anode"), _stray),
        Example("way", "wrong_circuit", _wrong_place, lambda task: _stray(task) and _has_other(task)),
        Example("way", "wrong_part", _wrong_place, lambda task: not _stray(task) and _has_other(task)),
        Example(
            "way", "galvanic_called_stray", _as("onto_metal"), lambda task: _faulty(task) and not _stray(task)
        ),
        Example(
            "way", "right_part_wrong_way", _otherwise, lambda task: _faulty(task) and bool(_other_way(task))
        ),
        Example("before", "no_baseline", _no_baseline),
        Example("repair", "harmful_change", _remade),
        Example("repair", "not_mended", _unmended, _faulty),
        Example("repair", "premature_repair", _never_off, _premature),
        Example("after", "repair_not_verified", _unproved, _faulty),
        Example("after", "proof_not_heeded", _wrong_mended, _faulty),
        Example("time", "nothing_found_yet", _answer(way=NOTHING, part=NOTHING), _faulty),
        Example("time", "nothing_found_yet", _as("bond"), lambda task: not _faulty(task)),
        Example("time", "slow", _slow),
    ]
    return (*found, *([Example("off", "never_all_off", _never_off)] if all_off else []))


def _premature(task: Task) -> bool:
    """Return whether one look at a stray leaves more than the truth possible: not where a breaker has opened by itself, or
    where nothing else moves this boat so far.
    """
    if not _stray(task) or getattr(task.plan.faults[0], "path", "poor") != "poor":
        return False
    table = table_of(task)
    shown = task.once("shown", lambda: shown_by(task.plan, table))
    return bool(rival(table, after_one_look(task.plan, table, shown), true_part(task.plan)))


def hunt_exercise(
    name: str,
    module: str,
    title: str,
    objectives: tuple[str, ...],
    prompt: Tell,
    hints: tuple[Tell, Tell, Tell],
    family: str = "stray_hunt",
    all_off: bool = True,
    points: float = 6.0,
    **more: Any,
) -> Exercise:
    """Return a hunt over a family of ``course.boats.hunts``; ``more`` are further fields of the exercise."""
    return Exercise(
        id=name,
        module=module,
        title=title,
        kind="hunt",
        objectives=objectives,
        prompt=prompt,
        parts=(DiagnosisPart(points), MethodPart(all_off)),
        method=method,
        hints=hints,
        teaches=teaches,
        finish=par_sheet,
        family=family,
        bench=True,
        instruments=KIT,
        hands=walk,
        score_card=score_card,
        examples=examples(all_off),
        **more,
    )


def method(task: Task) -> tuple[str, ...]:
    """Return how a good hunt goes on this boat."""
    fault = next(iter(task.plan.faults), None)
    ends = (
        ("Nothing is wrong: every reading is where a sound boat's is.",)
        if fault is None
        else (f"What is wrong: {fault.title}. To put it right: {fault.mend}.", *fault.traces)
    )
    return (
        "Read her as she was found, before you switch anything. Then everything off, wait, and read again.",
        "If nothing changed, no battery is at work: look at bonds, anodes and metals. If it did, one circuit at a time, or by halves.",
        *ends,
        f"Par: {task.number('par_minutes'):.0f} minutes, {task.number('par_measurements'):.0f} readings.",
    )
