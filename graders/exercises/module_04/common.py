"""What the exercises of module 04 share."""

from __future__ import annotations

MODULE = "04_bonding_and_anodes"
MOST_OHM = 1.0  # from any protected metal to the anode: small-craft practice as publicly summarised
HOURS_IN_A_YEAR = 8766.0
