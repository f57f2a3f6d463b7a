"""What the exercises of module 08 share."""

from __future__ import annotations

MODULE = "08_survey"
