"""00.3: a first reading: the battery's volts."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.instruments.meter import DIAL
from course.instruments.replay import Reading
from graders.bench import shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_00.licensed import MODULE
from graders.hands import Example, Hands
from graders.mistake import Mistake
from graders.parts import ChoicePart, NumberPart, RecordedPart, Wrong
from graders.task import Task

POSITIVE, NEGATIVE = "battery_positive", "battery_negative"
WITHIN_V = 0.006


def _fault(case: Case, reading: Reading) -> Mistake | None:
    """Return what is wrong with how a reading of the battery was taken."""
    state = reading.state
    dial = DIAL.get(state.dial) if state.meter == "digital" else None
    red, black = state.lead_in("V"), state.lead_in("COM")
    if dial is None or dial.what != "volts" or red is None or black is None:
        return Mistake(
            "not_volts",
            "The meter was not set to volts, with a lead in V and one in COM. What it showed was something else.",
        )
    points = (state.leads[red].point, state.leads[black].point)
    if points == (NEGATIVE, POSITIVE):
        return Mistake(
            "leads_swapped",
            "The leads were swapped. V belongs on the positive post, COM on the negative. The minus "
            "sign told you.",
        )
    if points != (POSITIVE, NEGATIVE):
        return Mistake(
            "not_the_battery",
            "The clips were not on the battery's two posts, so you read the voltage of something else.",
        )
    if state.dial == "200 V":
        return Mistake(
            "coarse_range",
            "On the 200 V range the last digit is a tenth of a volt. Turn to 20 V: it shows hundredths.",
        )
    return None


def _acts(
    range_: str = "20 V", red: str = POSITIVE, black: str = NEGATIVE
) -> list[tuple[str, dict[str, object]]]:
    return [
        ("turn_dial", {"position": range_}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("plug", {"lead": "long lead", "jack": "COM"}),
        ("clip", {"point": red, "lead": "test lead"}),
        ("clip", {"point": black, "lead": "long lead"}),
    ]


def _volts(task: Task) -> float:
    return task.once("volts", lambda: float(shown_after(task.afloat, _acts()).text))


def _do(
    range_: str = "20 V", red: str = POSITIVE, black: str = NEGATIVE
) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        for action, args in _acts(range_, red, black):
            hands.slip.act(action, args)
        return {"volts": hands.slip.record()["display"]}

    return act


def _written(change: Callable[[float], float]) -> Callable[[Hands], Mapping[str, object]]:
    return lambda hands: {"volts": f"{change(float(str(_do()(hands)['volts']))):g}"}


FIRST = Exercise(
    id="00.3",
    module=MODULE,
    title="A first reading",
    kind="read",
    objectives=("00.bench",),
    bench=True,
    family="hull_potential",
    instruments=("digital multimeter", "two leads"),
    prompt="Measure the voltage of the battery of {boat}: test lead in V and on the battery's positive post, long lead in COM and "
    "on its negative post, "
    "dial on 20 V. Record the reading, and copy it from the logbook.",
    parts=(
        RecordedPart(
            "volts",
            "Battery voltage",
            "V",
            2,
            WITHIN_V,
            _fault,
            ("not_volts", "leads_swapped", "not_the_battery", "coarse_range"),
            _volts,
        ),
        NumberPart(
            "millivolts",
            "The same in millivolts",
            "mV",
            1,
            lambda t: 1000 * t.earlier("volts"),
            (
                Wrong(
                    "divided",
                    lambda t: t.earlier("volts") / 1000,
                    "You divided. A millivolt is small, so a volt has many of them: multiply by 1000.",
                ),
                Wrong(
                    "hundred",
                    lambda t: 100 * t.earlier("volts"),
                    "You took 100 millivolts to the volt. A volt has 1000.",
                ),
                Wrong(
                    "million",
                    lambda t: 1e6 * t.earlier("volts"),
                    "You took a million to the volt. A volt has 1000 millivolts.",
                ),
            ),
            how="1000 millivolts are a volt.",
            within=6.0,
        ),
        ChoicePart(
            "jack",
            "What would happen with the test lead in the jack A",
            1,
            (
                ("fuse", "the meter becomes a wire across the battery: a spark, and its fuse blows"),
                ("same", "it would show the same voltage"),
                ("nothing", "nothing: the meter would be off"),
            ),
            lambda t: "fuse",
            {
                "same": "In A the meter has almost no resistance. It lets through whatever flows, and across a battery that is "
                "hundreds of amperes.",
                "nothing": "The jack A is always connected, whatever the dial says. Across a battery it is a wire.",
            },
            how="What resistance has the meter between A and COM?",
            named={"same": "amperes_for_volts", "nothing": "jack_a_is_off"},
        ),
    ),
    method=(
        "Red lead in V on the positive post, black in COM on the negative, dial on 20 V: the meter shows V less COM.",
        "Rings off, and never the jack A across a battery.",
    ),
    hints=(
        "A voltage is always between two places: one clip on each post.",
        "The meter shows jack V less jack COM. So the lead in V goes on the positive post.",
        "Test lead in V, on the positive post. Long lead in COM, on the negative post. Dial on 20 V. Record reading, and copy "
        "the number from the logbook. Times 1000 gives millivolts. In jack A the meter is a plain wire.",
    ),
    hands=_do(),
    examples=(
        Example("volts", "leads_swapped", _do(red=NEGATIVE, black=POSITIVE)),
        Example("volts", "not_the_battery", _do(black="common_bonding_point", red="battery_positive")),
        Example("volts", "coarse_range", _do("200 V")),
        Example("volts", "unit", _written(lambda volts: 1000 * volts)),
        Example("volts", "sign_dropped", _written(lambda volts: -volts)),
        Example("volts", "not_recorded", _written(lambda volts: volts + 0.6)),
    ),
)
