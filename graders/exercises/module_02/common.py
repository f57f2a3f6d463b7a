"""What the exercises of module 02 share."""

from __future__ import annotations

MODULE = "02_galvanic_series"
LESS_NOBLE = ("mild_steel", "cast_iron", "aluminium_5083", "aluminium_6061", "low_alloy_steel")
NOBLER = (
    "silicon_bronze",
    "nickel_aluminium_bronze",
    "copper",
    "alloy_400",
    "stainless_316_passive",
    "naval_brass",
)
