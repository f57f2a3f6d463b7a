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
    """A piece of metal, what is best done with it, and why."""

    words: str
    best: str
    why: str


PIECES = {
    "seacock": Piece(
        "a good bronze seacock on a plastic hose in a fibreglass hull, no wire near it",
        "isolate",
        "One metal that touches no other feeds no other. Left alone it needs no bond and no anode.",
    ),
    "tabs": Piece(
        "a pair of large stainless trim tabs on plastic hinges, with anodes of their own",
        "isolate",
        "They are a lot of metal, and have anodes of their own. On the bond they would draw on the hull's anodes as well.",
    ),
    "mast_step": Piece(
        "a carbon mast standing in an aluminium step in the bilge",
        "isolate",
        "Carbon counts among the noblest of all: joined to aluminium it eats it. A sleeve that does not conduct keeps them apart.",
    ),
    "rudder": Piece(
        "a bronze rudder in plastic bearings, on a boat whose shafts and struts are bonded to a hull anode",
        "bond",
        "It shares the water with the others and is of their kind. On the bond the anode protects it too, and a stray current finds a "
        "wire home.",
    ),
    "strut": Piece(
        "a bronze shaft strut close to a stainless shaft and a bronze propeller that are on the bond",
        "bond",
        "Its bearing touches the shaft on some days and not on others, so isolation does not stay true. On a sound bond it "
        "shares their protection.",
    ),
    "pump": Piece(
        "a bronze wash-down pump whose frame stands in the bilge, wired to the battery",
        "bond",
        "Beside live wires isolation does not stay true. On the bond a leak blows its fuse instead of eating the seacock.",
    ),
    "engine": Piece(
        "the engine block, which carries the battery negative",
        "rule",
        "It carries the battery negative, and often the safety earth of shore power. Electrical rules settle that, and not "
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
        "Lightning has rules of its own, and they come first. Corrosion has to live with them.",
    ),
}
SAYS = {
    "isolate": "Isolation stays true only while no wire, no water and no rule joins the piece to others.",
    "bond": "A bond makes the piece share its potential with all the others, and draw on the same anode.",
    "rule": "Rules on electricity or lightning come first where they speak. They do not speak of this piece.",
}
CHOICES = (
    ("isolate", "leave it isolated, or isolate it"),
    ("bond", "bond it and protect it"),
    ("rule", "do what the electrical or lightning rules say, whatever corrosion would like"),
)
SLOTS = ("first", "second")


