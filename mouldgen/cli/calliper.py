"""Where to put the calliper, drawn in text."""

from __future__ import annotations

ROUND = """\
   Measure one insert across its widest, at both ends and in the middle:

         1                  2                  3
         |                  |                  |
     ____v__________________v__________________v____
    |                                               |
    |                    insert                     |
    |_______________________________________________|
         ^                  ^                  ^
         |                  |                  |
         a finger's width from the end, the middle, and the other end
"""
FLUTE = ROUND.replace("across its widest", "across its ridges, not in the flutes")
BAR = ROUND.replace("across its widest", "across its wider side")
DRAWINGS = {"rod": ROUND, "flute": FLUTE, "bar": BAR}
