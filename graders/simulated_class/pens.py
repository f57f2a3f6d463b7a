"""Careless answers: what a slip of the pen, a guess or a blank makes of a part one could have answered rightly."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from course.boats.draws import Draw
from graders.exercise import Field, Part
from graders.numbers import rounded
from graders.parts import ChoicePart, NumberPart, OrderPart, SeveralPart
from graders.parts.slips import exchanged, shown_numbers
from graders.simulated_class.made import Made, weighed, whole
from graders.task import Task
from graders.units import RELATED

# Weights, declared by us: the slips of a learner who is careless with a number. An unrelated number and a blank have no cause to name.
SLIPS: Mapping[str, float] = {
    "rounded": 22,
    "unit": 18,
    "sign": 14,
    "figures exchanged": 10,
    "decimal point": 10,
    "a number of the question": 10,
    "unrelated": 10,
    "blank": 6,
}
Slip = tuple[str, frozenset[str]]
NOT_TAKEN = frozenset({"not_recorded"})  # said of any number that stands in no logbook, whatever slip made it


@dataclass(frozen=True)
class Pen:
    """What a careless hand has before it: the right number, the field it goes into, the question, and chance."""

    true: float
    unit: str
    task: Task
    draw: Draw

    @property
    def other_units(self) -> tuple[float, ...]:
        """Return the factors of the units that this field's unit is mixed up with."""
        return tuple(RELATED.get(self.unit, {}).values())


def _as(value: float, *names: str) -> Slip:
    return f"{value:.10g}", frozenset(names)


def _rounded(pen: Pen) -> Slip | None:
    value = pen.draw.one_of("rounded", rounded(pen.true, 1 + whole(pen.draw, "figures", 2)))
    return None if value in (pen.true, 0) else _as(value, "rounded_too_far")


def _unit(pen: Pen) -> Slip | None:
    if not pen.other_units or pen.true == 0:
        return None
    factor = pen.draw.one_of("other unit", pen.other_units)
    return _as(pen.true * factor, "unit", *(["decimal_point"] if _power_of_ten(factor) else []))


def _power_of_ten(factor: float) -> bool:
    return math.isclose(math.log10(factor), round(math.log10(factor)), abs_tol=1e-9)


def _sign(pen: Pen) -> Slip | None:
    return None if pen.true == 0 else _as(-pen.true, "sign", "sign_dropped")


def _exchanged(pen: Pen) -> Slip | None:
    others = tuple(exchanged(pen.true))
    return _as(pen.draw.one_of("which figures", others), "figures_exchanged") if others else None


def _point(pen: Pen) -> Slip | None:
    factor = pen.draw.one_of("point", (0.1, 10.0, 0.01, 100.0))
    also = ["unit"] if any(math.isclose(factor, other) for other in pen.other_units) else []
    return None if pen.true == 0 else _as(pen.true * factor, "decimal_point", *also)


def _given(pen: Pen) -> Slip | None:
    shown = tuple(sorted(shown_numbers(pen.task)))
    return _as(pen.draw.one_of("which number", shown), "given_number") if shown else None


def _unrelated(pen: Pen) -> Slip | None:
    """Return a number of the same sign, anywhere from a thirtieth of the right one to thirty times it."""
    value = math.copysign((abs(pen.true) or 1.0) * 30 ** pen.draw.number("how far", -1, 1, 6), pen.true)
    return _as(float(f"{value:.3g}"))


WAYS: Mapping[str, Callable[[Pen], Slip | None]] = {
    "rounded": _rounded,
    "unit": _unit,
    "sign": _sign,
    "figures exchanged": _exchanged,
    "decimal point": _point,
    "a number of the question": _given,
    "unrelated": _unrelated,
    "blank": lambda _pen: ("", frozenset({"blank"})),
}
IN_STEPS = (
    0.4  # of learners round what they find on the way, which moves what is worked out from it; declared by us
)
STEP_MOVES = (
    0.005  # at worst, where 1.00 to 9.99 is kept of a number: a tenth of that for 9.99; two such steps
)
NAMED_BY_EXERCISES = ("a number of the question", "unit", "sign", "decimal point")


