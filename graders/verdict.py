"""The verdict on a bonded fibreglass boat, by shift from her baseline and by the limit of overprotection."""

from __future__ import annotations

from course.boats.afloat import Afloat
from course.boats.datasets import row
from graders.truth import anodes_off, span

CRITERION = row("criteria", "fibreglass_mixed_metals")
NEEDED_SHIFT_MV: float = CRITERION["shift_mV"]


def card_baseline(afloat: Afloat) -> float:
    """Return the baseline for a boat's record card [mV, to the nearest 5]: amidships, the large anodes off."""
    return 5 * round(span(afloat, afloat.steady(anodes_off(afloat))).middle / 5)


def verdict_on(reading: float, baseline: float) -> str:
    """Return the verdict on a reading [mV against silver/silver-chloride in sea water]."""
    if reading < CRITERION["protected_above_mV"]:
        return "overprotected"
    shifted = baseline - reading >= NEEDED_SHIFT_MV and reading <= CRITERION["protected_below_mV"]
    return "protected" if shifted else "unprotected"


def true_verdict(afloat: Afloat) -> str:
    """Return the verdict that a right reading of this boat, as she lies, leads to."""
    return verdict_on(span(afloat, afloat.steady(afloat.start)).middle, card_baseline(afloat))
