"""The kinds of part an exercise is put together from: data, with small functions of the learner's task."""

from graders.parts.choice import ChoicePart
from graders.parts.judged import JudgedPart, ReadingPart
from graders.parts.listed import Listed
from graders.parts.number import NumberPart, Wrong
from graders.parts.order import Before, OrderPart
from graders.parts.recorded import RecordedPart
from graders.parts.several import SeveralPart
from graders.parts.written import WrittenPart

__all__ = [
    "Before",
    "ChoicePart",
    "JudgedPart",
    "Listed",
    "NumberPart",
    "OrderPart",
    "ReadingPart",
    "RecordedPart",
    "SeveralPart",
    "WrittenPart",
    "Wrong",
]
