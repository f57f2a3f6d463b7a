"""08.2 and 08.3: the survey of a whole boat with several things wrong, at the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from course.boats.afloat import Afloat, Setting
from course.boats.description import COMMON_POINT
from course.boats.draws import Draw
from course.boats.faults import Fault, candidates
from course.boats.hunts import BILGE, BONDS
from course.boats.plan import SlipPlan, Value
from course.boats.wording import capital
from course.instruments.points import member_of
from course.instruments.replay import Reading
from course.instruments.state import CLIPPED, first_state
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_08.common import MODULE
from graders.hands import Example, Hands
from graders.hunt.part import INSTRUMENTS, way_of
from graders.judging import part
from graders.marks import PartMark
from graders.metals import pick
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart, SeveralPart
from graders.task import Task

SLOTS = ("a", "b", "c", "d", "e", "f")
LISTED = (*BONDS, "anode_gone", "anode_painted", "anode_wrong_alloy", *BILGE)
PLAIN_mV = 12.0  # a finding changes some reading by at least this much
FEWEST_POINTS = 5  # of different fittings, against the common bonding point or the cell
URGENT = {
    "bilge": 0,
    "onto_metal": 0,
    "ashore": 1,
    "anode": 2,
    "metal": 2,
    "bond": 3,
}  # what eats in days first; ours


def _draw(draw: Draw, plan: SlipPlan) -> Mapping[str, Value]:
    """The true findings and others that this boat could have, in a drawn order."""
    true = tuple(fault.id for fault in plan.faults)
    used = {name for fault in plan.faults for name in (fault.id, fault.part)}
    others = [f for f in candidates(plan.boat) if f.kind in LISTED and not used & {f.id, f.part}]
    part = {f.id: f.part for f in others}
    shuffled = pick(draw, "others", tuple(part), len(part))
    one_each = {
        part[name]: name for name in reversed(shuffled)
    }  # two of one part could not both be true: both would be out
    false = [name for name in shuffled if name in one_each.values()][: len(SLOTS) - len(true)]
    return {"findings": pick(draw, "order", (*true, *false), len(SLOTS))}


def _known(task: Task) -> dict[str, Fault]:
    """Every finding of the list by id; the true ones at their own severity."""
    return task.once("known", lambda: {f.id: f for f in (*candidates(task.plan.boat), *task.plan.faults)})


def _fault(task: Task, slot: str) -> Fault:
    return _known(task)[task.words("findings")[SLOTS.index(slot)]]


def _true(task: Task) -> frozenset[str]:
    ids = {fault.id for fault in task.plan.faults}
    return frozenset(slot for slot in SLOTS if _fault(task, slot).id in ids)


def _readings(afloat: Afloat, off: bool) -> dict[str, float]:
    """The voltage of every clip point [mV], as found or with everything off."""
    setting: Setting = first_state(afloat).setting
    if off:
        setting = setting._replace(
            open_breakers=frozenset(c.id for c in afloat.plan.boat.circuits), battery_on=False
        )
    moment = afloat.steady(setting)
    found = {
        p.at: afloat.voltage(moment, p.at)
        for p in afloat.plan.boat.clip_points
        if not p.at.startswith("battery")
    }
    return {at: 1000 * volts for at, volts in found.items() if volts is not None}


def _differs(one: Afloat, other: Afloat) -> float:
    """How far the readings of two boats differ at the most [mV]."""
    worst = 0.0
    for off in (False, True):
        here, there = _readings(one, off), _readings(other, off)
        if set(here) != set(there):
            return float("inf")
        worst = max(worst, *(abs(here[at] - there[at]) for at in here))
    return worst


def _teaches(task: Task) -> bool:
    """Each true finding shows beside the others, and each false one would."""
    plan, whole = task.plan, task.afloat
    without = (
        plan.model_copy(update={"faults": tuple(f for f in plan.faults if f.id != own.id)})
        for own in plan.faults
    )
    false = (_fault(task, slot) for slot in SLOTS if slot not in _true(task))
    having = (plan.model_copy(update={"faults": (*plan.faults, other)}) for other in false)
    ranks = sorted(URGENT[way_of(fault.kind)] for fault in plan.faults)
    return ranks[0] < ranks[1] and all(
        _differs(whole, Afloat(other)) > PLAIN_mV for other in (*without, *having)
    )


def _shift(task: Task, slot: str) -> tuple[str, float, bool] | None:
    """What a finding beside the true ones would move most: the clip point, by how much [mV], and whether with everything off."""
    plan = task.plan
    having = Afloat(plan.model_copy(update={"faults": (*plan.faults, _fault(task, slot))}))
    moved = []
    for off in (False, True):
        here, there = _readings(task.afloat, off), _readings(having, off)
        moved += [(at, there[at] - here[at], off) for at in here if at in there]
    return max(moved, key=lambda one: abs(one[1])) if moved else None


def _plain(mV: float) -> str:
    """Return a difference as a meter's user would say it."""
    return f"{mV:.0f} mV" if mV < 1000.0 else f"{mV / 1000.0:.1f} V"


