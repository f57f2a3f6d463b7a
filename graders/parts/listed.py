"""A drawn list of things under letters, some of which hold: what `SeveralPart` asks about in several modules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from course.boats.plan import Value
from graders.parts.several import SeveralPart
from graders.task import Task, Tell

LETTERS = "abcdefgh"


@dataclass(frozen=True)
class Listed:
    """Things drawn into lettered places of the sheet's ``name``.

    ``holds`` and ``others`` are the things by id: (what it is, why it holds or does not). How many are drawn is ``size``.
    """

    name: str
    holds: Mapping[str, tuple[str, str]]
    others: Mapping[str, tuple[str, str]]
    size: int = 5

    @property
    def letters(self) -> tuple[str, ...]:
        """Return the letters in use."""
        return tuple(LETTERS[: self.size])

    def at(self, task: Task, letter: str) -> tuple[str, str]:
        """Return what stands at a letter: its words, and why."""
        return {**self.holds, **self.others}[task.words(self.name)[LETTERS.index(letter)]]

    def true(self, task: Task) -> frozenset[str]:
        """Return the letters of what holds."""
        return frozenset(
            letter for letter in self.letters if task.words(self.name)[LETTERS.index(letter)] in self.holds
        )

    def words(self, task: Task) -> Mapping[str, Value]:
        """Return the words of each letter, for the exercise's texts."""
        return {f"{self.name}_{letter}": self.at(task, letter)[0] for letter in self.letters}

    def because(self, sentence: str) -> Mapping[str, Tell]:
        """Return for each letter the sentence, with what stands in it as {letter} and {why}."""

        def says(letter: str) -> Callable[[Task], str]:
            return lambda task: sentence.format(letter=letter, why=self.at(task, letter)[1])

        return {letter: says(letter) for letter in self.letters}

    def part(self, field: str, label: str, points: float, wrong: str, missed: str) -> SeveralPart:
        """Return the part that asks which of them hold."""
        choices = tuple((letter, f"{letter}: {{{self.name}_{letter}}}") for letter in self.letters)
        return SeveralPart(
            field, label, points, choices, self.true, self.because(wrong), self.because(missed)
        )
