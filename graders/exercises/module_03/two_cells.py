"""03.10: two cells in one water: is the one in the box to be trusted."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.datasets import row
from course.instruments.reference_cell import convert
from course.instruments.replay import Reading
from graders.bench import Act, shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_03.common import MODULE
from graders.hands import Example, Hands
from graders.metals import SEA_CELL
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart, NumberPart, RecordedPart, Wrong
from graders.task import Task

OTHER = "copper_sulphate"
ASIDE_mV = 15.0  # sound cells agree within 5 to 10 mV once converted (common practice, no source)
WAIT, SHORTEST_WAIT = 60, 12  # minutes in the water
KIT = ("digital multimeter", "silver/silver-chloride cell", "copper/copper-sulphate cell")


def _acts(task: Task, cell: str, wait: int = WAIT) -> list[Act]:
    amidships = round(task.plan.boat.hull.length_m / 2, 2)
    return [
        ("turn_dial", {"position": "2 V"}),
        ("plug", {"lead": "cell lead", "jack": "COM"}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("clip", {"point": "common_bonding_point"}),
        ("take_cell", {"cell": cell}),
        ("hang_cell", {"x_m": amidships, "depth_m": 1.0}),
        ("wait", {"minutes": wait}),
    ]


def _true(cell: str) -> Callable[[Task], float]:
    def truth(task: Task) -> float:
        return task.once(
            f"shown {cell}", lambda: 1000 * float(shown_after(task.afloat, _acts(task, cell)).text)
        )

    return truth


def _fault_with(cell: str) -> Callable[[Case, Reading], Mistake | None]:
    def fault(_case: Case, reading: Reading) -> Mistake | None:
        state = reading.state
        if (state.cell_jack, state.test_jack, state.point) != ("COM", "V", "common_bonding_point"):
            return Mistake(
                "wrong_leads",
                "Cell lead in COM, test lead in V, clip on the common bonding point: then it is the "
                "hull potential.",
            )
        if state.kind != cell:
            return Mistake(
                "other_cell",
                f"That was read with the other cell. Take the {row('reference_cells', cell)['label']} "
                f"out of the box.",
            )
        if state.cell is None or state.minute - state.cell.wet_since < SHORTEST_WAIT:
            return Mistake(
                "too_soon",
                "The cell had not come to rest. Leave it in the water until two readings ten minutes apart agree.",
            )
        return None

    return fault


def _expected(task: Task) -> float:
    """What the second cell should show, from what the first one showed [mV]."""
    return task.earlier("silver") + 1000 * convert(0.0, SEA_CELL, OTHER)


def _off(task: Task) -> float:
    return task.earlier("copper") - _expected(task)


def _do(wait: int = WAIT, swap: bool = False) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        found = {}
        for field, cell in (("silver", SEA_CELL), ("copper", OTHER)):
            for action, args in _acts(hands.task, cell, wait):
                hands.slip.act(action, args)
            found[field] = hands.read_mV()
        return {"silver": found["copper"], "copper": found["silver"]} if swap else found

    return act


def _written(field: str, change: Callable[[float], float]) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        found = dict(_do()(hands))
        return {**found, field: f"{change(float(str(found[field]))):g}"}

    return act


def _reading(field: str, label: str, cell: str) -> JudgedPart:
    return RecordedPart(
        field, label, "mV", 2, 1.0, _fault_with(cell), ("wrong_leads", "other_cell", "too_soon"), _true(cell)
    )


TWO_CELLS = Exercise(
    id="03.10",
    module=MODULE,
    title="Two cells in one water",
    kind="verify",
    objectives=("03.doubt", "03.convert"),
    bench=True,
    family="two_cells",
    instruments=KIT,
    prompt="Two cells lie in your box: silver/silver-chloride, and a copper/copper-sulphate cell that was checked last week. Take "
    "the hull potential of "
    "{boat} with each, amidships. The first reading, and the distance between the two kinds of cell, tell you what the second "
    "should show. By how much is it off? And can you trust the silver cell?",
    parts=(
        _reading("silver", "Hull potential with the silver/silver-chloride cell", SEA_CELL),
        _reading("copper", "Hull potential with the copper/copper-sulphate cell", OTHER),
        NumberPart(
            "off",
            "The second reading, less what the first one makes you expect of it",
            "mV",
            2,
            _off,
            (
                Wrong(
                    "not_converted",
                    lambda t: t.earlier("copper") - t.earlier("silver"),
                    "You compared the two readings as "
                    "they are. They are against two kinds of cell, 66 mV apart when both are sound.",
                ),
                Wrong(
                    "wrong_way",
                    lambda t: t.earlier("copper") - t.earlier("silver") - 66.0,
                    "You moved it the wrong way: "
                    "against copper sulphate the same metal reads 66 mV more negative.",
                ),
                Wrong(
                    "added",
                    lambda t: t.earlier("copper") + t.earlier("silver"),
                    "You added the two readings. How far apart they are is a difference.",
                ),
            ),
            how="Second reading, less the first one moved by 66 mV to the negative.",
            within=5.0,
        ),
        ChoicePart(
            "trust",
            "The silver cell is",
            2,
            (
                ("good", "to be trusted"),
                ("bad", "contaminated: renew it, and doubt what was read with it"),
                ("dry", "only dry: wait longer"),
            ),
            lambda t: "bad" if abs(t.earlier("off")) > ASIDE_mV else "good",
            {
                "good": "Once converted, two sound cells agree within 5 to 10 mV. Look at your difference.",
                "bad": "Once converted, the two agree as sound cells do. Nothing speaks against it.",
                "dry": "A dry cell comes to rest in the water. This one stays where it is, however long you wait.",
            },
            how="Sound cells agree within 5 to 10 mV once converted (common practice, no source).",
            why="Once converted, sound cells agree within 5 to 10 mV (common practice, no source). That is what you compared with.",
        ),
    ),
    teaches=lambda t: abs(abs(_off(t)) - ASIDE_mV) > 8,
    method=lambda t: (
        f"{_true(SEA_CELL)(t):.0f} mV against silver/silver-chloride should be {_true(SEA_CELL)(t) - 66:.0f} mV against copper sulphate.",
        f"Read: {_true(OTHER)(t):.0f} mV. {'They do not agree: the silver cell is off.' if abs(_off(t)) > ASIDE_mV else 'They agree.'}",
    ),
    hints=(
        "Same metal, same place, two cells: only the cells can differ.",
        "When both are sound, copper sulphate reads 66 mV more negative than silver.",
        "Expected = silver reading - 66 mV. Off = copper reading - expected. Within 10 mV the silver cell is good; far beyond "
        "that it is contaminated.",
    ),
    hands=_do(),
    examples=(
        Example("silver", "too_soon", _do(wait=2)),
        Example("silver", "other_cell", _do(swap=True)),
        Example("silver", "unit", _written("silver", lambda mV: mV / 1000)),
        Example("copper", "sign_dropped", _written("copper", lambda mV: -mV)),
        Example("copper", "not_recorded", _written("copper", lambda mV: mV - 41)),
    ),
)
