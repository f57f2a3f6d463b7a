"""What the exercises of module 07 share."""

from __future__ import annotations

MODULE = "07_stray_current_hunt"
