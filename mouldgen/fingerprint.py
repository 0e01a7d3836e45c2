"""What tells an output from all others: the version that made it, and the job that it is of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.memo import digest

if TYPE_CHECKING:
    from mouldgen.finding import Learned
    from mouldgen.job.model import Job

ON_PAPER = 12  # digits that are shown where people read them


def fingerprint_of(job: Job, learned: Learned) -> str:
    """The fingerprint of a job and of the set made from it, as 32 hexadecimal digits.

    job : presets and shop file merged in.
    learned : what castings have taught; a job that they do not move keeps its fingerprint.
    """
    shift = learned.air_shift if job.mould.gap == "auto" else 0.0
    return digest((job, shift) if shift else job).hex()


def made_by(fingerprint: str) -> str:
    """The line that an output carries, such as ``mouldgen 0.1.0, job 5f0c3a91…``.

    fingerprint : of its job, all of it or what is shown of it.
    """
    import mouldgen

    return f"mouldgen {mouldgen.__version__}, job {fingerprint}"
