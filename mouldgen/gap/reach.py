"""How far the rules look for a gap."""

from __future__ import annotations

# Beyond this no cup is a cup with a gap any more, and the formulas of narrow gaps say nothing.
LARGEST_GAP_MM = 100.0
