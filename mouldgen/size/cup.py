"""The bore of a cup: a cylinder, or with a draft a frustum that opens upward.

Its radius is reckoned from the lowest section of the insert, where the gap is asked for.
"""

from __future__ import annotations

import math

from mouldgen.errors import JobError
from mouldgen.size.profile import Profile, drafted
from mouldgen.size.round import SizeQuestion


def bore(question: SizeQuestion, gap_mm: float) -> Profile:
    """The bare bore at a gap [mm].

    Raises JobError where the draft closes the bore below the insert.
    """
    q = question
    slope = math.tan(math.radians(q.draft_deg))
    foot = q.insert.envelope_mm + gap_mm - slope * q.pip_mm
    if foot <= q.line_mm:
        raise JobError(
            f"a draft of {q.draft_deg:g} degrees closes the bore at the floor",
            where="[mould] draft",
            try_="Take less draft.",
        )
    return drafted(foot, slope)
