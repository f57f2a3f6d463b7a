"""The kinds of part, one by one: what each says to what is typed, and what it gives for it."""

from __future__ import annotations

import pytest

from course.boats.personal import draw_plan
from graders.answers import Unanswerable, record_answer, record_hint, unreadable_fields
from graders.exercise import Exercise, Field
from graders.marking import mark
from graders.mistake import FOLLOWS
from graders.parts import Before, ChoicePart, NumberPart, OrderPart, SeveralPart, WrittenPart, Wrong
from graders.parts.order import shuffled
from graders.submission import mark_folder
from graders.trial import answer_row, mistakes, right

SEED = "ab" * 32


def number(field, truth, *wrong, unit="mV", points=2, **more):
    how = "Go about it like this aboard {boat}."
    return NumberPart(field, f"The {field}", unit, points, truth, wrong, how=how, **more)


FIRST = number(
    "first",
    lambda t: t.number("x"),
    Wrong("doubled", lambda t: 2 * t.number("x"), "you doubled {x:g}, and wrote {given} {unit}."),
    Wrong("never", lambda _: None, "cannot be made here"),
    within=1.0,
)
SECOND = number("second", lambda t: t.earlier("first") + 500, within=1.0)
VERDICT = ChoicePart(
    "verdict",
    "She is",
    3,
    (("low", "low"), ("high", "high"), ("odd", "odd")),
    lambda t: "high" if t.earlier("second") > 0 else "low",
    {"low": "{boat} is not low.", "high": "{boat} is not high."},
    how="Hold it against zero.",
)
SEVERAL = SeveralPart(
    "all",
    "All that hold",
    4,
    (("a", "a"), ("b", "b"), ("c", "c"), ("d", "d")),
    lambda _: frozenset("ab"),
    {"c": "c does not hold.", "d": "d does not hold."},
    {"a": "a holds too.", "b": "b holds too."},
)
ORDER = OrderPart(
    "order",
    "In order",
    4,
    (("off", "all off"), ("test", "test"), ("note", "note it"), ("mend", "mend")),
    (
        Before("tested_first", "off", "test", "all off comes first.", safety=True),
        Before("noted_late", "test", "note", "note what was tested."),
        Before("mended_first", "note", "mend", "mend last."),
    ),
)
WRITTEN = WrittenPart(
    "finding", "Your finding", 5, ("names the boat", "names the part"), "On {boat} the bond is bad."
)


def exercise(*parts):
    return Exercise(
        id="99.1",
        module="99_x",
        title="A try",
        kind="judge",
        objectives=("99.x",),
        prompt="try it aboard {boat}.",
        parts=parts,
        method=("like this.",),
        hints=("one", "two", "three"),
        draw=lambda _draw, _plan: {"x": -700.0},
    )


def of(*parts, **values):
    asked = exercise(*parts)
    plan = draw_plan("desk", asked.id, SEED).model_copy(update={"sheet": {"x": -700.0}})
    marked = mark(asked, plan, [answer_row(asked, plan, values)], [])
    return {part.part: part for part in marked.parts}


@pytest.mark.parametrize(
    ("typed", "mistake", "points"),
    [
        ("-700", None, 2),
        ("-700,9", None, 2),
        ("-701.5", "unnamed", 0),
        ("-1400", "doubled", 0),
        ("-0.7", "unit", 0),
        ("700", "sign", 0),
        ("", "blank", 0),
    ],
)
def test_value_unit_sign_and_the_rest_are_told_apart(typed, mistake, points):
    part = of(FIRST, first=typed)["first"]
    assert (part.mistake, part.points) == (mistake, points)


def test_a_value_rounded_too_far_is_half_right():
    coarse = number("first", lambda _: -734.0, within=4.0)
    assert of(coarse, first="-730")["first"].mistake is None
    part = of(number("first", lambda _: -734.0, within=1.0), first="-730")["first"]
    assert (part.mistake, part.points) == ("rounded_too_far", 1)


def test_a_number_that_two_things_come_to_is_told_as_either():
    likely = Wrong("halved", lambda _: -21.0, "you halved it.")
    part = of(number("first", lambda _: -12.0, likely, within=0.5), first="-21")["first"]
    assert (part.mistake, part.also, part.points) == ("halved", "figures_exchanged", 0)
    assert part.reason.startswith("You halved it. Or you came to the same number another way: Two figures")


