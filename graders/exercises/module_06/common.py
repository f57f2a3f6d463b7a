"""What the exercises of module 06 share."""

from __future__ import annotations

MODULE = "06_shore_power"
BLOCKS_V = (1.2, 1.4)  # what two junctions in a row hold off: common trade description
