"""02.6: the fastening for a plate, where it lies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_02.common import MODULE
from graders.metals import label, pick, published_mV
from graders.parts import ChoicePart
from graders.task import Task


@dataclass(frozen=True)
class Job:
    """What is to be held, and where; ``good`` suits, and each of ``bad`` fails for a reason named in REASONS."""

    plate: str
    place: str
    good: tuple[str, ...]
    bad: Mapping[str, str]


JOBS = {
    "bronze_in_wood": Job(
        "manganese_bronze",
        "below the water on an oak keel, its screws deep in wet wood",
        ("silicon_bronze", "nickel_aluminium_bronze"),
        {
            "galvanised_steel": "less_noble",
            "mild_steel": "less_noble",
            "stainless_304_passive": "starved",
            "aluminium_6082": "less_noble",
        },
    ),
    "aluminium_deck": Job(
        "aluminium_6082",
        "on deck in the spray, each screw bedded and washed by rain",
        ("stainless_316_passive",),
        {
            "naval_brass": "copper",
            "silicon_bronze": "copper",
            "carbon_fibre": "too_noble",
            "copper": "copper",
        },
    ),
    "steel_below": Job(
        "mild_steel",
        "below the water, bare steel on bare steel",
        ("low_alloy_steel",),
        {
            "zinc_anode": "less_noble",
            "aluminium_6082": "less_noble",
            "stainless_304_passive": "starved",
            "galvanised_steel": "less_noble",
        },
    ),
    "bronze_seacock": Job(
        "silicon_bronze",
        "below the water, where a flange is bolted through a fibreglass hull",
        ("nickel_aluminium_bronze", "silicon_bronze"),
        {
            "mild_steel": "less_noble",
            "stainless_304_passive": "starved",
            "galvanised_steel": "less_noble",
            "aluminium_6082": "less_noble",
        },
    ),
}
REASONS = {
    "less_noble": "{screw} is less noble than {plate_name}: the screw is the small part and would take all of the attack of the "
    "large one.",
    "starved": "Down there no oxygen reaches the shank of the screw. Stainless steel loses its film and corrodes unseen, where it "
    "is needed.",
    "copper": "{screw} holds copper. The spray carries copper ions onto {plate_name}; they settle there as metal and pit it.",
    "too_noble": "{screw} is among the noblest metals there are. All round the screw {plate_name} would be eaten.",
}


OPTIONS = ("a", "b", "c", "d")


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    name = draw.choice("job", tuple(JOBS))
    job = JOBS[name]
    good = draw.choice("good", job.good)
    bad = pick(draw, "bad", tuple(job.bad), 3)
    return {"job": name, "options": pick(draw, "order", (good, *bad), 4), "good": good}


def _named(metal: str) -> str:
    """Return what a screw is made of, as one would say it in a shop."""
    return "carbon fibre" if metal == "carbon_fibre" else label(metal)


def _words(task: Task) -> Mapping[str, Value]:
    job = JOBS[task.word("job")]
    options = {f"option_{k}": _named(metal) for k, metal in zip(OPTIONS, task.words("options"), strict=True)}
    return {"plate_name": label(job.plate), "place": job.place, **options}


def _screw(task: Task, option: str) -> str:
    return task.words("options")[OPTIONS.index(option)]


def _wrong(option: str, task: Task) -> str:
    metal, job = _screw(task, option), JOBS[task.word("job")]
    return REASONS[job.bad[metal]].format(screw=_named(metal), plate_name=label(job.plate))


def _truth(task: Task) -> str:
    return OPTIONS[task.words("options").index(task.word("good"))]


FASTENINGS = Exercise(
    id="02.6",
    module=MODULE,
    title="What holds it",
    kind="choose",
    objectives=("02.choose",),
    prompt="A plate of {plate_name} is to be fastened {place}. There are four kinds of screws in the drawer.",
    draw=_draw,
    words=_words,
    teaches=lambda t: published_mV(t.word("good")) > published_mV(JOBS[t.word("job")].plate) - 60,
    parts=(
        ChoicePart(
            "screw",
            "Take the screws of",
            2,
            tuple((option, f"{{option_{option}}}") for option in OPTIONS),
            _truth,
            {option: partial(_wrong, option) for option in OPTIONS},
            how="Ask which one is not less noble than the plate, keeps its film there, and brings no copper to aluminium.",
            why="It is not less noble than the plate, it stays so where it sits, and it does the plate no harm.",
            named={option: f"screw_{option}" for option in OPTIONS},
        ),
        ChoicePart(
            "rule",
            "Because",
            2,
            (
                (
                    "small_noble",
                    "the small part should be at least as noble as the large one, and stay so where it sits",
                ),
                ("strongest", "the strongest metal should hold the plate"),
                ("sacrifice", "a screw that is less noble protects the plate"),
                ("shiny", "what does not rust in air does not rust below the water"),
            ),
            lambda t: "small_noble",
            {
                "strongest": "Strength is needed. But the strongest screw holds nothing once its shank is eaten away.",
                "sacrifice": "A less noble screw protects {plate_name} for as long as it lasts. A screw is not an anode: it has to hold.",
                "shiny": "In air and rain oxygen mends the film all the time. Here the question is another: {place}.",
            },
            how="Think of which part is small, and what happens to the small part when it is the less noble one.",
            why="A small part that is less noble takes the whole attack that the large one drives.",
        ),
    ),
    method=lambda t: (
        f"The plate is of {label(JOBS[t.word('job')].plate)}, {JOBS[t.word('job')].place}.",
        f"Of the four, {label(t.word('good'))} is not less noble, keeps its surface there, and brings nothing harmful along.",
    ),
    hints=(
        "The screw is the small part. What should it be beside the plate: nobler, or less noble?",
        "Stainless steel is noble only where oxygen reaches it. Copper and aluminium do not go together.",
        "Strike out every screw that is less noble than the plate, stainless where no oxygen comes, copper, bronze or brass on "
        "aluminium, and carbon anywhere. One is left.",
    ),
)