@dataclass(frozen=True)
class Kinds:
    """Pieces of one exercise, what may be done with them, what speaks against each, and how the mistakes are called."""

    pieces: Mapping[str, Piece]
    choices: tuple[tuple[str, str], ...]
    against: Mapping[str, str]
    how: str
    mistake: str
    drawn_as: str

    def draw(self, draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
        """Draw two of the pieces."""
        return dict(zip(SLOTS, pick(draw, self.drawn_as, tuple(self.pieces), 2), strict=True))

    def at(self, task: Task, slot: str) -> Piece:
        """Return the piece drawn into a slot."""
        return self.pieces[task.word(slot)]

    def _not_so(self, slot: str, choice: str) -> Callable[[Task], str]:
        return lambda task: f"{self.against[choice]} {self.at(task, slot).why}"

    def part(self, slot: str) -> ChoicePart:
        """Return the part that asks what is done with one piece."""
        return ChoicePart(
            slot,
            f"{{{slot}_words}}",
            2,
            self.choices,
            lambda task: self.at(task, slot).best,
            {choice: self._not_so(slot, choice) for choice, _ in self.choices},
            how=self.how,
            why=lambda task: self.at(task, slot).why,
            named={choice: self.mistake.format(choice=choice) for choice, _ in self.choices},
        )

    def exercise(
        self, number: str, title: str, objective: str, prompt: str, hints: tuple[str, str, str]
    ) -> Exercise:
        """Return the exercise that asks it of two pieces that want different things."""
        done = dict(self.choices)
        return Exercise(
            id=number,
            module=MODULE,
            title=title,
            kind="choose",
            objectives=(objective,),
            prompt=prompt,
            draw=self.draw,
            words=lambda t: {f"{slot}_words": self.at(t, slot).words for slot in SLOTS},
            teaches=lambda t: self.at(t, "first").best != self.at(t, "second").best,
            parts=tuple(self.part(slot) for slot in SLOTS),
            method=lambda t: tuple(
                f"{self.at(t, slot).words}: {done[self.at(t, slot).best]}." for slot in SLOTS
            ),
            hints=hints,
        )


ISOLATE_OR_BOND = Kinds(
    PIECES,
    CHOICES,
    SAYS,
    "Ask first whether a rule speaks, then whether isolation can stay true.",
    "{choice}_is_no_answer_here",
    "piece",
).exercise(
    "04.1",
    "Isolate it or bond it",
    "04.isolate_or_bond",
    "Two pieces of metal on a boat at {marina}. What is best done with each?",
    (
        "Ask three questions. Does an electrical or a lightning rule speak of it? Can isolation stay true? Does it share the water with "
        "bonded metal?",
        "One metal with no wire near it, or a metal to be kept from a much nobler one, is isolated.",
        "Battery negative, safety earth, lightning: the rule. Beside live wires, or among bonded metal of its own kind: bond. "
        "Alone, or with anodes of its own, or a bad match: isolate.",
    ),
)


JOINS = (
    ("brush", "a brush that rubs on it"),
    ("strap", "a flexible strap long enough for its whole movement"),
    ("own", "no bond; anodes of its own, as it was made"),
    ("wire", "a bonding wire under a clean bolted terminal"),
    ("bearing", "nothing: its bearing is contact enough"),
)
MOVERS = {
    "shaft": Piece(
        "a propeller shaft that turns in rubber bearings behind a greased gearbox",
        "brush",
        "A turning shaft floats on oil and water. A brush rubs on it whether it turns or stands.",
    ),
    "shaft_coupling": Piece(
        "a propeller shaft behind a flexible rubber coupling",
        "brush",
        "The rubber of the coupling insulates the shaft. A brush reaches the shaft itself.",
    ),
    "rudder": Piece(
        "a rudder stock that turns a third of a circle in plastic bearings",
        "strap",
        "It turns to and fro and never round. A flexible strap follows it and does not wear a groove.",
    ),
    "tiller_arm": Piece(
        "the second rudder, tied to the first by a rod with plastic ends",
        "strap",
        "The rod's ends insulate it, so it needs a strap of its own.",
    ),
    "drive": Piece(
        "an aluminium saildrive on a rubber seal that its maker isolated from the engine",
        "own",
        "It was made to be apart, with anodes of its own. A bond would join it to bronze and stainless, and it is the least noble "
        "of all.",
    ),
    "strut": Piece(
        "a bronze strut bolted through the hull, its bolts in reach",
        "wire",
        "It does not move. A clean terminal under a bolt is the simplest joint, and you can look at it.",
    ),
}


OBJECTIONS = {
    "brush": "A brush is for what turns round and round.",
    "strap": "A strap follows movement to and fro. What turns round winds it up, and what stands still does not need it.",
    "own": "It has no anodes of its own. Left off the bond it would have no protection.",
    "wire": "A stiff wire breaks where things move, and it joins what was meant to be apart.",
    "bearing": "Grease, plastic and rubber insulate. A bearing makes contact on some days, and on others not.",
}


MOVING_PARTS = Kinds(
    MOVERS,
    JOINS,
    OBJECTIONS,
    "How does it move: not at all, to and fro, or round and round?",
    "joined_by_{choice}",
    "mover",
).exercise(
    "04.4",
    "What moves",
    "04.moving_parts",
    "How is each of these joined to the bonding, so that it stays joined?",
    (
        "How does it move: not at all, to and fro, or round and round?",
        "Round and round: a brush. To and fro: a strap. Not at all: a wire.",
        "Turns round and round: brush. To and fro: strap. Bolted still: wire. Isolated by its maker, with anodes of its own: "
        "leave it so. A bearing is never contact enough.",
    ),
)
