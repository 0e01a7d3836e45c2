"""What every command on a job was asked for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob


@dataclass(frozen=True, eq=False)
class Asked:
    """The common options of a command on a job.

    job : a file, or the name of a shipped job.
    out : folder that holds a folder a job.
    json : answer with one JSON object.
    sets : settings such as ``order.pieces=24``.
    quiet : only the result and what must be fixed.
    verbose : every note, every source.
    castings : the castings file, or None for the shop's own.
    no_castings : as if none were logged.
    """

    job: str
    out: Path = Path("out")
    json: bool = False
    sets: tuple[str, ...] = ()
    quiet: bool = False
    verbose: bool = False
    castings: Path | None = None
    no_castings: bool = False

    def into(self, out: Path) -> Asked:
        """The same, with its files in another folder.

        out : folder that holds a folder a job.
        """
        return replace(self, out=out)

    def load(self) -> LoadedJob:
        """Read the job, and what castings teach it.

        Raises what `mouldgen.job.load.load_job` raises, UsageError for a castings file that was
        named and is not there.
        """
        from mouldgen.cli.lessons import with_lessons
        from mouldgen.job.load import load_job

        loaded = load_job(self.job, sets=self.sets)
        return with_lessons(loaded, self.job, castings=self.castings, without=self.no_castings)
