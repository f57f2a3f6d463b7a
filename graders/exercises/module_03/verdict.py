"""03.3: the verdict on a bonded fibreglass boat, and its reason."""

from __future__ import annotations

from collections.abc import Callable

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from graders.case import Case
from graders.exercise import Exercise, Field
from graders.exercises.module_03.common import KIT, METERING, MODULE
from graders.hands import Example, Hands
from graders.judging import part, reading_part
from graders.marks import PartMark
from graders.mistake import NOT_CHOSEN, Mistake
from graders.parts.judged import READING_MISTAKES, JudgedPart
from graders.truth import span
from graders.verdict import card_baseline, true_verdict, verdict_on

CLEAR_OF_LIMIT_MV = 25.0
VERDICTS = (("unprotected", "unprotected"), ("protected", "protected"), ("overprotected", "overprotected"))
REASONS = (
    ("small_shift", "It is less than 200 mV more negative than the baseline"),
    (
        "good_shift",
        "It is at least 200 mV more negative than the baseline, and not more negative than -1100 mV",
    ),
    ("beyond_limit", "It is more negative than -1100 mV"),
    ("any_negative", "It is negative, and a negative reading means protected"),
    ("more_is_better", "The more negative, the better protected"),
    ("steel_limit", "It is compared with -800 mV, the limit for a steel hull"),
)
REASON_OF = {"unprotected": "small_shift", "protected": "good_shift", "overprotected": "beyond_limit"}
WRONG_REASONS = {
    "any_negative": "Bare bronze reads negative too, and it corrodes. Protection is a shift of at least 200 mV from the baseline.",
    "more_is_better": "Beyond -1100 mV the boat is overprotected: coatings lift, aluminium and wood suffer, and anodes are wasted.",
    "steel_limit": "-800 mV is the limit for a steel hull. On a bonded fibreglass boat the shift from her own baseline decides.",
}


def _verdict_part(case: Case, out_of: float) -> PartMark:
    title = "Verdict"
    given, reading = case.given("verdict"), case.number("reading", "mV")
    if given not in REASON_OF:
        return part("verdict", title, out_of, given, NOT_CHOSEN, "")
    true, baseline = true_verdict(case.afloat), card_baseline(case.afloat)
    if given == true:
        return part("verdict", title, out_of, given, None, f"She is {true}.")
    if reading is not None and given == verdict_on(reading, baseline):
        follows = Mistake(
            "follows_from_reading",
            "It follows from the reading you wrote, but that reading is not right, and a right one leads to another verdict. "
            "Half the points.",
        )
        return part("verdict", title, out_of, given, follows, "", share=0.5)
    facts = (
        f"Her baseline is {baseline:.0f} mV; protected is at least 200 mV more negative than that and not beyond -1100 mV. "
        "Hold her reading against both."
    )
    return part("verdict", title, out_of, given, Mistake(f"called_{given}", facts), "")


def _reason_part(case: Case, out_of: float) -> PartMark:
    title = "Reason"
    given, verdict = case.given("reason"), case.given("verdict")
    words = dict(REASONS).get(given or "")
    if words is None:
        return part("reason", title, out_of, None, NOT_CHOSEN, "")
    wrong = None
    if given in WRONG_REASONS:
        wrong = Mistake(str(given), WRONG_REASONS[str(given)])
    elif given != REASON_OF[true_verdict(case.afloat)]:
        follows = verdict in REASON_OF and given == REASON_OF[verdict]
        share = 0.5 if follows and _verdict_part(case, 1).mistake == "follows_from_reading" else 0.0
        sentence = (
            "It fits the verdict you gave, but not this boat."
            if follows
            else "That is not what her reading and her baseline say."
        )
        return part("reason", title, out_of, words, Mistake("other_reason", sentence), "", share=share)
    return part("reason", title, out_of, words, wrong, "That is what reading and baseline say.")


def _judge_verdict(case: Case) -> tuple[PartMark, ...]:
    return (
        reading_part(case, "reading", "Hull potential", 4, case.afloat.start),
        _verdict_part(case, 3),
        _reason_part(case, 3),
    )


def _teaches_verdict(afloat: Afloat) -> bool:
    """Every reading within the span gives the same verdict, clear of both limits."""
    truth, baseline = span(afloat, afloat.steady(afloat.start)), card_baseline(afloat)
    ends = (truth.low - CLEAR_OF_LIMIT_MV, truth.high + CLEAR_OF_LIMIT_MV)
    return len({verdict_on(value, baseline) for value in ends}) == 1


def _method_verdict(afloat: Afloat) -> tuple[str, ...]:
    truth, baseline = span(afloat, afloat.steady(afloat.start)), card_baseline(afloat)
    return (
        METERING,
        f"From end to end she reads {truth.high:.0f} to {truth.low:.0f} mV; her record card gives a baseline of {baseline:.0f} mV.",
        f"The shift is about {baseline - truth.middle:.0f} mV, so she is {true_verdict(afloat)}.",
    )


def _verdict_card(plan: SlipPlan) -> dict[str, str]:
    return {"Baseline without the large anodes, last season": f"{card_baseline(Afloat(plan)):.0f} mV"}


def _read_and_judge(hands: Hands) -> dict[str, object]:
    hands.set_up()
    reading = hands.read_mV()
    verdict = verdict_on(reading, card_baseline(hands.task.afloat))
    return {"reading": reading, "verdict": verdict, "reason": REASON_OF[verdict]}


def _but(**wrong: object) -> Callable[[Hands], dict[str, object]]:
    return lambda hands: {**_read_and_judge(hands), **wrong}


EXAMPLES = (
    *(
        Example(
            "verdict",
            f"called_{verdict}",
            _but(verdict=verdict),
            lambda task, verdict=verdict: true_verdict(task.afloat) != verdict,  # type: ignore[misc]
        )
        for verdict in REASON_OF
    ),
    *(Example("reason", reason, _but(reason=reason)) for reason in WRONG_REASONS),
)

VERDICT = Exercise(
    id="03.3",
    module=MODULE,
    title="Give the verdict",
    kind="judge",
    objectives=("03.judge",),
    prompt="Her record card gives the baseline. Measure her hull potential as she lies now, and give your verdict with its reason.",
    instruments=KIT,
    family="verdict",
    parts=(
        JudgedPart(
            fields=(
                Field("reading", "Hull potential", "mV"),
                Field("verdict", "She is", kind="choice", choices=VERDICTS),
                Field("reason", "Because", kind="choice", choices=REASONS),
            ),
            out_of=10,
            judging=_judge_verdict,
            mistakes=(
                *READING_MISTAKES,
                *(f"called_{verdict}" for verdict in REASON_OF),
                *WRONG_REASONS,
                "follows_from_reading",
                "other_reason",
            ),
        ),
    ),
    hints=(
        "On a boat of many metals one reading says little by itself. What do you compare it with?",
        "Take her baseline from the record card and subtract. How far have the anodes moved her?",
        "Less than 200 mV more negative than the baseline: unprotected. At least 200 mV: protected. More negative than -1100 "
        "mV: overprotected. The reason is the one that you compared with.",
    ),
    bench=True,
    teaches=lambda task: _teaches_verdict(task.afloat),
    method=lambda task: _method_verdict(task.afloat),
    card=_verdict_card,
    hands=_read_and_judge,
    examples=EXAMPLES,
)
