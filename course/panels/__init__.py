"""What is seen and touched: the scene, the logbook, answer forms, a figure for print. No marking here."""

from __future__ import annotations

from course.panels.bench import Bench
from course.panels.forms import AnswerForm, Field, Reply, ReplyLine
from course.panels.scene import Scene

__all__ = ["AnswerForm", "Bench", "Field", "Reply", "ReplyLine", "Scene"]
