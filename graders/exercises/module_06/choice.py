"""06.4: isolator or transformer, for this boat."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from graders.exercise import Exercise
from graders.exercises.module_06.common import MODULE
from graders.parts import ChoicePart
from graders.task import Task


@dataclass(frozen=True)
class Owner:
    """Whom to advise; what is best, and why the others are not."""

    words: str
    best: str
    why: str
    wrong: Mapping[str, str]


OWNERS = {
    "light": Owner(
        "a light racing boat, plugged in at week-ends in a dock of bronze-fitted boats; every kilogram counts",
        "isolator",
        "little weight",
        {
            "transformer": "It would do the work, but with tens of kilograms that she does not want, against some tenths of a volt.",
            "nothing": "Whenever she is plugged in the safety earth joins her to the dock, and her metal pays.",
        },
    ),
    "aluminium": Owner(
        "an aluminium workboat, plugged in day and night in a dock where stray batteries have been found twice",
        "transformer",
        "any voltage",
        {
            "isolator": "It holds off 1.2 V. A stray 12 V walks through it, and aluminium is eaten fast.",
            "nothing": "Of all boats aluminium can least afford to be joined to a dock.",
        },
    ),
    "never": Owner(
        "a boat on a swinging mooring, charged by the sun, that has no shore inlet",
        "nothing",
        "no lead",
        {
            "isolator": "It sits in the safety earth of a shore lead. She has no shore lead.",
            "transformer": "A transformer passes shore power on. She has none.",
        },
    ),
    "heavy": Owner(
        "a heavy steel motor yacht, plugged in all year with many chargers whose leakage keeps an isolator's diodes conducting",
        "transformer",
        "any voltage",
        {
            "isolator": "Her chargers' leakage keeps its diodes in conduction, and direct current slips through.",
            "nothing": "Plugged in all year, she feeds the dock or is fed by it, with nothing in between.",
        },
    ),
    "small": Owner(
        "a small fibreglass cruiser with little money, plugged in for the winter among other small cruisers",
        "isolator",
        "little weight",
        {
            "transformer": "It would do the work at many times the price, against some tenths of a volt.",
            "nothing": "All winter her anodes would work for the neighbours.",
        },
    ),
}
ASKS = {
    "isolator": "what does it hold off, and what does it weigh and cost?",
    "transformer": "what does it stop that an isolator does not?",
    "nothing": "what would either of them sit in?",
}
DEVICES = (
    ("isolator", "a galvanic isolator"),
    ("transformer", "an isolation transformer"),
    ("nothing", "neither"),
)
REASONS = (
    ("little weight", "it holds off the tenths of a volt there are, and is light and cheap"),
    ("any voltage", "it stops direct current at any voltage, which is worth its mass and price here"),
    ("no lead", "without a shore lead there is nothing to put it into"),
)


def _not_it(device: str) -> Callable[[Task], str]:
    return lambda task: OWNERS[task.word("owner")].wrong[device]


def _reason(task: Task) -> str:
    return {"isolator": "little weight", "transformer": "any voltage", "nothing": "no lead"}[
        task.chosen("device")
    ]


def _not_reason(task: Task) -> str:
    return f"That speaks for another choice. You advised {dict(DEVICES)[task.chosen('device')]}: {ASKS[task.chosen('device')]}"


CHOICE = Exercise(
    id="06.4",
    module=MODULE,
    title="Which one for whom",
    kind="choose",
    objectives=("06.choose",),
    prompt="You advise the owner of {owner_words}. A licensed person will fit it, to the local code.",
    draw=lambda draw, _plan: {"owner": draw.choice("owner", tuple(OWNERS))},
    words=lambda t: {"owner_words": OWNERS[t.word("owner")].words},
    parts=(
        ChoicePart(
            "device",
            "You advise",
            2,
            DEVICES,
            lambda t: OWNERS[t.word("owner")].best,
            {device: _not_it(device) for device, _ in DEVICES},
            how="Ask how many volts there are to stop, what it may weigh, and whether there is a shore lead at all.",
        ),
        ChoicePart(
            "reason",
            "Because",
            1,
            REASONS,
            _reason,
            {reason: _not_reason for reason, _ in REASONS},
            how="Name what weighed most.",
            named={
                "little weight": "reason_weight",
                "any voltage": "reason_voltage",
                "no lead": "reason_no_lead",
            },
        ),
        ChoicePart(
            "who",
            "Who fits it",
            1,
            (
                ("licensed", "a licensed person, to the local code"),
                ("owner", "the owner, with the shore lead unplugged"),
                ("you", "you, for you have understood it"),
            ),
            lambda t: "licensed",
            {
                "owner": "Anything in the safety earth is work for a licensed person. A bad joint there is found only when "
                "somebody is hurt.",
                "you": "Your part is to understand it. Work in the safety earth is for a licensed person.",
            },
            how="It sits in the safety earth.",
        ),
    ),
    method=lambda t: (
        f"{OWNERS[t.word('owner')].words}: {dict(DEVICES)[OWNERS[t.word('owner')].best]}.",
        "Fitted by a licensed person in every case.",
    ),
    hints=(
        "Is there a shore lead at all?",
        "Are tenths of a volt all there is to stop? Or 12 V, or leakage that keeps diodes conducting?",
        "No shore lead: neither. Tenths of a volt, and little weight or money: isolator. Stray batteries, or heavy AC leakage: "
        "transformer. A licensed person fits it.",
    ),
)
