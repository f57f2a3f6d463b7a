"""07.4 and 07.8: somebody's hunt, and somebody's repair."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_07.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

CIRCUITS = (
    "navigation lights",
    "cabin lights",
    "fresh-water pump",
    "refrigerator",
    "radio",
    "anchor windlass",
)
SLOTS = ("a", "b", "c", "d")
SEEN_mV = 15.0


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    truth = draw.choice("truth", (*SLOTS, "bypass", "outside"))
    sign = -1 if draw.choice("direction", ("more", "more", "less")) == "more" else 1
    return {
        "truth": truth,
        "circuits": pick(draw, "circuits", CIRCUITS, 4),
        "quiet": draw.number("quiet", -890, -840, 0),
        "move": sign * draw.number("move", 42, 120, 0),
        **{f"noise_{k}": draw.number(f"noise {k}", -3, 3, 0) for k in range(6)},
    }


def _readings(task: Task) -> tuple[int, int, int, tuple[int, ...]]:
    """As found; shore lead out and battery switch off; bypassers off too; then each circuit alone [mV]."""
    quiet, move, truth = task.number("quiet"), task.number("move"), task.word("truth")
    noise = [task.number(f"noise_{k}") for k in range(6)]
    as_found = quiet + move + noise[0]
    switched_off = quiet + (move if truth in ("bypass", "outside") else 0) + noise[1]
    bypass_off = quiet + (move if truth == "outside" else 0) + noise[1]
    alone = tuple(
        round(quiet + (move if truth in (slot, "outside") else 0) + noise[2 + k])
        for k, slot in enumerate(SLOTS)
    )
    return round(as_found), round(switched_off), round(bypass_off), alone


def _book(task: Task) -> Table:
    found, off, bypass, alone = _readings(task)
    rows = [
        ("as found, everything on", f"{found}"),
        ("shore lead out, battery switch off", f"{off}"),
        ("the pump and alarm that bypass the switch off as well", f"{bypass}"),
        *(
            (f"{slot}: only the {name} on", f"{mV}")
            for slot, name, mV in zip(SLOTS, task.words("circuits"), alone, strict=True)
        ),
    ]
    return Table(
        "Somebody's book: common bonding point, mV against silver/silver-chloride (invented)",
        ("state", "reading"),
        tuple(rows),
    )


def _not_guilty(slot: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        _, _, bypass, alone = _readings(task)
        mV = alone[SLOTS.index(slot)]
        return f"With only {slot} on she reads {mV} mV, and with all off {bypass} mV: it moves nothing. Look for the row that differs."

    return says


def _moved(task: Task) -> float:
    found, _, bypass, _ = _readings(task)
    return found - bypass if task.word("truth") != "outside" else 0.0


BOOK = Exercise(
    id="07.4",
    module=MODULE,
    title="Somebody's hunt",
    kind="diagnose",
    objectives=("07.find",),
    prompt="A colleague hunted on a fibreglass cruiser, kept this book, and went home. Where is the source?",
    draw=_draw,
    words=lambda t: {f"circuit_{slot}": name for slot, name in zip(SLOTS, t.words("circuits"), strict=True)},
    tables=(_book,),
    parts=(
        ChoicePart(
            "source",
            "The source is",
            3,
            (
                *((slot, f"{slot}: {{circuit_{slot}}}") for slot in SLOTS),
                ("bypass", "the pump or the alarm that bypasses the switch"),
                ("outside", "not on this boat's battery: a neighbour, or galvanic"),
            ),
            lambda t: t.word("truth"),
            {
                **{slot: _not_guilty(slot) for slot in SLOTS},
                "bypass": lambda t: (
                    f"Switching those off moved the reading from {_readings(t)[1]} to {_readings(t)[2]} mV: hardly at all."
                ),
                "outside": lambda t: (
                    f"As found {_readings(t)[0]} mV, with all off {_readings(t)[2]} mV. So something on board moved it."
                ),
            },
            how="Compare each row with the row where all is off.",
            named={"bypass": "source_bypass", "outside": "called_it_galvanic"},
        ),
        ChoicePart(
            "direction",
            "The source drives the bonded metals",
            2,
            (
                ("more", "more negative: they are fed through the water, and something else dies"),
                ("less", "less negative: they feed the water themselves"),
                ("none", "nowhere: nothing on board moves them"),
            ),
            lambda t: (
                "none" if t.word("truth") == "outside" else ("more" if t.number("move") < 0 else "less")
            ),
            {
                "more": "More negative means a larger minus than with all off. Compare as found with all off again.",
                "less": "Compare as found with all off. 'A stray always reads positive' is a mistake: bonded metals may well go "
                "more negative.",
                "none": "As found and all off differ plainly, so something on board moves them. Which way?",
            },
            how="As found less all off, with its sign.",
            named={"less": "stray_always_positive"},
        ),
        ChoicePart(
            "next",
            "What comes next",
            1,
            (
                ("close", "close in on it with clamp and bilge probe"),
                ("replace", "renew that circuit's pump or lamp and send the bill"),
                ("anodes", "fit more anodes"),
                ("neighbours", "shore lead out: if it stays, look at the water and the neighbours"),
            ),
            lambda t: "neighbours" if t.chosen("source") == "outside" else "close",
            {
                "close": "No circuit on board moves the reading, so there is none to close in on.",
                "replace": "You know the circuit, but not the spot. A part renewed on suspicion may leave the leak where it is.",
                "anodes": "A battery has volts, an anode tenths of a volt. No anode stops a battery.",
                "neighbours": "The source is on board. The neighbours can wait.",
            },
            how="You know which circuit. Do you know which spot?",
        ),
    ),
    method=lambda t: (
        f"All off: {_readings(t)[2]} mV. The row that stands {abs(t.number('move')):.0f} mV away tells."
        if t.word("truth") != "outside"
        else "No row moves: the source is not on this boat's battery.",
        "Then clamp and probe, and only then the tools.",
    ),
    hints=(
        "All off, with the bypassers off too, is the row you compare with.",
        "Which single row is as far from it as the first one? If it was the bypassers, the third row moved and the second did not.",
        "One circuit's row like the first: that circuit. Second row like the first, third row quiet: the bypassers. All rows "
        "like the first: not on board. As found more negative than all off: driven more negative. Then clamp and probe, or, if "
        "it is not on board, the neighbours.",
    ),
)


def _draw_repair(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    quiet = draw.number("quiet", -900, -850, 0)
    move = draw.number("move", 45, 110, 0) * (
        -1 if draw.choice("direction", ("more", "less")) == "more" else 1
    )
    outcome = draw.choice("outcome", ("mended", "not", "part", "elsewhere"))
    return {
        "quiet": quiet,
        "move": move,
        "outcome": outcome,
        "share": draw.number("share", 0.35, 0.6, 2),
        "noise": draw.number("noise", -3, 3, 0),
    }


def _after(task: Task) -> int:
    share = {"mended": 0.0, "not": 1.0, "part": task.number("share"), "elsewhere": 0.0}[task.word("outcome")]
    return round(task.number("quiet") + share * task.number("move") + task.number("noise"))


def _repair(task: Task) -> Table:
    found = round(task.number("quiet") + task.number("move"))
    state = (
        "only the pump's circuit off" if task.word("outcome") == "elsewhere" else "everything on, as at first"
    )
    return Table(
        "Before and after (invented): common bonding point, mV",
        ("when", "state", "reading"),
        (
            ("before", "everything on", f"{found}"),
            ("before", "all off", f"{task.number('quiet'):.0f}"),
            ("after the splice was remade", state, f"{_after(task)}"),
        ),
    )


def _verdict(task: Task) -> str:
    return {"mended": "proved", "not": "not", "part": "part", "elsewhere": "no_proof"}[task.word("outcome")]


def _left_mV(task: Task) -> float:
    return abs(_after(task) - task.number("quiet"))


REPAIR = Exercise(
    id="07.8",
    module=MODULE,
    title="Is it mended",
    kind="verify",
    objectives=("07.prove",),
    prompt="A wet splice in the bilge was found and remade. Is that proved?",
    draw=_draw_repair,
    tables=(_repair,),
    parts=(
        NumberPart(
            "left",
            "How far she now reads from all off",
            "mV",
            2,
            _left_mV,
            (
                Wrong(
                    "from_as_found",
                    lambda t: abs(_after(t) - t.number("quiet") - t.number("move")),
                    "That is how far she moved from the first reading. How far is she still from all off?",
                ),
                Wrong(
                    "as_before",
                    # wholly mended, it is the same number as from_as_found
                    lambda t: abs(t.number("move")) if t.word("outcome") == "part" else None,
                    "That is how far she was before the repair. How far is she now?",
                ),
                Wrong(
                    "reading_itself",
                    lambda t: abs(float(_after(t))),
                    "That is the reading itself. How far is it from the one with all off?",
                ),
            ),
            how="The last reading less the one with all off.",
            within=2.0,
            signed=False,
        ),
        ChoicePart(
            "verdict",
            "So the repair is",
            2,
            (
                ("proved", "proved"),
                ("part", "only part of it: a second source is left"),
                ("not", "no repair at all: it was not that"),
                ("no_proof", "not proved: it was not read in the same state"),
            ),
            _verdict,
            {
                "proved": "A proof is the same reading in the same state, back at all off. Look at the last row: its state, and "
                "its number.",
                "part": "If a second source were left, she would read between the first two rows. Does she?",
                "not": "If it had been something else, she would read as in the first row, with everything on. Does she?",
                "no_proof": "The last row was read with everything on, as the first was. The state is the same: look at the number.",
            },
            how="First the state: is it the same as before? Then the number: is it back?",
        ),
        ChoicePart(
            "then",
            "What next",
            2,
            (
                ("write", "write it up, with both readings"),
                ("again", "all off again, and one circuit at a time, for what is left"),
                ("same", "everything on, and read again in the same place"),
            ),
            lambda t: {"proved": "write", "part": "again", "not": "again", "no_proof": "same"}.get(
                t.chosen("verdict"), "same"
            ),
            {
                "write": "First it has to be proved, in the state in which it was found. Your verdict says that it is not.",
                "again": "That is for a source that is left. Your verdict does not say that one is.",
                "same": "She was read in the same state already. Another such reading tells nothing new.",
            },
            how="What does your verdict ask for?",
        ),
    ),
    teaches=lambda t: t.word("outcome") != "part" or _left_mV(t) > SEEN_mV,
    method=lambda t: (
        f"She stands {_left_mV(t):.0f} mV from all off; before it was {abs(t.number('move')):.0f} mV.",
        "Proved means: the same reading, the same place, everything on again.",
    ),
    hints=(
        "How far is the last row from the second, the one with all off?",
        "Was the last row taken in the state of the first?",
        "Not the state of the first row: no proof, read again with everything on. Same state and back at all off: proved, write "
        "it up. Between: a part is left. As at first: it was something else. Then all off again.",
    ),
)
