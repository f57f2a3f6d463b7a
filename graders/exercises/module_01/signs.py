"""The four kinds of corrosion by their signs: what a case card may say, what each kind is cured by, and what speaks against it.

The sentences are common practice, no source; the cases are invented.
"""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import Value
from graders.exercise import Table
from graders.task import Task

KINDS = (
    ("general", "general corrosion"),
    ("crevice", "crevice corrosion"),
    ("galvanic", "galvanic corrosion"),
    ("stray", "stray-current corrosion"),
)
NAMED = dict(KINDS)
TITLES = {
    "place": "where",
    "look": "look",
    "speed": "how fast",
    "history": "what changed",
    "reading": "one measurement",
}

SIGNS: dict[str, dict[str, tuple[str, ...]]] = {
    "general": {
        "place": (
            "all over the bare side of a steel keel plate",
            "the whole inside of a steel chain locker",
            "all round an old mooring shackle, alike on every side",
        ),
        "look": (
            "an even brown skin, a little rough",
            "even scale that comes off in leaves, sound metal below",
            "evenly thinner everywhere, no pits to speak of",
        ),
        "speed": (
            "some tenths of a millimetre since she was launched twelve years ago",
            "a millimetre in nine years",
            "a skin after twenty years afloat, no more",
        ),
        "history": (
            "nothing was changed for years",
            "the paint wore off long ago",
            "she lay ashore and afloat as ever",
        ),
        "reading": (
            "no switch and no bond moves its reading",
            "it reads as the metal alone reads in the list, whatever is switched",
        ),
    },
    "crevice": {
        "place": (
            "under the washer of a stainless deck fitting that weeps",
            "on a stainless shaft where it stands in its bearing, and nowhere else",
            "in the thread of a stainless bolt, deep in wet wood",
        ),
        "look": (
            "pits under the cover, the open metal bright as new",
            "a rust stain weeping out of the joint, the rest mirror bright",
            "a ring of deep pits exactly as wide as the gap",
        ),
        "speed": (
            "pits of a millimetre in two winters",
            "half a millimetre in a year",
            "it took three seasons to weep",
        ),
        "history": (
            "the joint has leaked a little for years",
            "she stood still all winter, for the first time",
            "the fitting was bedded without sealant",
        ),
        "reading": (
            "no switch and no bond moves its reading",
            "taken out and washed, it reads as good stainless again within days",
        ),
    },
    "galvanic": {
        "place": (
            "on the steel bracket, worst beside the bronze plate that is bolted to it",
            "on the aluminium leg, worst next to the stainless propeller",
            "on every galvanised bolt that goes through the bronze strap",
        ),
        "look": (
            "wasted on the side towards the other metal, the other metal clean",
            "a hollow that grows deeper towards the joint",
            "one metal eaten, its neighbour as new",
        ),
        "speed": (
            "two millimetres in a season",
            "half of the bolt in eighteen months",
            "plain to see after seven months",
        ),
        "history": (
            "a nobler fitting was bolted to it a year ago",
            "the anodes were used up and not replaced",
            "a new propeller of another metal was fitted",
        ),
        "reading": (
            "its reading moves when the bond between the two metals is opened, and with no switch",
            "wired together the two read alike; apart, they are some hundred millivolts from one another",
        ),
    },
    "stray": {
        "place": (
            "on the one seacock that stands next to the wet bilge",
            "on one through-hull fitting; the ones beside it are sound",
            "on one shaft strut, below the place where a pump's wire lies in the bilge",
        ),
        "look": (
            "bright, deep, with sharp edges",
            "clean metal like fresh from the mill, eaten into holes",
            "one bright crater, as if drilled, the metal beside it as new",
        ),
        "speed": (
            "four millimetres in nine days",
            "through the wall in three weeks",
            "plain to see after a week-end",
        ),
        "history": (
            "a new bilge pump was wired last month",
            "a splice was made in the bilge a few weeks ago",
            "a battery charger has been left on since last week",
        ),
        "reading": (
            "its reading jumps when one breaker is opened",
            "with the battery switch off its reading falls back at once, whatever the bonds",
        ),
    },
}

