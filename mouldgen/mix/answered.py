"""What is read off the answer of closed forms, which lives on a floor above."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from mouldgen.gap.budget import Gap
    from mouldgen.gap.question import GapQuestion
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.allowances import Allowances
    from mouldgen.job.model import Job
    from mouldgen.size import SizeQuestion
    from mouldgen.size.mould_size import MouldSize


class Answered(Protocol):
    """What closed forms say about a job: `mouldgen.answer.Answer` is one."""

    @property
    def job(self) -> Job:
        """What the maker said."""

    @property
    def insert(self) -> InsertFacts:
        """The insert as facts."""

    @property
    def allowances(self) -> Allowances:
        """Of the piece's size class."""

    @property
    def sizes(self) -> SizeQuestion:
        """What the sizes depend on besides the gap."""

    @property
    def question(self) -> GapQuestion:
        """What the rules for the gap were asked."""

    @property
    def gap(self) -> Gap:
        """Their answer."""

    @property
    def size(self) -> MouldSize | None:
        """The sizes at that gap, or None in a conflict."""

    @property
    def moulds(self) -> int:
        """How many blanks to start."""

    @property
    def fillings(self) -> int:
        """How often a whole mould is filled."""

    @property
    def printed(self) -> int:
        """Moulds that are printed."""
