"""From the resin that the moulds need to what is weighed into which cup when.

Nothing here is needed for the moulds, so that it is reckoned only when asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from mouldgen.errors import InputError
from mouldgen.gap.aging import at_shop
from mouldgen.gap.session import latest_close_s
from mouldgen.job.first_article import first_alone as is_first_alone
from mouldgen.job.shop_tables import Extras
from mouldgen.job.work import work_times
from mouldgen.mix.amounts import Amounts, amounts
from mouldgen.mix.batches import Batches, BatchQuestion, Session, batches, one_mould, recipes
from mouldgen.mix.clock import hands_of
from mouldgen.mix.life import gel_s
from mouldgen.mix.need import Need, need_of
from mouldgen.mix.portion import Stock, Tint
from mouldgen.mix.weighing import tint_share
from mouldgen.size.rubber import RubberSize

if TYPE_CHECKING:
    from mouldgen.finding import Finding
    from mouldgen.gap.question import GapQuestion
    from mouldgen.insert.facts import InsertFacts
    from mouldgen.job.material_tables import Resin
    from mouldgen.job.model import Piece
    from mouldgen.mix.answered import Answered
    from mouldgen.size.mould_size import MouldSize

_NEVER_BINDS_S = 2.0  # so near to the gel the air limits nothing by itself


@dataclass(frozen=True, eq=False)
class Mixing:
    """How the resin of a job is mixed.

    need : what the moulds need of each colour.
    question : what the batches were cut by.
    batches : the sessions; None where not one mould can be poured in time.
    others : what other ways would have taken, the next best first.
    amounts : the resin of all moulds, with the card's loss.
    catch_ml : that one catch mould holds [ml].
    findings : what to fix, to look at and to know.
    """

    need: Need
    question: BatchQuestion
    batches: Batches | None
    others: tuple[Batches, ...]
    amounts: Amounts
    catch_ml: float
    findings: tuple[Finding, ...]

    @property
    def sessions(self) -> tuple[Session, ...]:
        """Load by load, its pours one after another; none where nothing can be poured."""
        return () if self.batches is None else self.batches.sessions

    @property
    def mixed_ml(self) -> float:
        """Of all mixes, before rounding [ml]: the amounts' total and `more_ml`."""
        return math.fsum(mix.mixed_ml for s in self.sessions for mix in s.portions)

    @property
    def more_ml(self) -> float:
        """Beyond the card's loss: what cups keep over it, and least batches [ml]."""
        return math.fsum(
            mix.kept_ml - mix.loss_ml + mix.topped_ml for s in self.sessions for mix in s.portions
        )

    @property
    def weighed_g(self) -> float:
        """Of all mixes, as weighed [g]."""
        return math.fsum(mix.weighed.total_g for s in self.sessions for mix in s.portions)

    @property
    def stopped(self) -> bool:
        """Whether anything must be fixed before mixing."""
        return any(finding.severity == "stop" for finding in self.findings)

    def one_alone(self) -> tuple[Session, ...]:
        """One mould by itself in the way that is taken, pour by pour; none where nothing is.

        Of a test casting, which goes before the sessions and is none of them.
        """
        question, pours = self.question, len(self.need.pours)
        return tuple(
            session
            for recipe, sessions in zip(recipes(question), one_mould(question), strict=True)
            if self.batches is not None and recipe == self.batches.recipe
            for session in sessions[:pours]
        )

    def catch_moulds(self, session: Session) -> int:
        """Catch moulds for what a session tops up to its least batch; 0 where it does not."""
        if not any(mix.topped_ml > 0.0 for mix in session.portions):
            return 0
        return math.ceil(left_ml(session) / self.catch_ml)


def left_ml(session: Session) -> float:
    """Weighed in a session and neither poured nor kept in cups [ml]."""
    return math.fsum(mix.left_ml for mix in session.portions)


