"""An order, and what lies on a bed, in a sentence."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from mouldgen.sheet.plain_words import count, length

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.layout.beds import BedPlan


def lead_words(job: Job) -> str:
    """The order in one sentence: how many pieces, of what, in which resin.

    job : whose order it is.
    """
    insert, inches = job.insert, job.unit == "in"
    across = [insert.diameter] if insert.diameter else [insert.width, insert.thickness]
    if insert.profile:
        across = [2.0 * max(radius for _, radius in insert.profile)]
    size = " x ".join(length(mm, inches=inches) for mm in (*across, insert.length) if mm)
    what = f"{insert.wood} {insert.shape}" if insert.wood else insert.shape
    a, b = job.resin.ratio
    resin = job.resin.title or f"{job.resin.kind}, {a:g}:{b:g} by {job.resin.ratio_basis}"
    return f"{count(job.order.pieces, 'piece')}, {what} {size} in {resin}."


def on_bed(bed: BedPlan) -> str:
    """The parts of a bed, counted.

    bed : with its parts.
    """
    many = Counter(item.part for item in bed.items)
    more = {"body": "bodies"}
    return " and ".join(count(n, part, more.get(part, "")) for part, n in many.items())