EXPECTED: dict[str, dict[str, str]] = {
    "general": {
        "place": "General corrosion is alike over the whole bare metal",
        "look": "General corrosion leaves an even skin",
        "speed": "General corrosion takes years to decades",
        "history": "General corrosion needs no change: it goes on by itself",
        "reading": "A metal that corrodes by itself reads the same whatever is switched or opened",
    },
    "crevice": {
        "place": "Crevice corrosion sits in a gap or under a cover, where no oxygen comes",
        "look": "Crevice corrosion pits the covered metal and leaves the open metal bright",
        "speed": "Crevice corrosion takes months to years",
        "history": "Crevice corrosion wants a gap that stays wet and still",
        "reading": "A metal in a gap corrodes against itself: no bond and no switch moves it",
    },
    "galvanic": {
        "place": "Galvanic corrosion is worst where two different metals meet",
        "look": "Galvanic corrosion wastes one metal towards its nobler neighbour",
        "speed": "Galvanic corrosion takes months to years",
        "history": "Galvanic corrosion begins with a nobler metal joined on, or with anodes that are gone",
        "reading": "In a galvanic cell the reading moves when the bond is opened, and no switch moves it",
    },
    "stray": {
        "place": "A stray current eats the one fitting where it leaves into the water",
        "look": "A stray current leaves bright, sharp, deep attack",
        "speed": "A stray current takes hours to weeks",
        "history": "A stray current begins with wiring, a pump, a charger",
        "reading": "A stray current has a source on a switch: the reading moves when that circuit is opened",
    },
}

# the sign that speaks most plainly against a kind, when the card shows it
STRONGEST = ("reading", "speed", "place", "look", "history")

CURES = (
    ("general", "clean, paint, and renew it when it is thin"),
    ("crevice", "open the gap so that clean water washes the metal, or seal it dry"),
    ("galvanic", "part the two metals, or bond both and give them an anode"),
    ("stray", "find the circuit that leaks, and mend it"),
)


def drawn_case(draw: Draw, kinds: tuple[str, ...], shown: tuple[str, ...]) -> Mapping[str, Value]:
    """Draw a kind and a sentence for each sign shown."""
    kind = draw.choice("kind", kinds)
    signs: dict[str, Value] = {sign: draw.choice(f"sign {sign}", SIGNS[kind][sign]) for sign in shown}
    return {"true_kind": kind, **signs}


def card_of(shown: tuple[str, ...], task: Task) -> Table:
    """Return the case card with the signs of one learner's case."""
    rows = tuple((TITLES[sign], task.word(sign)) for sign in shown)
    return Table("The case (invented)", ("sign", "what was found"), rows)


def against(guess: str, shown: tuple[str, ...], task: Task) -> str:
    """Say which sign on the card speaks against a kind that was guessed."""
    true = task.word("true_kind")
    telling = [sign for sign in STRONGEST if sign in shown and not _shared(guess, true, sign)]
    sign = telling[0] if telling else shown[0]
    return f"{EXPECTED[guess][sign]}; here the card says: {task.word(sign)}."


def speaking_for(shown: tuple[str, ...], task: Task) -> str:
    """Say which sign on the card speaks most plainly for the true kind."""
    sign = next(sign for sign in STRONGEST if sign in shown)
    return f"{EXPECTED[task.word('true_kind')][sign]}; the card says: {task.word(sign)}."


def _shared(one: str, other: str, sign: str) -> bool:
    """Whether a sign does not tell two kinds apart."""
    alike = {"speed": {frozenset({"crevice", "galvanic"})}, "reading": {frozenset({"crevice", "general"})}}
    return frozenset({one, other}) in alike.get(sign, set())