def in_steps(part: Part, values: Mapping[str, str], draw: Draw) -> Mapping[str, str]:
    """Return the values as they come out where some learners round on the way, as far as the part's tolerance lets them."""
    if not isinstance(part, NumberPart) or not part.share or draw.number("in steps", 0, 1, 6) >= IN_STEPS:
        return values
    moved = sum(
        draw.number(f"{step} step", -1, 1, 6) * STEP_MOVES / 10 ** draw.number(f"{step} figures", 0, 1, 6)
        for step in ("first", "second")
    )
    most = 0.95 * part.share
    return {part.field: f"{float(values[part.field]) * (1 + max(-most, min(most, moved))):.4g}"}


def slipped(field: Field, right: str, task: Task, draw: Draw, recorded: bool = False) -> Made:
    """Return a careless answer to a number field. ``recorded`` fields hold a number of the learner's own logbook."""
    left, pen = dict(SLIPS), Pen(float(right), field.unit, task, draw)
    while True:
        called = weighed(draw, f"slip {len(left)}", left)
        made = WAYS[called](pen)
        if made is not None:
            text, names = made
            return Made({field.name: text}, called, names | (NOT_TAKEN if recorded else frozenset()))
        del left[called]


def careless(part: Part, task: Task, draw: Draw) -> Made | None:
    """Return a careless answer to a part as the learner sees it: a slip in a number, a guess in a choice; None for other parts."""
    if isinstance(part, NumberPart):
        right = in_steps(part, part.right(task), draw)[part.field]
        made = slipped(part.fields[0], right, task, draw)
        return _same_as_a_mistake(part, task, made) if made.called in NAMED_BY_EXERCISES else made
    if isinstance(part, ChoicePart):
        return _guess(part, task, draw)
    if isinstance(part, SeveralPart):
        return _ticks(part, task, draw)
    return _muddle(part, draw) if isinstance(part, OrderPart) else None


def _same_as_a_mistake(part: NumberPart, task: Task, made: Made) -> Made:
    """Some slips are among the mistakes that an exercise knows, by a name of its own: then that name is right too."""
    value = float(made.values[part.field])
    views = (task, task.on({}))
    true = part.truth(task)
    meant = {
        wrong.name
        for view in views
        for wrong, its in part.values(view)
        if _is(part, value, its) and (made.called != "decimal point" or _only_the_point(its, true))
    }
    return Made(made.values, made.called, made.names | meant)


def _is(part: NumberPart, value: float, its: float) -> bool:
    return part.meets(value, its) or part.meets(-value, its)


def _only_the_point(its: float, true: float) -> bool:
    """Return whether a mistake is a power of ten and nothing else, as a square metre of a hundred square centimetres is."""
    return its * true > 0 and _power_of_ten(its / true)


def _guess(part: ChoicePart, task: Task, draw: Draw) -> Made:
    options = tuple(value for value, _ in part.choices if value != part.truth(task))
    chosen = draw.choice("guess", options)
    return Made({part.field: chosen}, "guess", frozenset({part.name_of(chosen)}))


def _ticks(part: SeveralPart, task: Task, draw: Draw) -> Made:
    holds = part.truth(task)
    changed = {value for value, _ in part.choices if draw.number(f"tick {value}", 0, 1, 6) < 0.25}
    ticked = [value for value, _ in part.choices if (value in holds) != (value in changed)]
    names = {f"{part.field}_{'missed' if value in holds else 'not'}_{value}" for value in changed}
    return Made({part.field: ", ".join(ticked)}, "guess", frozenset(names if ticked else {"blank"}))


def _muddle(part: OrderPart, draw: Draw) -> Made:
    keyed = {value: draw.number(f"step {value}", 0, 1, 9) for value, _ in part.steps}
    order = tuple(sorted(keyed, key=lambda value: keyed[value]))
    return Made({part.field: ", ".join(order)}, "guess", frozenset(pair.name for pair in part.broken(order)))
