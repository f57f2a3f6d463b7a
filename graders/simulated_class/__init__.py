"""A simulated class: learners with a declared mix of mistakes, and how well the marking understands them."""

from graders.simulated_class.confusion import Confusion
from graders.simulated_class.learners import MIX, SLIPS, answers
from graders.simulated_class.sitting import sit
from graders.simulated_class.words import report

__all__ = ["MIX", "SLIPS", "Confusion", "answers", "report", "sit"]
