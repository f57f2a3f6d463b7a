"""05.5 and 05.6: a year of one boat as the engine has it, and a year of readings as somebody kept them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from course.boats.craft import craft_of
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.engine.constants import ZERO_CELSIUS
from course.engine.seasons import Spell, Voyage, sail
from course.engine.weather import DAY, WaterYear
from graders.exercise import Exercise, Table
from graders.exercises.module_05.common import FASTER, HALF, MODULE, SLOWER
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

Array = NDArray[np.float64]
SEEN_DAYS = (0, 60, 120, 180)
WATCHED, OTHER = "hull_anode", "hanging_anode"
AFLOAT_DAYS = 900.0
LATER_DAYS = 65  # after the hanging anode is gone the hull anode is looked at up to this day
SWING_K = 6.0  # summer over winter, invented for this harbour
STARTS = {"1 April": 90.0, "1 June": 151.0, "1 October": 273.0}


def _draw_season(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "start": draw.choice("start", tuple(STARTS)),
        "hours": draw.number("hours", 0.2, 2.0, 1),
    }


def _voyage(task: Task) -> tuple[Voyage, tuple[str, ...]]:
    """Return the boat's years and the ids of her patches; her anodes as they are on the first day count as new."""

    def work() -> tuple[Voyage, tuple[str, ...]]:
        craft, ids = craft_of(task.plan)
        berth = task.plan.berth
        year = WaterYear(
            temperature=berth.temperature_degC + ZERO_CELSIUS,
            salinity=berth.salinity,
            temperature_swing=SWING_K,
            flow=berth.flow_m_per_s,
        )
        spell = Spell(AFLOAT_DAYS, hours_under_way=task.number("hours"), speed=3.0)
        start, other = STARTS[task.word("start")] * DAY, ids.index(OTHER)

        def enough(time: float, gone_at: Array) -> bool:
            """Return whether all that is asked of the voyage lies behind."""
            last = max(SEEN_DAYS[-1] * DAY, gone_at[other] - start + LATER_DAYS * DAY)
            return bool(time - start > last)

        return sail(craft, year, [spell], start, enough), ids

    return task.once("voyage", work)


def _mass_g(task: Task, day: float, anode: str = WATCHED) -> float:
    """Return an anode's mass [g], to the nearest 10 g as a scale shows it."""
    voyage, ids = _voyage(task)
    kilograms = np.interp(day * DAY + voyage.time[0], voyage.time, voyage.mass[:, ids.index(anode)])
    return 10.0 * round(100.0 * float(kilograms))


def _log(task: Task) -> Table:
    lines = tuple(
        (f"{day}", f"{_mass_g(task, day):.0f}", f"{_mass_g(task, day, OTHER):.0f}") for day in SEEN_DAYS
    )
    title = f"{task.plan.boat.name}, new anodes on {task.word('start')}, weighed by a diver"
    return Table(title, ("day", "hull anode, g", "hanging anode, g"), lines)


def _rate(task: Task) -> float:
    return (_mass_g(task, SEEN_DAYS[0]) - _mass_g(task, SEEN_DAYS[-1])) / (SEEN_DAYS[-1] - SEEN_DAYS[0])


def _left(task: Task) -> float:
    return _mass_g(task, SEEN_DAYS[-1]) - HALF * _mass_g(task, 0)


def _gone_day(task: Task) -> float:
    """Return the day on which the hanging anode is used up."""
    voyage, ids = _voyage(task)
    return float((voyage.gone_at[ids.index(OTHER)] - voyage.time[0]) / DAY)


def _after_over_before(task: Task) -> float:
    """How many times as fast the hull anode goes in the two months after the hanging one is gone as in the two before."""
    gone = _gone_day(task)
    before = _mass_g(task, gone - 60) - _mass_g(task, gone)
    return (_mass_g(task, gone + 5) - _mass_g(task, gone + LATER_DAYS)) / before


def _teaches(task: Task) -> bool:
    gone = _gone_day(task)
    worn = _left(task) > 0.1 * _mass_g(task, 0) and _rate(task) > 0.5
    return (
        worn
        and SEEN_DAYS[-1] < gone < AFLOAT_DAYS - 70
        and _mass_g(task, gone + LATER_DAYS) > 100
        and _after_over_before(task) > 1.15
    )