def _sound(slot: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        found = task.once(f"shift {slot}", lambda: _shift(task, slot))
        trace = _fault(task, slot).traces[0]
        if found is None or abs(found[1]) <= PLAIN_mV:
            return f"Not {slot}. {trace} She shows nothing of the kind."
        at, moved, off = found
        when = "with everything off" if off else "as found"
        way = "less" if moved > 0 else "more"
        return (
            f"Not {slot}. {trace} If that were so as well, the {task.plan.boat.label(at)} would read about {_plain(abs(moved))} "
            f"{way} negative {when} than it does. What you saw has other causes."
        )

    return says


def _left(slot: str) -> Callable[[Task], str]:
    return lambda task: f"You left out {slot}. {_fault(task, slot).traces[0]} Go back and measure it."


def _first(task: Task) -> str:
    return min(_true(task), key=lambda slot: URGENT[way_of(_fault(task, slot).kind)])


def _not_first(slot: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        if slot not in _true(task):
            title = _fault(task, slot).title
            return f"{capital(title)}: that is not wrong with her. Rank only what is true of her."
        return (
            "That one is true, but it can wait longer than another. What a battery eats goes in days, what lacks an anode in months, "
            "a single metal off its bond later."
        )

    return says


def _clipped(reading: Reading) -> set[str]:
    return {
        str(reading.state.leads[name].point)
        for name in CLIPPED
        if reading.state.leads[name].point and reading.state.leads[name].jack
    }


def _wrong_with(case: Case, meter: list[Reading], points: set[str]) -> list[Mistake]:
    """Everything that a survey by these readings of the meter leaves to be wished for."""
    found = first_state(case.afloat).setting
    as_found = [r for r in meter if r.state.setting == found and COMMON_POINT in _members(case, r)]
    off = [r for r in meter if _dead(case, r)]
    if not meter:
        return [Mistake("no_reading", "The logbook holds no reading of this boat. A survey is measured.")]
    wrong = []
    if not as_found:
        says = "The logbook holds no reading at the common bonding point with everything as found. That is the baseline: take it first."
        wrong.append(Mistake("no_baseline", says))
    if len(points) < FEWEST_POINTS:
        says = (
            f"The logbook holds readings at {len(points)} fitting{'s' * (len(points) != 1)} beside the common bonding point, and "
            f"only what is recorded counts. Go from metal to metal, at least {FEWEST_POINTS}."
        )
        wrong.append(Mistake("too_few_metals", says))
    if not off:
        says = "You read nothing with all off, the fuses ahead of the battery switch too. So a stray current could not show itself."
        wrong.append(Mistake("never_all_off", says))
    if any(state.setting.mended for state in case.replay.states):
        says = (
            "You mended something. A survey leaves her as she was found: the evidence belongs to the owner."
        )
        wrong.append(Mistake("mended_in_a_survey", says))
    if case.replay.states and _switched(case.replay.states[-1].setting) != _switched(found):
        says = "She was not left as she was found. Put every breaker, switch, link and anode back, the bilge pump before all else."
        wrong.append(Mistake("not_put_back", says))
    return wrong


def _switched(setting: Setting) -> Setting:
    """Return what a survey puts back: everything but what was mended."""
    return setting._replace(mended=frozenset())


def _dead(case: Case, reading: Reading) -> bool:
    """Return whether a reading was taken with every circuit dead: by its breaker, or by the battery switch if it is behind it."""
    setting = reading.state.setting
    live = {c.id for c in case.afloat.plan.boat.circuits if setting.battery_on or c.feed == "battery"}
    return setting.open_breakers >= live


def _members(case: Case, reading: Reading) -> set[str]:
    """The metals that the leads in use are clipped to."""
    return {member_of(case.afloat.plan.boat, point) for point in _clipped(reading)}


def _judge_method(case: Case) -> tuple[PartMark, ...]:
    meter = [r for r in case.taken if r.instrument == "meter"]
    points = {member for r in meter for member in _members(case, r)} - {COMMON_POINT}
    done, wrong = f"{len(meter)} readings at {len(points)} fittings.", _wrong_with(case, meter, points)
    share = max(0.0, 1 - len(wrong) / 4) if meter else 0.0
    return (part("method", "How the survey was made", 4, done, wrong[0] if wrong else None, done, share),)


def _survey(
    hands: Hands,
    points: int = 99,
    off: bool = True,
    baseline: bool = True,
    mend: bool = False,
    back: bool = True,
) -> Mapping[str, object]:
    boat, slip = hands.task.plan.boat, hands.slip
    hands.set_up(dial="auto V", point=COMMON_POINT if baseline else None)
    if baseline:
        slip.record()
    done = [COMMON_POINT]
    for point in boat.clip_points:
        if point.at not in (*done, "battery_positive") and len(done) <= points:
            slip.clip(point.id)
            slip.record()
            done.append(point.at)
    if off:
        slip.battery_switch(False)
        on = [c.id for c in boat.circuits if c.id not in slip.state.setting.open_breakers]
        for circuit in on:
            slip.breaker(circuit, False)
        slip.wait(60)
        slip.record()
        if back:
            slip.battery_switch(hands.task.plan.start.battery_on)
            for circuit in on:
                slip.breaker(circuit, True)
    if mend:
        slip.mend(hands.task.plan.faults[0].part)
    return {}


LIST = tuple((slot, f"{slot}: {{finding_{slot}}}") for slot in SLOTS)
METHOD = JudgedPart(
    (),
    4,
    _judge_method,
    ("no_reading", "no_baseline", "too_few_metals", "never_all_off", "mended_in_a_survey", "not_put_back"),
)
FINDINGS = SeveralPart(
    "findings",
    "Which of these are true of her",
    6,
    LIST,
    _true,
    {slot: _sound(slot) for slot in SLOTS},
    {slot: _left(slot) for slot in SLOTS},
)
FIRST = ChoicePart(
    "first",
    "Which of the true ones comes first",
    2,
    LIST,
    _first,
    {slot: _not_first(slot) for slot in SLOTS},
    how="Days before months, months before years.",
)
HINTS = (
    "Read every metal as found and record it. Which ones differ from the common bonding point?",
    "All off, the fuses ahead of the battery switch too. What moves? That is a battery's work.",
    "Go through the list. A parted or corroded bond: that metal differs. An anode gone or painted: all less negative. A wet "
    "wire: it moves with its switch, and comes first. Strike out what does not show, and put everything back.",
)
EXAMPLES = (
    Example("method", "no_baseline", partial(_survey, baseline=False)),
    Example("method", "too_few_metals", partial(_survey, points=2)),
    Example("method", "never_all_off", partial(_survey, off=False)),
    Example("method", "mended_in_a_survey", partial(_survey, mend=True)),
    Example("method", "not_put_back", partial(_survey, back=False)),
    Example("method", "no_reading", lambda _hands: {}),
)


def _method(task: Task) -> tuple[str, ...]:
    true = (f"True: {fault.title}. {fault.traces[0]}" for fault in task.plan.faults)
    return ("Baseline as found; metal by metal; all off; then back as she was.", *true)


def _exercise(name: str, title: str, family: str, prompt: str) -> Exercise:
    return Exercise(
        id=name,
        module=MODULE,
        title=title,
        kind="diagnose",
        objectives=("08.survey", "08.rank"),
        bench=True,
        family=family,
        instruments=INSTRUMENTS,
        prompt=prompt,
        draw=_draw,
        words=lambda t: {f"finding_{slot}": _fault(t, slot).title for slot in SLOTS},
        teaches=_teaches,
        parts=(METHOD, FINDINGS, FIRST),
        method=_method,
        hints=HINTS,
        hands=_survey,
        examples=EXAMPLES,
    )


TWO = _exercise(
    "08.2",
    "A survey: two things wrong",
    "two_faults",
    "Survey {boat}, the {kind}, at {marina} in {water}. Two things are wrong with her. Measure, and say which of the six; leave "
    "her as you found her.",
)
THREE = _exercise(
    "08.3",
    "A survey: more than two",
    "three_faults",
    "Survey {boat}, the {kind}, at {marina} in {water}. Several things are wrong with her, and one may hide another. Say which of "
    "the six are true, and "
    "which comes first; leave her as you found her.",
)