def test_a_number_only_within_the_tolerance_of_a_mistake_is_a_guess():
    tripled = Wrong("tripled", lambda _: 300.0, "you tripled it.")
    wide = number("first", lambda _: 100.0, tripled, share=0.02)
    assert of(wide, first="300.4")["first"].mistake == "tripled"
    part = of(wide, first="303.7")["first"]
    assert (part.mistake, part.points) == ("unnamed", 0)
    assert part.reason.endswith("aboard Marsh Lantern. Perhaps this is what happened: You tripled it.")


def test_what_follows_from_the_learners_own_earlier_value_is_looked_for_first():
    later = number(
        "second",
        lambda t: 4 * t.earlier("first"),
        Wrong("twice", lambda t: 2 * t.earlier("first"), "twice."),
        Wrong("once", lambda t: t.earlier("first"), "once."),
        within=1.0,
    )
    assert of(FIRST, later, first="-350", second="-700")["second"].mistake == "twice"
    assert of(FIRST, later, first="", second="-700")["second"].mistake == "once"


def test_sentences_are_for_this_boat_and_this_number():
    assert of(FIRST, first="-1400")["first"].reason == "You doubled -700, and wrote -1400 mV."
    assert of(FIRST, first="-12345")["first"].reason == "Not yet. Go about it like this aboard Marsh Lantern."


def test_what_follows_rightly_from_an_earlier_wrong_value_counts():
    parts = of(FIRST, SECOND, VERDICT, first="-300", second="200", verdict="high")
    assert [(p.mistake, p.points) for p in parts.values()] == [("unnamed", 0), (FOLLOWS, 2), (FOLLOWS, 3)]
    parts = of(FIRST, SECOND, VERDICT, first="-300", second="-200", verdict="low")
    assert [(p.mistake, p.points) for p in parts.values()] == [("unnamed", 0), (None, 2), (None, 3)]
    assert of(FIRST, SECOND, first="-700.9", second="-201.8")["second"].mistake is None


def test_a_choice_without_a_sentence_still_gets_an_explanation():
    assert (
        of(FIRST, SECOND, VERDICT, verdict="odd")["verdict"].reason == "Not that one. Hold it against zero."
    )
    assert of(FIRST, SECOND, VERDICT, verdict="high")["verdict"].mistake == "verdict_high"


@pytest.mark.parametrize(
    ("typed", "mistake", "points"),
    [
        ("b, a", None, 4),
        ("a", "all_missed_b", 2),
        ("a, b, c", "all_not_c", 2),
        ("a, c", "all_not_c", 0),
        ("", "blank", 0),
    ],
)
def test_several_choices_are_marked_one_by_one(typed, mistake, points):
    part = of(SEVERAL, all=typed)["all"]
    assert (part.mistake, part.points) == (mistake, points)


@pytest.mark.parametrize(
    ("typed", "mistake", "points"),
    [
        ("off, test, note, mend", None, 4),
        ("off, note, test, mend", "noted_late", pytest.approx(4 / 3, abs=0.01)),
        ("test, off, note, mend", "tested_first", 0),
        ("mend, note, test, off", "tested_first", 0),
        ("off, test", "unread", 0),
        ("", "blank", 0),
    ],
)
def test_an_order_is_marked_by_what_must_come_before_what(typed, mistake, points):
    part = of(ORDER, order=typed)["order"]
    assert (part.mistake, part.points) == (mistake, points)


@pytest.mark.parametrize(
    ("part", "typed", "mistake", "says"),
    [
        (FIRST, "", "blank", "Nothing is written here."),
        (FIRST, "-700 to -710", "unread", "'-700 to -710' is not one number"),
        (FIRST, "-0.7 V", "unread", "is in V; this field wants mV"),
        (VERDICT, "", "blank", "Nothing is chosen here."),
        (VERDICT, "middling", "unread", "none of the choices"),
        (SEVERAL, "", "blank", "Nothing is ticked here"),
        (SEVERAL, "x, y", "unread", "none of the choices"),
        (ORDER, "", "blank", "still stand as they were shown"),
        (ORDER, "off, off, note, mend", "unread", "each of them has to be in it, once"),
    ],
)
def test_blank_and_unread_are_told_apart_and_each_in_its_own_words(part, typed, mistake, says):
    (field,) = part.fields
    told = of(part, **{field.name: typed})[field.name]
    assert (told.mistake, told.points) == (mistake, 0)
    assert says in told.reason