SEASON = Exercise(
    id="05.5",
    module=MODULE,
    title="Half a year of weighings",
    kind="forecast",
    objectives=("05.forecast",),
    prompt="The table is what the simulation gives for {boat}, afloat at {marina} and {hours:g} hours a day under way. Make a forecast "
    "for the hull anode: "
    "it is replaced at half, and the coming rate 0.7 to 1.2 of the one so far (common practice, no source).",
    draw=_draw_season,
    tables=(_log,),
    teaches=_teaches,
    parts=(
        NumberPart(
            "rate",
            "The hull anode's mean loss over the whole half year",
            "g/day",
            2,
            _rate,
            (
                Wrong(
                    "last_mass",
                    lambda t: _mass_g(t, 180) / 180,
                    "You divided what is left. The loss is the first mass less the last mass.",
                ),
                Wrong(
                    "other_anode",
                    lambda t: (_mass_g(t, 0, OTHER) - _mass_g(t, 180, OTHER)) / 180,
                    "That is the hanging anode's loss. Use the column of the hull anode.",
                ),
                Wrong(
                    "days_of_one_row",
                    lambda t: (_mass_g(t, 0) - _mass_g(t, 180)) / 60,
                    "You divided by 60 days; from the first row to the last it is 180.",
                ),
            ),
            how="First mass less last mass of the hull anode, over 180 days.",
            share=0.015,
            decimals=2,
        ),
        NumberPart(
            "earliest",
            "Days from the last weighing to half, at the earliest",
            "days",
            2,
            lambda t: _left(t) / (FASTER * t.earlier("rate")),
            (
                Wrong(
                    "at_this_rate",
                    lambda t: _left(t) / t.earlier("rate"),
                    "That is at the rate so far. At the earliest it goes 1.2 times as fast: divide by 1.2.",
                ),
                Wrong(
                    "slow_end",
                    lambda t: _left(t) / (SLOWER * t.earlier("rate")),
                    "That is the latest: a slower rate makes it last longer.",
                ),
                Wrong(
                    "to_nothing",
                    lambda t: _mass_g(t, 180) / (FASTER * t.earlier("rate")),
                    "That is until nothing is left. It is replaced at half of its first mass.",
                ),
            ),
            how="Last mass less half of the first one, over 1.2 times your rate.",
            share=0.02,
            decimals=0,
        ),
        ChoicePart(
            "after",
            "When the hanging anode is used up, the hull anode",
            2,
            (
                ("faster", "goes faster: it has to give the other one's share too"),
                ("same", "goes on as before: each anode has its own metals"),
                ("slower", "goes slower: there is less anode in the water"),
            ),
            lambda t: "faster" if _after_over_before(t) > 1 else "slower",
            {
                "same": "All bonded metals share all anodes. What one no longer gives, the others are asked for.",
                "slower": "There is less anode, yes. But the metals ask for as much as before, and now the hull anode gives the "
                "other one's share too.",
            },
            how="The bonded metals ask for the current, and they have not changed. Who is left to give it?",
        ),
    ),
    method=lambda t: (
        f"{_rate(t):.2f} g a day; {_left(t):.0f} g above half: "
        f"{_left(t) / FASTER / _rate(t):.0f} to {_left(t) / SLOWER / _rate(t):.0f} days.",
        f"In the simulation the hanging anode is used up on day {_gone_day(t):.0f}, and the hull anode then goes "
        f"{_after_over_before(t):.1f} times as fast. "
        "So a forecast holds only as long as nothing else changes.",
    ),
    hints=(
        "Use the hull anode's column, the first and the last row.",
        "It is replaced at half of the first mass. The fast rate gives the earliest day.",
        "Rate = (first - last) / 180. Days = (last - half of first) / (1.2 x rate). When one anode is gone the metals still ask "
        "for as much, so the other gives more.",
    ),
)

CAUSES = (
    ("worn", "the anodes are used up"),
    ("lead", "an anode's lead has come off: the anodes hardly waste any more"),
    ("plugged", "she has been plugged in beside neighbours without anodes"),
    ("water", "the river has freshened the water"),
)
NAMED = dict(CAUSES)
MONTHS = ("April", "May", "June", "July", "August", "September")


def _draw_log(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "cause": draw.choice("cause", tuple(NAMED)),
        "base": draw.number("base", -960, -890, 0),
        "kg": draw.number("mass", 3.2, 5.6, 1),
        "wear": draw.number("wear", 0.12, 0.2, 2),
        "since": draw.number("since", 2, 3, 0),
        "sea": draw.number("sea", 3.6, 4.2, 1),
    }


