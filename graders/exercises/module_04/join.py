"""04.1 and 04.4: isolate or bond; and what joins each moving part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_04.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart
from graders.task import Task


@dataclass(frozen=True)
class Piece:
    """A piece of metal and what is best done with it: ``best`` is isolate, bond or rule; ``why`` tells, and ``else_why`` refutes."""

    words: str
    best: str
    why: str


PIECES = {
    "seacock": Piece(
        "a good bronze seacock on a plastic hose in a fibreglass hull, no wire near it",
        "isolate",
        "One metal, touching no other, has nobody to feed. Left alone it needs no bond and no anode.",
    ),
    "tabs": Piece(
        "a pair of large stainless trim tabs on plastic hinges, with anodes of their own",
        "isolate",
        "They are much metal, and with anodes of their own. Tied to the rest they would ask for still more from the hull's anodes.",
    ),
    "mast_step": Piece(
        "a carbon mast standing in an aluminium step in the bilge",
        "isolate",
        "Carbon is among the noblest there is: joined to aluminium it eats it. A sleeve that does not conduct keeps them apart.",
    ),
    "rudder": Piece(
        "a bronze rudder in plastic bearings, on a boat whose shafts and struts are bonded to a hull anode",
        "bond",
        "It shares the water with all the others and is of their kind. On the bond the anode protects it too, and a stray finds a "
        "wire home.",
    ),
    "strut": Piece(
        "a bronze shaft strut close to a stainless shaft and a bronze propeller that are on the bond",
        "bond",
        "It touches the others through the shaft's bearing when it is wet anyway. On a sound bond it shares their protection.",
    ),
    "pump": Piece(
        "a bronze wash-down pump whose frame stands in the bilge, wired to the battery",
        "bond",
        "Beside live wires isolation does not stay true. On the bond a leak blows its fuse instead of eating the seacock.",
    ),
    "engine": Piece(
        "the engine block, which carries the battery negative",
        "rule",
        "It carries the battery negative, and often the safety earth of shore power. That is settled by electrical rules, not by "
        "corrosion.",
    ),
    "inlet": Piece(
        "the metal frame of the shore power inlet, on the green conductor",
        "rule",
        "It is on the safety earth, which is never opened. Local codes and licensed people decide.",
    ),
    "mast": Piece(
        "an aluminium mast with a lightning conductor to a plate under water",
        "rule",
        "What lightning needs is settled by its own rules; corrosion has to live with it.",
    ),
}
SAYS = {
    "isolate": "Isolation stays true only while no wire, no water and no rule joins the piece to others.",
    "bond": "A bond makes it share its potential with all the others, and eat from the same anode.",
    "rule": "Rules on electricity or lightning come first where they speak. Of this piece they do not.",
}
CHOICES = (
    ("isolate", "leave it isolated, or isolate it"),
    ("bond", "bond it and protect it"),
    ("rule", "do what the electrical or lightning rules say, whatever corrosion would like"),
)
SLOTS = ("first", "second")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    first, second = pick(draw, "piece", tuple(PIECES), 2)
    return {"first": first, "second": second}


def _not_so(slot: str, choice: str) -> Callable[[Task], str]:
    return lambda task: f"{SAYS[choice]} {PIECES[task.word(slot)].why}"


def _piece_part(slot: str) -> ChoicePart:
    return ChoicePart(
        slot,
        f"{{{slot}_words}}",
        2,
        CHOICES,
        lambda task: PIECES[task.word(slot)].best,
        {choice: _not_so(slot, choice) for choice, _ in CHOICES},
        how="Ask first whether a rule speaks, then whether isolation can stay true.",
        why=lambda task: PIECES[task.word(slot)].why,
        named={choice: f"{choice}_is_no_answer_here" for choice, _ in CHOICES},
    )


ISOLATE_OR_BOND = Exercise(
    id="04.1",
    module=MODULE,
    title="Isolate it or bond it",
    kind="choose",
    objectives=("04.isolate_or_bond",),
    prompt="Two pieces of metal on a boat at {marina}. What is best done with each?",
    draw=_draw,
    words=lambda t: {f"{slot}_words": PIECES[t.word(slot)].words for slot in SLOTS},
    teaches=lambda t: PIECES[t.word("first")].best != PIECES[t.word("second")].best,
    parts=tuple(_piece_part(slot) for slot in SLOTS),
    method=lambda t: tuple(
        f"{PIECES[t.word(slot)].words}: {dict(CHOICES)[PIECES[t.word(slot)].best]}." for slot in SLOTS
    ),
    hints=(
        "Three questions: does an electrical or a lightning rule speak? Can isolation stay true? Does it share the water with "
        "bonded metal?",
        "One metal alone, with no wire near it, may be left alone.",
        "What sits beside live wires, or touches bonded metal through wet bearings, is better on the bond.",
    ),
)


@dataclass(frozen=True)
class Mover:
    """A part that moves or is apart, how it is rightly joined, and why."""

    words: str
    best: str
    why: str


JOINS = (
    ("brush", "a brush that rubs on it"),
    ("strap", "a flexible strap long enough for its whole movement"),
    ("own", "no bond; anodes of its own, as it was made"),
    ("wire", "a bonding wire under a clean bolted terminal"),
    ("bearing", "nothing: its bearing is contact enough"),
)
MOVERS = {
    "shaft": Mover(
        "a propeller shaft that turns in rubber bearings behind a greased gearbox",
        "brush",
        "A turning shaft floats on oil and water. A brush rubs on it whether it turns or stands.",
    ),
    "shaft_coupling": Mover(
        "a propeller shaft behind a flexible rubber coupling",
        "brush",
        "The rubber of the coupling insulates it; a brush reaches the shaft itself.",
    ),
    "rudder": Mover(
        "a rudder stock that turns a third of a circle in plastic bearings",
        "strap",
        "It turns to and fro and never round. A flexible strap follows it and does not wear a groove.",
    ),
    "tiller_arm": Mover(
        "the second rudder, tied to the first by a rod with plastic ends",
        "strap",
        "The rod's ends insulate it, so it needs a strap of its own.",
    ),
    "drive": Mover(
        "an aluminium saildrive on a rubber seal that its maker isolated from the engine",
        "own",
        "It was made to be apart, with anodes of its own. A bond would join it to bronze and stainless, and it is the least noble "
        "of all.",
    ),
    "strut": Mover(
        "a bronze strut bolted through the hull, its bolts in reach",
        "wire",
        "It does not move. A clean terminal under a bolt is the simplest joint there is, and it can be looked at.",
    ),
}


def _draw_movers(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    first, second = pick(draw, "mover", tuple(MOVERS), 2)
    return {"first": first, "second": second}


OBJECTIONS = {
    "brush": "A brush is for what turns round and round.",
    "strap": "A strap follows to-and-fro movement; what turns round winds it up, and what stands still does not need it.",
    "own": "Left off the bond it would have no protection: it has no anodes of its own.",
    "wire": "A stiff wire breaks where things move, and joins what was to be kept apart.",
    "bearing": "Grease, plastic and rubber insulate. A bearing is contact on some days, and on others not.",
}


def _not_joined_so(slot: str, join: str) -> Callable[[Task], str]:
    return lambda task: f"{OBJECTIONS[join]} {MOVERS[task.word(slot)].why}"


def _mover_part(slot: str) -> ChoicePart:
    return ChoicePart(
        slot,
        f"{{{slot}_words}}",
        2,
        JOINS,
        lambda task: MOVERS[task.word(slot)].best,
        {join: _not_joined_so(slot, join) for join, _ in JOINS},
        how="How does it move: not at all, to and fro, or round and round?",
        why=lambda task: MOVERS[task.word(slot)].why,
        named={join: f"joined_by_{join}" for join, _ in JOINS},
    )


MOVING_PARTS = Exercise(
    id="04.4",
    module=MODULE,
    title="What moves",
    kind="choose",
    objectives=("04.moving_parts",),
    prompt="How is each of these joined to the bonding, so that it stays joined?",
    draw=_draw_movers,
    words=lambda t: {f"{slot}_words": MOVERS[t.word(slot)].words for slot in SLOTS},
    teaches=lambda t: MOVERS[t.word("first")].best != MOVERS[t.word("second")].best,
    parts=tuple(_mover_part(slot) for slot in SLOTS),
    method=lambda t: tuple(
        f"{MOVERS[t.word(slot)].words}: {dict(JOINS)[MOVERS[t.word(slot)].best]}." for slot in SLOTS
    ),
    hints=(
        "Look at how it moves.",
        "Round and round: a brush. To and fro: a strap. Not at all: a wire.",
        "And some things were made to be apart: leave them so.",
    ),
)
