"""04.2: a survey of the bonding afloat: which bond is bad, and what the ohmmeter says of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.description import COMMON_POINT
from course.instruments.meter import DIAL
from course.instruments.replay import Reading
from graders.bench import Act, shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_04.common import MODULE
from graders.hands import Example, Hands
from graders.judging import part
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart, RecordedPart
from graders.task import Task

STUDS = (
    ("rudder_port", "port rudder"),
    ("rudder_starboard", "starboard rudder"),
    ("strut_port", "port shaft strut"),
    ("strut_starboard", "starboard shaft strut"),
    ("trim_tab_port", "port trim tab"),
    ("trim_tab_starboard", "starboard trim tab"),
)
SOUND_mV, PLAIN_mV = 3.0, 15.0  # across a sound bond; across one that is plainly bad
KIT = ("digital multimeter", "two leads")


def _true_stud(task: Task) -> str:
    place = task.plan.faults[0].place
    return next(c.to for c in task.plan.boat.conductors if c.id == place)


def _acts(stud: str, dial: str = "200 mV", swapped: bool = False, quiet: bool = True) -> list[Act]:
    red, black = ("COM", "V") if swapped else ("V", "COM")
    return [
        *([("battery_switch", {"on": False})] if quiet else []),
        ("turn_dial", {"position": dial}),
        ("plug", {"lead": "test lead", "jack": red}),
        ("plug", {"lead": "long lead", "jack": black}),
        ("clip", {"point": COMMON_POINT, "lead": "long lead"}),
        ("clip", {"point": stud, "lead": "test lead", "scraped": True}),
    ]


def _mV_at(task: Task, stud: str) -> float:
    """What the meter shows from a stud to the common bonding point [mV]."""
    return task.once(f"at {stud}", lambda: float(shown_after(task.afloat, _acts(stud, "2 V")).text) * 1000)


def _points(reading: Reading) -> tuple[str | None, str | None]:
    """What the leads in V and in COM are clipped to."""
    state = reading.state
    red, black = state.lead_in("V"), state.lead_in("COM")
    return (state.leads[red].point if red else None, state.leads[black].point if black else None)


def _fault(case: Case, reading: Reading) -> Mistake | None:
    """Return what is wrong with how the voltage across a bond was taken."""
    dial = DIAL.get(reading.state.dial) if reading.state.meter == "digital" else None
    if dial is None or dial.what != "volts":
        return Mistake("not_volts", "The dial was not on DC volts. Across a bond you look for millivolts.")
    red, black = _points(reading)
    # Whoever names another fitting than the bad one has still taken it where it is asked for.
    asked = (case.given("which"), _true_stud(case.task))
    if red == COMMON_POINT and black in asked:
        return Mistake(
            "leads_swapped",
            "V was on the common bonding point and COM on the fitting, so the size is right and the sign is wrong. Swap the clips.",
        )
    if black != COMMON_POINT or red is None:
        return Mistake(
            "wrong_points",
            "One clip belongs on the common bonding point, in COM, and the other on the stud of the "
            "fitting, in V.",
        )
    if red not in asked:
        return Mistake("other_stud", "That was taken at another fitting than the one you name.")
    return None


def _surveyed(case: Case) -> dict[str, list[Reading]]:
    """The readings between the common bonding point and each stud."""
    names = {name for name, _ in STUDS}
    found: dict[str, list[Reading]] = {}
    for reading in case.taken:
        for stud in names & set(_points(reading)):
            if COMMON_POINT in _points(reading):
                found.setdefault(str(stud), []).append(reading)
    return found


def _quiet(reading: Reading) -> bool:
    """Return whether neither battery nor shore fed the boat."""
    return not (reading.state.setting.battery_on or reading.state.setting.shore_plugged)


def _judge_survey(case: Case) -> tuple[PartMark, ...]:
    found = _surveyed(case)
    left = [words for name, words in STUDS if name not in found]
    live = not all(any(_quiet(reading) for reading in readings) for readings in found.values())
    done, mistake, share = f"{len(found)} of {len(STUDS)} fittings were measured.", None, 0.0
    if not found:
        mistake = Mistake(
            "no_survey", "No reading between the common bonding point and a fitting stands in the logbook."
        )
    elif left:
        mistake = Mistake(
            "survey_not_whole",
            f"Not measured: {', '.join(left)}. The first bad bond need not be the only one.",
        )
        share = 0.5
    elif live:
        mistake = Mistake(
            "battery_left_on",
            "The battery was on, or the shore lead in, at some fittings. A load or a leak puts millivolts of its "
            "own on the bonding. Both off first, then every fitting again.",
        )
        share = 0.5
    return (part("survey", "A whole survey, battery off", 2, done, mistake, done, share),)


def _not_this_bond(stud: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        return (
            f"From the common bonding point to the {dict(STUDS)[stud]} the meter shows {abs(_mV_at(task, stud)):.0f} mV: that "
            f"bond is sound. "
            "Look for the fitting that differs by tens of millivolts or more."
        )

    return says


def _do(
    quiet: bool = True, studs: int = len(STUDS), answer: Callable[[Task], str] = _true_stud
) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        which, found = answer(hands.task), ""
        names = [name for name, _ in STUDS if name != which][: studs - 1]
        for stud in (*names, which):
            for action, args in _acts(stud, "2 V", quiet=quiet):
                hands.slip.act(action, args)
            found = str(hands.slip.record()["display"])
        return {"which": which, "across": f"{1000 * float(found):g}"}

    return act


def _swapped(hands: Hands) -> Mapping[str, object]:
    _do()(hands)
    for action, args in _acts(_true_stud(hands.task), "2 V", swapped=True):
        hands.slip.act(action, args)
    return {
        "which": _true_stud(hands.task),
        "across": f"{1000 * float(str(hands.slip.record()['display'])):g}",
    }


def _written(change: Callable[[float], float]) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        found = _do()(hands)
        return {**found, "across": f"{change(float(str(found['across']))):g}"}

    return act


def _ohms(task: Task) -> tuple[str, str]:
    """What the ohmmeter shows afloat at the bad bond, leads both ways."""
    stud = _true_stud(task)
    one, other = (str(shown_after(task.afloat, _acts(stud, "20 kohm", swapped))) for swapped in (False, True))
    return one, other


SURVEY = Exercise(
    id="04.2",
    module=MODULE,
    title="A bonding survey afloat",
    kind="read",
    objectives=("04.survey",),
    bench=True,
    family="bond_bench",
    instruments=KIT,
    prompt="One bond of {boat} is bad. Switch the battery off and unplug the shore lead. Clip the long lead (COM) to the common "
    "bonding point and the test "
    "lead (V) to the stud of "
    "each rudder, strut and trim tab in turn, scraped bright, and record what DC volts show. Try the ohmmeter, at 20 kohm, at the "
    "bad one too, leads both ways.",
    parts=(
        JudgedPart((), 2, _judge_survey, ("no_survey", "survey_not_whole", "battery_left_on")),
        ChoicePart(
            "which",
            "The bad bond is that of the",
            2,
            STUDS,
            _true_stud,
            {stud: _not_this_bond(stud) for stud, _ in STUDS},
            how="A sound bond shows no millivolts to speak of.",
            named={stud: f"bond_of_{stud}" for stud, _ in STUDS},
        ),
        RecordedPart(
            "across",
            "Voltage across it, from the fitting (V) to the common bonding point (COM)",
            "mV",
            2,
            1.5,
            _fault,
            ("not_volts", "leads_swapped", "wrong_points", "other_stud"),
            lambda t: _mV_at(t, _true_stud(t)),
        ),
        ChoicePart(
            "ohmmeter",
            "Afloat, the ohmmeter there shows something else as soon as its leads are swapped. So",
            2,
            (
                (
                    "fooled",
                    "the galvanic voltage fools it, and the water bridges the bond: it cannot tell the bond's resistance",
                ),
                ("mean", "the larger of the two is the bond's resistance"),
                ("broken", "the meter is broken"),
                ("sound", "the bond is sound, for one way the meter finds a path through"),
            ),
            lambda t: "fooled",
            {
                "mean": "A resistance is the same both ways. Here the boat's own voltage adds to the meter's one way and takes "
                "off it the other way.",
                "broken": "Try it on a sound bond: there both ways agree. The voltage across this bond upsets it.",
                "sound": "The path it finds is the water. That goes round every bond, sound or broken.",
            },
            how="Ask what else is in the circuit besides the bond.",
        ),
    ),
    teaches=lambda t: (
        abs(_mV_at(t, _true_stud(t))) > PLAIN_mV
        and all(abs(_mV_at(t, stud)) < SOUND_mV for stud, _ in STUDS if stud != _true_stud(t))
    ),
    method=lambda t: (
        "Battery off; one clip on the common bonding point, the other from stud to stud, on scraped metal.",
        f"All bonds but one show next to nothing; the {dict(STUDS)[_true_stud(t)]} stands {abs(_mV_at(t, _true_stud(t))):.0f} mV aside.",
        f"The ohmmeter there shows {_ohms(t)[0]} one way and {_ohms(t)[1]} the other: no resistance does that. Ashore and dry it "
        f"tells the truth.",
    ),
    hints=(
        "Current through a bad bond leaves a voltage across it.",
        "Measure from the common bonding point to every stud. All but one show next to nothing.",
        "Battery off, DC volts. The stud that differs by tens or hundreds of millivolts is the bad one. Its ohms differ when "
        "you swap the leads, because the voltage fools the meter.",
    ),
    hands=_do(),
    examples=(
        Example("survey", "survey_not_whole", _do(studs=3)),
        Example("survey", "battery_left_on", _do(quiet=False)),
        Example("survey", "no_survey", lambda hands: {"which": _true_stud(hands.task), "across": "-40"}),
        Example("across", "leads_swapped", _swapped),
        Example("across", "sign_dropped", _written(lambda mV: -mV)),
        Example("across", "unit", _written(lambda mV: mV / 1000)),
        Example("across", "not_recorded", _written(lambda mV: mV + 23.7)),
    ),
)