def _months(task: Task) -> list[tuple[float, float, float]]:
    """Hull potential [mV], anode mass [kg] and conductivity [S/m] month by month; invented, by what each cause does."""
    cause, since, mass = task.word("cause"), task.number("since"), task.number("kg")
    rows = []
    for month in range(len(MONTHS)):
        on = max(0.0, month - since)
        reading, wear, water = task.number("base"), task.number("wear"), task.number("sea")
        if cause == "worn":
            mass_there = task.number("kg") * (1 - 0.95 * min(1.0, (month / 5) ** 0.8))
            rows.append((reading + (0 if month < 3 else 70 * (month - 2)), mass_there, water))
            continue
        if cause == "lead" and on:
            reading, wear = reading + 190 + 15 * on, wear * 0.15
        if cause == "plugged" and on:
            reading, wear = reading + 35, wear * 4
        if cause == "water" and on:
            reading, wear, water = reading + 90, wear * 0.5, water * 0.2
        rows.append((reading, mass, water))
        mass -= wear
    return rows


def _readings(task: Task) -> Table:
    lines = tuple(
        (name, f"{mv:.0f}", f"{kg:.2f}", f"{water:.1f}")
        for name, (mv, kg, water) in zip(MONTHS, _months(task), strict=True)
    )
    return Table(
        "A boat's book (invented): first of each month",
        (
            "month",
            "hull potential, mV against silver/silver-chloride",
            "all anodes, kg",
            "conductivity of the water, S/m",
        ),
        lines,
    )


def _against(guess: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        rows = _months(task)
        (first_mV, first_kg, first_S), (last_mV, last_kg, last_S) = rows[0], rows[-1]
        signs = {
            "worn": f"Anodes that are used up weigh next to nothing. In September there are still {last_kg:.2f} of {first_kg:.2f} kg.",
            "lead": "With its lead off an anode stops wasting, and the reading jumps by some two hundred millivolts. Look at "
            "the kilograms: "
            f"{first_kg:.2f} in April, {last_kg:.2f} in September; the reading went from {first_mV:.0f} to {last_mV:.0f} mV.",
            "plugged": "Plugged in beside bare neighbours, anodes go several times as fast while the reading hardly moves. "
            "Compare the loss of "
            f"the last months with that of the first: {rows[0][1] - rows[1][1]:.2f} kg in April, {rows[4][1] - rows[5][1]:.2f} kg "
            f"in August.",
            "water": f"Fresher water conducts less. This water had {first_S:.1f} S/m in April and {last_S:.1f} in September.",
        }
        return signs[guess]

    return says


def _not_then(cause: str) -> Callable[[Task], str]:
    return lambda task: (
        f"That would help if the cause were: {NAMED[cause]}. You found: {NAMED[task.chosen('cause')]}. What mends that?"
    )


LOGGED = Exercise(
    id="05.6",
    module=MODULE,
    title="A boat's book",
    kind="diagnose",
    objectives=("05.what_eats",),
    prompt="A careful owner shows you the book of a summer. Something changed. What was it?",
    draw=_draw_log,
    tables=(_readings,),
    parts=(
        ChoicePart(
            "cause",
            "What happened",
            3,
            CAUSES,
            lambda t: t.word("cause"),
            {cause: _against(cause) for cause in NAMED},
            how="Read the three columns together: reading, kilograms, water. Which of them changed, and which did not?",
        ),
        ChoicePart(
            "then",
            "What do you do",
            1,
            (
                ("worn", "fit new anodes, and look earlier next year"),
                ("lead", "find and remake the lead, and read again"),
                ("plugged", "unplug, read again, and have the isolator tested"),
                ("water", "wait for the usual water before you judge"),
            ),
            lambda t: t.chosen("cause"),
            {cause: _not_then(cause) for cause in NAMED},
            how="Do what follows from what you found.",
            named={cause: f"then_{cause}" for cause in NAMED},
        ),
    ),
    method=lambda t: (
        "Reading jumps and mass stays: lead. Reading creeps and mass is gone: worn out. Mass falls fast and the reading hardly "
        "moves: shore lead. "
        "All change with the water: water.",
        f"Here: {NAMED[t.word('cause')]}.",
    ),
    hints=(
        "Did the conductivity change? Then look at the reading and the kilograms together.",
        "Did the kilograms go on falling as before, faster, or hardly at all? Did the reading jump, creep, or stay?",
        "Reading jumps, mass stays: a lead is off. Reading creeps up, mass near nothing: used up. Mass falls fast, reading "
        "stays: plugged in beside others. Conductivity falls too: the river.",
    ),
)
