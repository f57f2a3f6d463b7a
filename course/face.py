"""What a notebook calls: the bench of an exercise, its answer form, its marks. Here panels and marking meet.

Whatever a learner does wrong is answered with a sentence, never a traceback.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import nullcontext
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache, wraps
from pathlib import Path
from threading import Lock
from typing import Any, Literal

from course.instruments.logbook import FILE_NAME as LOGBOOK
from course.instruments.rows import read_rows
from course.instruments.slip import Slip
from course.instruments.state import SlipError
from course.learner import (
    SELF_COHORT,
    Learner,
    LearnerError,
    learner_file,
    new_self_learner,
    read_learner,
    write_learner,
)
from graders.answers import (
    Unanswerable,
    answers_in,
    hints_taken,
    last_result,
    last_values,
    practised,
    record_answer,
    record_hint,
    record_practice,
    record_result,
)
from graders.exercise import Exercise, Field
from graders.exercises import UnknownExercise, exercise_named
from graders.marking import HINT_COST, mark
from graders.marks import Mark, PartMark
from graders.own import OwnError, load_near
from graders.parts.order import shuffled
from graders.personal import plan_for
from graders.progress import rows_under, told
from graders.task import Task

BEFORE = {
    True: "You answered this before, and all of it was right.",
    False: "You answered this before, and not all of it was right yet. Check it again to see what.",
}
BARE = "That is right."  # said of a part already by its verdict
COMING = (
    "her boat is being fetched. The first time on a boat of her kind it takes some seconds, on a slow computer a minute: what each fault "
    "would do to her is reckoned out. Read on meanwhile; she comes by herself."
)
UNANSWERED = "not answered yet."
SPOKEN = (SlipError, UnknownExercise, LearnerError, Unanswerable, OwnError)


def _spoken(instead: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return a decorator that says a learner's or a disk's fault in one sentence and hands back ``instead``."""

    def decorate(function: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(function)
        def speaking(*args: Any, **kwargs: Any) -> Any:
            try:
                return function(*args, **kwargs)
            except SPOKEN as error:
                print(error)
            except OSError as error:
                print(f"The folder {Path.cwd()} cannot be used ({error.strerror}); nothing was lost.")
            return instead

        return speaking

    return decorate


def _learner(folder: Path) -> Learner:
    """Return who works in this folder; someone who came without ``wetslip learn`` is given an id of their own."""
    if learner_file(folder) is None:
        write_learner(folder, new_self_learner())
    return read_learner(folder)


@dataclass(frozen=True)
class _Work:
    """One learner's copy of an exercise, where it is kept, and its slip when there is one."""

    exercise: Exercise
    learner: Learner
    task: Task
    folder: Path
    counts: bool  # part of an assignment
    slip: Slip | None
    practice: int | None = None

    def marked(self) -> Mark:
        plan, rows = self.task.plan, answers_in(self.folder).rows
        logbook = read_rows(self.folder / LOGBOOK).rows if self.slip else ()
        return mark(self.exercise, plan, rows, logbook, self.task, hints_cost=self.counts)

    def answer(self, values: Mapping[str, object]) -> Mark:
        """Write an answer down and mark it; whether it was right is kept for the learner's own progress."""
        record_answer(
            self.folder, self.exercise, self.task.plan.digest, self.learner.id, values, self.fields()
        )
        marked = self.marked()
        right = all(part.right for part in marked.parts)
        record_result(self.folder, self.exercise, self.task.plan.digest, self.learner.id, right)
        if self.line is not None:
            self.line.show(*_standing(marked))
        return marked

    @property
    def line(self) -> Any:
        """The line on the page that says how this exercise stands, once `check` has put one there."""
        return _on_page.get((self.folder, self.exercise.id, self.practice))

    def hint(self, step: int) -> str:
        record_hint(self.folder, self.exercise, self.task.plan.digest, self.learner.id, step)
        return self.exercise.hint(self.task, step)

    @property
    def noun(self) -> str:
        """What a copy of it for practice is called."""
        return "boat" if self.exercise.bench else "sheet"

    @property
    def copy(self) -> str:
        """What its title ends in when it is for practice."""
        return "" if self.practice is None else f", practice {self.noun} {self.practice}"

    def taken(self) -> int:
        return hints_taken(answers_in(self.folder).rows, self.exercise, self.task.plan.digest)

    @property
    def price(self) -> str:
        if not self.counts:
            return "Hints cost nothing in practice."
        return f"Each hint costs {self.exercise.points * HINT_COST:g} of {self.exercise.points:g} points."

    def fields(self) -> tuple[Field, ...]:
        """Return the fields in this learner's words, the steps of an order shuffled."""
        told = (field.for_task(self.task) for field in self.exercise.fields)
        seed = self.task.plan.seed
        return tuple(replace(f, choices=shuffled(f.choices, seed)) if f.kind == "order" else f for f in told)


_on_page: dict[tuple[Path, str, int | None], Any] = {}  # by folder, exercise and practice
_DRAWING = Lock()  # a hunt asked for twice is drawn once


@lru_cache(maxsize=64)
def _work(exercise: Exercise, learner: Learner, folder: Path, practice: int | None) -> _Work:
    own = practice is None and learner.cohort != SELF_COHORT
    plan = plan_for(exercise, learner.id, learner.cohort, "assignment" if own else "practice", practice or 0)
    opened = Slip(plan, folder, exercise.title) if exercise.bench else None
    return _Work(exercise, learner, exercise.task(plan), folder, own, opened, practice)


def _open(name: str, practice: int | None) -> _Work:
    folder = Path.cwd()
    load_near(folder)
    asked = exercise_named(name)
    with _DRAWING if asked.kind == "hunt" else nullcontext():
        work = _work(asked, _learner(folder), folder, practice)
    if work.slip:
        work.slip.refresh()
    return work


def slip(name: str, practice: int | None = None) -> Slip:
    """Return the boat of an exercise as a plain object, with no picture.

    ``practice`` 1, 2, 3 ... is another boat for practice, whose answers are not part of an assignment.
    Raises SlipError for an exercise that is done on paper.
    """
    opened = _open(name, practice).slip
    if opened is None:
        raise SlipError(f"Exercise {name} is done on paper; there is no boat on the bench for it.")
    return opened


@_spoken(None)
def bench(name: str, practice: int | None = None, look: bool = False) -> Any:
    """Return the boat of an exercise with her bench and logbook, to be shown.

    ``look`` offers to show the potential of the water, on boats for practice only: elsewhere it is to be measured.
    """
    from course.panels.bench import Bench

    return Bench(slip(name, practice), look=look and practice is not None)


@_spoken(None)
def exercise(name: str, practice: int | None = None) -> Any:
    """Return an exercise to be shown: what is asked, the boat with her bench, and the answer form that checks at once.

    On a page the boat of a hunt comes when what every fault would do to her is reckoned; the page goes on meanwhile.
    """
    return _fetched(name, practice)


def _fetched(name: str, practice: int | None) -> Any:
    asked = exercise_named(name)
    if asked.kind != "hunt" or not _on_a_page():
        return _panel(name, practice)
    from course.panels.later import Later

    words = f"{asked.id} {asked.title}: {COMING}"
    return Later(words, lambda: _open(name, practice), lambda: _panel(name, practice))


def _panel(name: str, practice: int | None) -> Any:
    from course.panels.bench import Bench
    from course.panels.desk import DeskPanel, HintBox, asked_html
    from course.panels.exercise import ExercisePanel

    work = _open(name, practice)
    asked, task = work.exercise, work.task
    title, prompt = f"{asked.id} {asked.title}{work.copy}", asked.asked(task)
    told = [asked.hint(task, step) for step in range(1, work.taken() + 1)]
    hints = HintBox(work.hint, len(asked.hints), work.price, told)
    given = [(t.title, t.columns, t.rows) for t in (make(task) for make in asked.tables)]
    if work.slip is None:
        head = asked_html(title, prompt, task.plan.record_card, given)
        panel = DeskPanel(head, _form(work), hints)
        panel.children = (*panel.children, *_practice(work))
        return panel
    card = {"Boat": f"{task.plan.boat.name}, {task.plan.boat.kind}", **task.plan.record_card}
    panel = ExercisePanel(title, prompt, card, Bench(work.slip), _form(work))
    panel.children = (*panel.children[:-1], hints, panel.children[-1], *_practice(work))
    return panel


def _practice(work: _Work) -> list[Any]:
    """Return what fetches copies of an exercise for practice; a copy has none of its own, and is known again by its row."""
    from course.panels.practice import PracticeBox

    asked, folder = work.exercise, work.folder
    known = practised(folder, asked)
    if work.practice is None and asked.kind == "write":  # a person reads it, and once is enough
        return []
    if work.practice is None:
        return [PracticeBox(work.noun, known, lambda number: _fetched(asked.id, number))]
    if work.practice not in known:
        record_practice(folder, asked, work.task.plan.digest, work.learner.id, work.practice)
    return []


def _verdict(marked: PartMark) -> Literal["right", "partly", "wrong", "open", "note"]:
    """Return how a part is told: what a person will mark, and what was left empty, is neither right nor wrong yet."""
    if marked.pending and marked.mistake is None:
        return "note"
    if marked.mistake == "blank":
        return "open"
    if marked.right:
        return "right"
    return "partly" if marked.points else "wrong"


def _form(work: _Work) -> Any:
    from course.panels.forms import AnswerForm, Reply, ReplyLine
    from course.panels.forms import Field as Entry

    def check_typed(values: dict[str, str]) -> Reply:
        try:
            marked = work.answer(values)
        except Unanswerable as error:
            lines = tuple(ReplyLine("", "unread", fault) for fault in error.faults.values())
            return Reply(lines, "Not read yet, so it counts as no try.")
        except OSError as error:
            return Reply(
                (),
                f"Your answer could not be saved in {work.folder} ({error.strerror}); nothing was checked.",
            )
        lines = tuple(ReplyLine(p.title, _verdict(p), _reason(p)) for p in marked.parts)
        notices = tuple(ReplyLine("", "note", notice) for notice in marked.notices)
        return Reply((*lines, *notices), f"{_score(marked)}, try {marked.tries}.")

    known = last_values(work.folder, work.exercise, work.task.plan.digest)
    fields = [Entry(f.name, f.label, f.unit, f.kind, f.choices) for f in work.fields()]
    before = last_result(work.folder, work.exercise, work.task.plan.digest)
    note = "" if before is None else BEFORE[before]
    return AnswerForm(
        f"Your answer to {work.exercise.id}{work.copy}", fields, check_typed, initial=known, note=note
    )


@_spoken(None)
def ask(name: str, practice: int | None = None) -> None:
    """Print what an exercise asks, gives and wants filled in, for someone who works without the panels."""
    work = _open(name, practice)
    print(f"{work.exercise.id} {work.exercise.title}\n{work.exercise.asked(work.task)}")
    for fact, text in work.task.plan.record_card.items():
        print(f"{fact}: {text}")
    for table in (make(work.task) for make in work.exercise.tables):
        print("\n".join([table.title, " | ".join(table.columns), *(" | ".join(r) for r in table.rows)]))
    for field in work.fields():
        print(f"  {field.name}: {field.label}" + (f" [{field.unit}]" if field.unit else ""))
        for value, words in field.choices:
            print(f"      {value}: {words}")


@_spoken(None)
def hint(name: str, practice: int | None = None) -> None:
    """Print the next hint of an exercise, and what it costs."""
    work = _open(name, practice)
    step = work.taken() + 1
    if step > len(work.exercise.hints):
        print("There are no more hints.")
    else:
        print(f"{work.hint(step)} ({work.price})")


@_spoken(0.0)
def record(name: str, practice: int | None = None, **values: object) -> float:
    """Write down an answer by field name, for someone who works without the form; prints the marks and returns the points."""
    return _tell(_open(name, practice).answer(values))


@_spoken(0.0)
def check(name: str, practice: int | None = None) -> float:
    """Say what is right and what is not, and why; return the points as a plain number between 0 and the most there are.

    On a page the line stays up to date as the form is checked; elsewhere it is printed.
    """
    asked, folder = exercise_named(name), Path.cwd()
    if not _on_a_page():
        return _tell(_open(name, practice).marked())
    from IPython.display import display

    from course.panels.mark import MarkLine

    line = _on_page[folder, asked.id, practice] = MarkLine()
    if asked.kind == "hunt" and not any(row.get("exercise") == asked.id for row in answers_in(folder).rows):
        line.show(f"{asked.id} {asked.title}: {UNANSWERED}")  # no need to wait for her boat
        display(line)
        return 0.0
    marked = _open(name, practice).marked()
    line.show(*_standing(marked))
    display(line)
    return _points(marked)


def _on_a_page() -> bool:
    """Return whether this runs in the kernel of a notebook, and not in a plain Python."""
    from IPython import get_ipython

    return getattr(get_ipython(), "kernel", None) is not None


@_spoken(None)
def progress() -> None:
    """Print how you stand with every objective you have tried, and what is worth another look today."""
    found = learner_file(Path.cwd())
    root = Path.cwd().parent if found is None else found.parent
    for line in told(rows_under(root), datetime.now(UTC).date()):
        print(line)


def _score(marked: Mark) -> str:
    by_hand = f", and up to {marked.pending:g} more by hand" if marked.pending else ""
    return f"{marked.points:g} of {marked.out_of:g} points{by_hand}"


def _reason(part: PartMark) -> str:
    return "" if part.right and part.reason == BARE else part.reason


def _standing(marked: Mark) -> tuple[str, list[str]]:
    """Return how an exercise stands: one sentence, and what is said of each part."""
    if not marked.tries:
        return f"{marked.exercise} {marked.title}: {UNANSWERED}", []
    notes = [f"Note: {line}" for line in marked.notices]
    parts = [
        f"{'Right' if p.right else 'Not yet'} - {p.title}: {_reason(p)}".rstrip(" :") for p in marked.parts
    ]
    return f"{marked.exercise} {marked.title}: {_score(marked)}.", notes + parts


def _tell(marked: Mark) -> float:
    sentence, lines = _standing(marked)
    print("\n  ".join([sentence, *lines]))
    return _points(marked)


def _points(marked: Mark) -> float:
    return float(min(max(marked.points, 0.0), marked.out_of))