def mixing(
    answer: Answered,
    *,
    found: Amounts | None = None,
    most_per_load: int | None = None,
    first_alone: bool | None = None,
    told: bool = True,
) -> Mixing:
    """How the resin of a job is mixed.

    answer : its closed forms, with a size.
    found : the amounts of a finished set; None for those of the closed form, in which legs, pips
        and grooves are left out.
    most_per_load : moulds that go into the pot at once; None where that limits nothing.
    first_alone : whether the first mould is a load of its own; None for as the job says.

    told : whether findings are looked for where there are sessions; the heat of a cup takes time.

    Raises InputError where the job has no gap, or for fewer than one mould a load.
    """
    size, job = answer.size, answer.job
    if size is None:
        raise InputError("a job without a gap has no resin to mix", where="[mould] gap")
    if most_per_load is not None and most_per_load < 1:
        raise InputError(f"{most_per_load} moulds a load", allowed="1 or more")
    from mouldgen.mix.mixing_findings import findings_of  # late: it looks at what is made here

    found = found or closed_amounts(answer, size)
    need = need_for(answer, size, per_mould_ml=found.per_mould_ml)
    shown = shown_mm(job.piece, answer.insert)
    tints = tuple(
        Tint(colour.name, tint_share(colour, shown_mm=shown), colour.gel_factor)
        for colour in job.colour
    ) or (Tint(""),)
    order = answer.gap.sequence
    question = BatchQuestion(
        need=need,
        tints=tints,
        stock=Stock(job.resin, job.shop.scale, answer.allowances.cup_loss_g),
        hands=hands_of(work_times(job.work), job.pour, order=order, pot=job.pot is not None),
        order=order,
        gel=partial(_gel_s, job.resin, job.pour.shop),
        air_s=air_limit_s(answer.question, size.gap_mm),
        reserve_s=job.pour.reserve,
        most=most_at_once(answer, size, most_per_load),
        most_g=job.pour.batch,
        first_alone=is_first_alone(job, answer.fillings) if first_alone is None else first_alone,
    )
    ways = batches(question)
    made = Mixing(
        need=need,
        question=question,
        batches=ways[0] if ways else None,
        others=ways[1:],
        amounts=found,
        catch_ml=(job.extras or Extras()).catch_volume,
        findings=(),
    )
    if ways and not told:
        return made
    return replace(made, findings=findings_of(made, answer, size, shown_mm=shown))


def closed_amounts(answer: Answered, size: MouldSize) -> Amounts:
    """The resin of a job before any solid is made.

    answer, size : the closed forms.
    """
    return amounts(
        size.net_ml * size.blanks,
        riser_ml=size.riser_ml * size.blanks,
        features_ml=0.0,
        moulds=answer.fillings,
        resin=answer.job.resin,
        scale_g=answer.job.shop.scale,
    )


def need_for(answer: Answered, size: MouldSize, *, per_mould_ml: float) -> Need:
    """What the moulds of a job need at one size.

    answer, size : the closed forms.
    per_mould_ml : of one mould [ml].
    """
    job = answer.job
    return need_of(
        answer.sizes,
        size,
        pour=job.pour,
        colours=job.colour,
        moulds=answer.fillings,
        per_mould_ml=per_mould_ml,
    )


def air_limit_s(question: GapQuestion, gap_mm: float) -> float | None:
    """The latest close at which air still clears the gap, from the start of mixing [s].

    None where that limits nothing: air clears up to the gel, or at no time at all.

    question : of the rules for the gap.
    gap_mm : of the moulds [mm].
    """
    latest = latest_close_s(question, gap_mm)
    gelled = at_shop(question.resin, question.pour).gel_s
    return None if latest == 0.0 or latest > gelled - _NEVER_BINDS_S else latest


def most_at_once(answer: Answered, size: MouldSize, most_per_load: int | None) -> int:
    """Moulds that one session takes at most: those that there are, and what the pot holds.

    answer, size : the closed forms.
    most_per_load : that go into the pot at once; None where that limits nothing.
    """
    there_are = answer.printed
    if isinstance(size, RubberSize):
        there_are = size.up * (answer.job.mould.sets or 1)  # cavities of rubber, each with a lid
    return min(there_are, answer.fillings, most_per_load or answer.fillings)


def shown_mm(piece: Piece, insert: InsertFacts) -> float | None:
    """Thickness of resin in a finished piece, from its side to the insert's core [mm].

    None where the core comes to the side.

    piece : finished.
    insert : in it.
    """
    thick = piece.diameter / 2.0 - insert.core_mm
    return thick if thick > 0.0 else None


def _gel_s(resin: Resin, shop_c: float, mass_g: float) -> float:
    return gel_s(resin, shop_c=shop_c, mass_g=mass_g)
