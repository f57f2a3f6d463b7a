"""06.1: who feeds whom over the safety earth."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_06.common import MODULE
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "ours": draw.number("ours", -1010, -900, 0),
        "theirs": draw.number("theirs", -720, -560, 0),
        "mA": draw.number("current", 60, 420, 0),
        "days": draw.number("days", 30, 180, 0),
        "whose": draw.choice("whose", ("ours", "theirs")),
    }


def _mine(task: Task) -> float:
    return task.number(task.word("whose"))


def _other(task: Task) -> float:
    return task.number("theirs" if task.word("whose") == "ours" else "ours")


def _read(task: Task) -> Table:
    between = round(task.number("ours") * 0.6 + task.number("theirs") * 0.4)
    return Table(
        "mV against silver/silver-chloride in sea water (invented)",
        ("", "shore leads out", "shore leads in"),
        (
            ("your boat", f"{_mine(task):.0f}", f"{between}"),
            ("the boat beside her", f"{_other(task):.0f}", f"{between + 3}"),
        ),
    )


def _pays(task: Task) -> str:
    return "we" if _mine(task) < _other(task) else "they"


def _moved(task: Task) -> float:
    return round(task.number("ours") * 0.6 + task.number("theirs") * 0.4) - _mine(task)


def _not_the_payer(who: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        if who == "nobody":
            return "Both readings moved when the leads went in. A current flows, and somebody's metal pays for it."
        return (
            f"Apart, your boat reads {_mine(task):.0f} mV and the other {_other(task):.0f} mV. Joined, the more negative one "
            f"gives the current: "
            "it is the anode of the two."
        )

    return says


DOCK = Exercise(
    id="06.1",
    module=MODULE,
    title="One ship from two",
    kind="judge",
    objectives=("06.cell",),
    prompt="Two boats lie side by side at {marina}. Both hull potentials were read with the shore leads out, and again with both "
    "leads in.",
    draw=_draw,
    tables=(_read,),
    parts=(
        NumberPart(
            "moved",
            "How far your boat moved when the leads went in (positive: less negative)",
            "mV",
            1,
            _moved,
            (
                Wrong(
                    "sign_turned",
                    lambda t: -_moved(t),
                    "Turned round. It is the reading with the leads in, less the reading with them out.",
                ),
                Wrong(
                    "between_boats",
                    lambda t: _other(t) - _mine(t),
                    "That is how far the two boats stood apart. How far did yours move?",
                ),
                Wrong(
                    "half_way",
                    lambda t: (_other(t) - _mine(t)) / 2,
                    "Joined boats need not meet half-way. Read the table.",
                ),
            ),
            how="With the leads in, less with them out, for your own boat.",
            within=1.0,
            signed=False,
        ),
        ChoicePart(
            "payer",
            "Over the green wire, whose metal pays",
            2,
            (
                ("we", "ours"),
                ("they", "theirs"),
                ("nobody", "nobody's: the green wire carries nothing while all is well"),
            ),
            _pays,
            {who: _not_the_payer(who) for who in ("we", "they", "nobody")},
            how="The more negative of two joined boats is the anode.",
            named={"we": "payer_we", "they": "payer_they", "nobody": "earth_carries_nothing"},
        ),
        ChoicePart(
            "stop",
            "How is it stopped, with the shore lead in",
            1,
            (
                (
                    "isolator",
                    "with a galvanic isolator or an isolation transformer, fitted by a licensed person",
                ),
                ("open", "by taking the green wire off at the plug"),
                ("anodes", "with more anodes"),
            ),
            lambda t: "isolator",
            {
                "open": "Never. The green wire trips the breaker when a fault puts mains voltage on the metal. Without it that "
                "metal kills.",
                "anodes": "More anodes on your boat protect the whole dock still better, and go as fast as before.",
            },
            how="The safety earth stays. What may be put into it?",
            named={"open": "safety_earth_opened"},
        ),
    ),
    method=lambda t: (
        f"Apart: yours {_mine(t):.0f} mV, theirs {_other(t):.0f} mV. Joined, the more negative one pays: "
        f"{'ours' if _pays(t) == 'we' else 'theirs'}.",
        "An isolator stops it up to some 1.2 V, a transformer wholly. The earth itself is never opened.",
    ),
    hints=(
        "Two metals, a wire, the same water: that is a galvanic cell as wide as the dock.",
        "With the leads out, the more negative boat is the anode of the two: her metal pays.",
        "Moved = leads in less leads out, for your boat. The more negative with leads out pays. An isolator or a transformer "
        "stops it; the safety earth itself is never opened.",
    ),
)
