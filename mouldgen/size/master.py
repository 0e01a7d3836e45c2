"""The bore of a rubber mould cast round a printed plug: that of a cup or a contour mould.

A piece with an outline of its own gets a bore that follows it: rubber gives way where a printed
mould would not let go.
"""

from __future__ import annotations

from mouldgen.size import contour, cup
from mouldgen.size.profile import Profile
from mouldgen.size.round import SizeQuestion


def bore(question: SizeQuestion, gap_mm: float) -> Profile:
    """The bare bore at a gap [mm].

    Raises JobError where the draft closes the bore below the insert.
    """
    if question.outline_mm:
        return contour.bore(question, gap_mm)
    return cup.bore(question, gap_mm)
