"""What an order takes: castings, moulds, resin, plastic, loads and mixes, as counts and amounts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from mouldgen.gap.sequence import RESIN_FIRST
from mouldgen.job.cells import pieces_per_blank
from mouldgen.job.first_article import first_alone
from mouldgen.job.mixed import mixed_g_ml
from mouldgen.mix.answered import Answered
from mouldgen.mould.families import family_of
from mouldgen.shop.mould_plastic import beds_for, mould_plastic_ml
from mouldgen.shop.no_spares import TESTS

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts
    from mouldgen.size.mould_size import MouldSize


class ClosedForms(Answered, Protocol):
    """The same, with how many blanks are started."""

    @property
    def moulds(self) -> int:
        """How many blanks are started."""


@dataclass(frozen=True, eq=False)
class Needs:
    """What an order takes.

    pieces : good ones that are handed over.
    per_blank : finished pieces out of one casting.
    castings : that are started for the order.
    trials : of other wood, cast before wood that has no spares.
    fillings : how often a whole mould is filled, trials too.
    moulds : that are printed, or cast in rubber.
    turned_away : whether a mould serves one filling only.
    resin_ml : poured into moulds, without loss [ml].
    density_g_ml : of the mixed resin [g/ml].
    plastic_g : printed solid [g].
    print_s : of the printer [s].
    beds : print beds.
    mixes : how often resin is mixed.
    tints : stirred into each mix.
    pours : into one mould, one over the other.
    loads : of the pot; 0 without one.
    batches : how often saw, drill and lathe are set up.
    drilled, tapped : whether a piece has a hole, and a thread in it that takes hardware.
    fill_mixes : how often resin is mixed to fill voids; 0 where none is expected.
    pushed_s : to push an insert home where the resin is in first [s]; 0 elsewhere.
    customers_wood : whether the wood is not bought.
    """

    pieces: int
    per_blank: int
    castings: int
    trials: int
    fillings: int
    moulds: int
    turned_away: bool
    resin_ml: float
    density_g_ml: float
    plastic_g: float
    print_s: float
    beds: int
    mixes: int
    tints: int
    pours: int
    loads: int
    batches: int
    drilled: bool
    tapped: bool
    pushed_s: float
    customers_wood: bool
    fill_mixes: int = 0

    @property
    def cast(self) -> int:
        """Castings in all, trials too."""
        return self.castings + self.trials


def needs_of(
    answer: ClosedForms,
    *,
    most_per_load: int | None = None,
    found: Amounts | None = None,
    size: MouldSize | None = None,
) -> Needs | None:
    """What closed forms tell of an order; None where no gap fits.

    The first piece is turned by itself where the customer is shown it, so the set-ups come twice;
    so they do where a trial in other wood goes before the customer's own, which is mixed and loaded
    on top of what the order takes.
    Mixes and loads are those that the resin is really mixed in, least batches topped up; where not
    one mould can be poured in time, one mix a load.

    answer : of the job.
    most_per_load : moulds that the pot takes at once; None where that limits nothing.
    found : the resin of finished moulds; None reckons it from sizes.
    size : of the mould at another gap than the answer's.  Its mixes are then not planned, which
        takes longer than all else: mixes and loads count as one, and least batches are left out.
    """
    job, at_gap = answer.job, size is not None
    size = size or answer.size
    if size is None:
        return None
    family = family_of(job.mould.family)
    rubber = family.name == "master"
    turned_away = not (family.casts_each or rubber or job.mould.sets)
    trials = TESTS if job.order.customers_wood else 0
    printed = (job.mould.sets or 1) if rubber else answer.printed
    printed += trials if turned_away else 0
    boxes = 1 if rubber else printed  # moulds of rubber come out of one printed box
    plastic_ml = boxes * mould_plastic_ml(size, family.name)
    beds = beds_for(size, job.printer, moulds=boxes)
    layers = beds * size.body_height_mm / job.printer.layer
    if at_gap:
        mixed = _Mixed(_poured_ml(answer, size), mixes=1, loads=1, alone=1)
    else:
        mixed = _mixed(answer, size, most_per_load, found)
    return Needs(
        pieces=job.order.pieces,
        per_blank=pieces_per_blank(job),
        castings=answer.moulds,
        trials=trials,
        fillings=answer.fillings + trials,
        moulds=printed,
        turned_away=turned_away,
        resin_ml=mixed.resin_ml * (1.0 + trials / answer.fillings),
        density_g_ml=mixed_g_ml(job.resin),
        plastic_g=plastic_ml * job.plastic.density,
        print_s=1000.0 * plastic_ml / job.printer.flow + layers * job.printer.layer_change,
        beds=beds,
        mixes=mixed.mixes + trials * mixed.alone,
        tints=len(job.colour),
        pours=job.pour.layers,
        loads=0 if job.pot is None else mixed.loads + trials * job.pour.layers,
        batches=1 + (trials or int(first_alone(job, answer.fillings))),
        drilled=job.piece.hole is not None or job.piece.thread is not None,
        tapped=job.piece.thread is not None,
        pushed_s=job.pour.push_time if answer.gap.sequence == RESIN_FIRST else 0.0,
        customers_wood=job.order.customers_wood,
        fill_mixes=int(job.order.fills > 0.0),
    )


def built(needs: Needs, *, plastic_g: float, print_s: float, beds: int) -> Needs:
    """The same with what printing takes as read off the solids, a trial's mould on top.

    needs : from sizes.
    plastic_g : of all moulds of the job, printed solid [g].
    print_s : of all beds [s].
    beds : how many.
    """
    ordered = needs.moulds - needs.trials if needs.turned_away else needs.moulds
    more = needs.moulds / ordered
    return replace(
        needs,
        plastic_g=plastic_g * more,
        print_s=print_s * more,
        beds=beds + (needs.trials if more > 1.0 else 0),
    )


@dataclass(frozen=True, eq=False)
class _Mixed:
    """How the resin of an order is mixed.

    resin_ml : poured, and what least batches and cups take over the card's loss [ml].
    mixes, loads : how often.
    alone : mixes for one mould by itself.
    """

    resin_ml: float
    mixes: int
    loads: int
    alone: int


def _poured_ml(answer: ClosedForms, size: MouldSize) -> float:
    return answer.fillings * size.blanks * (size.net_ml + size.riser_ml)


def _mixed(
    answer: ClosedForms, size: MouldSize, most_per_load: int | None, amounts: Amounts | None
) -> _Mixed:
    from mouldgen.mix.mixing import mixing  # late: at another gap no mixes are planned

    found = mixing(answer, found=amounts, most_per_load=most_per_load)
    poured_ml = _poured_ml(answer, size)
    if amounts is not None:
        poured_ml = amounts.all.poured_ml
    if found.batches is not None:
        more_ml = max(0.0, found.more_ml) / (1.0 + answer.job.resin.loss)
        return _Mixed(
            poured_ml + more_ml,
            mixes=found.batches.mixes,
            loads=len(found.sessions),
            alone=sum(len(session.portions) for session in found.one_alone()),
        )
    at_once = min(most_per_load or answer.fillings, answer.printed)
    first = int(first_alone(answer.job, answer.fillings))
    runs = (first - (first - answer.fillings) // at_once) * answer.job.pour.layers
    return _Mixed(poured_ml, mixes=runs, loads=runs, alone=answer.job.pour.layers)
