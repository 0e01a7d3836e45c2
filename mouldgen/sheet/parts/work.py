"""What the parts of a job sheet are made from."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.tune import Tuned
    from mouldgen.gap.budget import Gap
    from mouldgen.job.model import Job
    from mouldgen.layout.pot import PotPlan
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.pot_card_values import PotCard
    from mouldgen.shop.outcome import Outcome
    from mouldgen.shop.plan import Plan
    from mouldgen.shop.purchase import Purchase


@dataclass(frozen=True, eq=False, kw_only=True)
class SheetWork:
    """All that is worked out for one job.

    found : the set of moulds.
    gap : with how far heat would really let it go.
    made : how the resin is mixed; None in a conflict.
    cards : for the pot; none in a conflict.
    pot : its loads; None without a pot, or in a conflict.
    no_pot : why there are no loads, or empty.
    today : the day that the sheet is made on.
    plan : the calendar; None where there is none.
    no_plan : why there is none, or empty.
    purchase, outcome : what to buy, and what to expect; None in a conflict.
    loads : of this job, from the castings file.
    tuned : what castings say of its gap; None where nothing can be said.
    stills : whether pictures of the parts are drawn, which takes longer than all other parts.
    """

    found: MouldSet
    gap: Gap
    made: Mixing | None
    cards: tuple[PotCard, ...]
    pot: PotPlan | None
    no_pot: str
    today: dt.date
    plan: Plan | None
    no_plan: str
    purchase: Purchase | None
    outcome: Outcome | None
    loads: tuple[Load, ...]
    tuned: Tuned | None
    stills: bool = True

    @property
    def job(self) -> Job:
        """What the maker said."""
        return self.found.answer.job

    @property
    def inches(self) -> bool:
        """Whether the job is in inches."""
        return self.job.unit == "in"

    def said(self, text: str) -> str:
        """A sentence in the maker's units."""
        return in_both(text, inches=self.inches)
