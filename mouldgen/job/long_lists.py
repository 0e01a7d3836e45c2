"""Lists that are longer than any job has: a file that a program wrote, or a slip of the keys."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Job
from mouldgen.job.objection import Objection

# Table, key and the most values; each a few times what a large job takes (common practice, no
# source), and what is worked through in seconds.
_MOST = (
    ("insert", "profile", 500),
    ("insert", "member", 100),
    ("insert", "measured", 1000),
    ("piece", "outline", 500),
    ("printer", "keep_out", 50),
    ("shop", "closed", 1000),
    ("colour", "", 50),
)


def long_lists(job: Job) -> Iterator[Objection]:
    """Lists that cannot be meant."""
    for table, key, most in _MOST:
        part = getattr(job, table)
        values = getattr(part, key) if key else part
        if values is not None and len(values) > most:
            what = f"{len(values)} are more than any job has"
            yield table, key, what, f"at most {most}", _TRY.get(key, "")


_TRY = {
    "profile": "Leave points out where the outline is nearly straight.",
    "outline": "Leave points out where the outline is nearly straight.",
    "member": "Many thin ones are told as a heap, by what they weigh or displace.",
}