def test_steps_are_shown_shuffled_the_same_each_time_and_never_solved():
    for k in range(40):
        shown = shuffled(ORDER.steps, f"seed {k}")
        assert shown == shuffled(ORDER.steps, f"seed {k}")
        assert sorted(shown) == sorted(ORDER.steps)
        assert shown != ORDER.steps


def test_a_written_part_waits_for_a_person():
    asked = exercise(FIRST, WRITTEN)
    part = of(FIRST, WRITTEN, finding="The bond of the rudder is bad.")["finding"]
    assert (part.points, part.out_of, part.pending, part.mistake) == (0, 0, 5, None)
    assert "(1) names the boat (2) names the part" in part.reason
    assert asked.points == 2
    assert not of(FIRST, WRITTEN, first="-700")["finding"].right


def test_right_answers_and_mistakes_make_themselves():
    asked = exercise(FIRST, SECOND, VERDICT, SEVERAL, ORDER, WRITTEN)
    plan = draw_plan("desk", asked.id, SEED).model_copy(update={"sheet": {"x": -700.0}})
    task = asked.task(plan)
    assert right(task).mark.points == asked.points
    made = list(mistakes(task))
    assert all(one.recognised for one in made)
    assert {one.mistake for one in made} >= {
        "doubled",
        "verdict_high",
        "all_not_c",
        "all_missed_a",
        "mended_first",
    }
    assert "never" not in {one.mistake for one in made}


def test_a_draw_whose_mistakes_look_like_the_truth_is_refused():
    near = number("first", lambda _: 10.0, Wrong("near", lambda _: 11.5, "x"), within=1.0)
    clear = number("first", lambda _: 10.0, Wrong("clear", lambda _: 12.5, "x"), within=1.0)
    plan = draw_plan("desk", "99.1", SEED)
    assert [exercise(part).fit(exercise(part).task(plan)) for part in (near, clear)] == [False, True]


def test_lists_that_cannot_be_read_cost_no_try():
    asked = exercise(SEVERAL, ORDER)
    assert "is none of a, b, c, d" in unreadable_fields(asked, {"all": "a, e"})["all"]
    assert "names each step once" in unreadable_fields(asked, {"order": "off, off, note, mend"})["order"]
    assert unreadable_fields(asked, {"all": "b,a", "order": "mend, note, test, off"}) == {}


def test_choices_that_depend_on_the_boat_are_read_by_what_was_shown(tmp_path):
    personal = Field("part", "Part", kind="choice", personal=lambda _: (("keel", "the keel"),))
    asked = exercise(FIRST)
    assert unreadable_fields(asked, {"part": "mast"}, (personal,)) == {}
    shown = personal.for_task(asked.task(draw_plan("desk", asked.id, SEED)))
    assert "is none of keel" in unreadable_fields(asked, {"part": "mast"}, (shown,))["part"]
    with pytest.raises(Unanswerable):
        record_answer(tmp_path, asked, "slip", "ana", {"part": "mast"}, (shown,))


def test_a_hint_costs_a_tenth_in_an_assignment_and_nothing_in_practice(tmp_path):
    from graders.exercises import MODULES
    from graders.personal import plan_for

    module = "02_galvanic_series"
    plans = {e.id: plan_for(e, "ana", "CR26") for e in MODULES[module]}
    asked, plan = MODULES[module][2], plans["02.3"]
    values = asked.right_values(asked.task(plan), {})
    for step in (1, 2):
        record_hint(tmp_path, asked, plan.digest, "ana", step)
    row = record_answer(tmp_path, asked, plan.digest, "ana", values)
    marked = mark_folder(tmp_path, module, "ana", plans)[2]
    assert (marked.points, marked.hints, marked.tries) == (pytest.approx(0.8 * asked.points), 2, 1)
    assert f"Hints taken: 2, at {asked.points / 10:g} points each." in marked.notices
    assert mark(asked, plan, [row], []).points == asked.points
