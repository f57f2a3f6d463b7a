"""07.3: the clamp round both wires, its zero, and what does not come back."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_07.common import MODULE
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    leaks = draw.choice("leaks", ("yes", "yes", "no"))
    return {
        "circuit": draw.choice(
            "circuit", ("cabin lights", "fresh-water pump", "refrigerator", "anchor windlass")
        ),
        "zero": draw.number("zero", 0.03, 0.11, 2)
        * (1 if draw.choice("sign", ("plus", "minus")) == "plus" else -1),
        "load": draw.number("load", 2.1, 7.8, 2),
        "leak": draw.number("leak", 0.14, 0.48, 2) if leaks == "yes" else 0.0,
    }


def _shown(task: Task) -> tuple[float, float, float, float]:
    """What the clamp shows [A]: round nothing, round the positive, round the negative, round both, arrow to the load."""
    zero, load, leak = (task.number(name) for name in ("zero", "load", "leak"))
    return round(zero, 2), round(load + leak + zero, 2), round(-load + zero, 2), round(leak + zero, 2)


def _log(task: Task) -> Table:
    rows = zip(
        ("nothing", "the positive wire", "the negative wire", "both wires together"),
        _shown(task),
        strict=True,
    )
    title = f"Clamp on the circuit of the {task.word('circuit')}, arrow towards the load (invented)"
    return Table(title, ("jaw round", "display, A"), tuple((words, f"{value:+.2f}") for words, value in rows))


def _lost_mA(task: Task) -> float:
    zero, _, _, both = _shown(task)
    return 1000 * (both - zero)


CLAMP = Exercise(
    id="07.3",
    module=MODULE,
    title="What does not come back",
    kind="diagnose",
    objectives=("07.tools",),
    prompt="Somebody put a DC clamp round the wires of one circuit on {boat}, and forgot to press zero.",
    draw=_draw,
    tables=(_log,),
    words=lambda t: {"zero_A": f"{_shown(t)[0]:+.2f}", "both_A": f"{_shown(t)[3]:+.2f}"},
    parts=(
        NumberPart(
            "lost",
            "Current that goes out and does not come back",
            "mA",
            2,
            _lost_mA,
            (
                Wrong(
                    "zero_forgotten",
                    lambda t: 1000 * _shown(t)[3],
                    "The clamp shows {zero_A} A round nothing at all. That much of {both_A} A is its own zero: take it off.",
                ),
                Wrong(
                    "zero_added",
                    lambda t: 1000 * (_shown(t)[3] + _shown(t)[0]),
                    "The zero is in there twice. You added it, or you added the two single readings, and each of them holds it: "
                    "take it off instead.",
                ),
                Wrong(
                    "load_taken",
                    lambda t: 1000 * (_shown(t)[1] - _shown(t)[0]),
                    "That is the whole load. What comes back through the negative wire is not lost: use the row with both wires.",
                ),
            ),
            how="Round both wires together, less what it shows round nothing.",
            within=10.0,
        ),
        ChoicePart(
            "so",
            "So this circuit",
            2,
            (
                ("leaks", "leaks: look along its positive wire"),
                ("sound", "is sound: what goes out comes back"),
                ("overloaded", "is overloaded: change its fuse for a larger one"),
            ),
            lambda t: "leaks" if t.earlier("lost") > 50 else "sound",
            {
                "leaks": "Round both wires it shows {both_A} A, and round nothing {zero_A} A. Within the last digits that is "
                "the same: nothing is missing.",
                "sound": "Round both wires it shows {both_A} A, and round nothing {zero_A} A. The difference goes another way "
                "home: it leaks.",
                "overloaded": "A load is not a leak. And a larger fuse is never a cure: it lets the wire burn.",
            },
            how="Compare the jaw round both wires with the jaw round nothing.",
        ),
        ChoicePart(
            "arrow",
            "With the clamp turned round, arrow to the battery, both wires would show",
            1,
            (
                ("opposite", "the leak with the other sign, and the same zero"),
                ("same", "the same"),
                ("nothing", "nothing"),
            ),
            lambda t: "opposite",
            {
                "same": "The clamp has an arrow. Turned round, it reads the same current with the other sign.",
                "nothing": "The current does not stop because the clamp is turned.",
            },
            how="What changes sign when the clamp is turned, and what is the clamp's own?",
        ),
    ),
    method=lambda t: (
        f"Round both {_shown(t)[3]:+.2f} A, round nothing {_shown(t)[0]:+.2f} A: {_lost_mA(t):.0f} mA do not come back.",
        "Turned round, the sign of the current turns and the zero does not: half the difference of the two readings is the current.",
    ),
    hints=(
        "What does the clamp show round nothing? That is its zero, and it is in every reading.",
        "Round both wires the load cancels. What is left is the leak and the zero.",
        "Lost = {both_A} - ({zero_A}), times 1000 for mA. Near nothing: sound. Turned round, the leak changes its sign, and the "
        "zero does not.",
    ),
)
