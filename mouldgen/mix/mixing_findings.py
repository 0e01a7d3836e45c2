"""What to fix, to look at and to know before the resin of a job is mixed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.finding import Finding, worst_first
from mouldgen.gap.heat import data_sheet, heat_j_kg, resin_limit_c
from mouldgen.gap.lying import slab_mm
from mouldgen.gap.push import push
from mouldgen.gap.session import latest_close_s
from mouldgen.mix.batches import one_mould
from mouldgen.mix.clock import clock_text
from mouldgen.mix.fewer_cells import most_cells
from mouldgen.mix.weighing import ratio_finding, tint_findings
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.physics.cure import gel_time_at
from mouldgen.size.round import Size
from mouldgen.size.tray import TraySize

if TYPE_CHECKING:
    from mouldgen.job.material_tables import Resin
    from mouldgen.mix.answered import Answered
    from mouldgen.mix.batches import Session
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mix.need import Need
    from mouldgen.size.mould_size import MouldSize

MUCH = 0.25  # of what is poured, mixed for the least batch alone: more is looked at; our own choice
BIG_CUP_G = 300.0  # that runs away is looked at; our own choice
TOLD = 0.01  # of the resin: less is not worth a sentence
TIGHT_S = 60.0  # to spare, under which a session is told to be tight; our own choice
COLD = 1.5  # times the data sheet's gel, from which its other times are doubted; our own choice


def findings_of(
    made: Mixing, answer: Answered, size: MouldSize, *, shown_mm: float | None
) -> tuple[Finding, ...]:
    """Every finding, the worst first.

    made : how the resin is mixed.
    answer, size : the closed forms.
    shown_mm : thickness of resin in the finished piece, reckoned, or None [mm].
    """
    job = answer.job
    found = [*_air(answer, size)]
    if made.batches is None:
        return worst_first([*_no_time(made, family=job.mould.family), *found])
    found += _rounding(made)
    found += _least(made, printed=job.extras.catch_moulds if job.extras else 0)
    found += _small(made)
    found += _loss(made)
    found += _heat(made, job.resin, shop_c=job.pour.shop)
    found += _tints(made, answer, shown_mm)
    found += _late(made, answer, size)
    found += _tight(made)
    found += _cold(job.resin, shop_c=job.pour.shop)
    found += _window(made, job.resin)
    found += _thin(job.resin, answer, size)
    found += _cells_over(made.need, castings=answer.moulds)
    return worst_first(found)


def _no_time(made: Mixing, *, family: str) -> Iterator[Finding]:
    """Not even one mould is shut in time by any way to mix."""
    q = made.question
    cells = most_cells(q)
    number = "one cell" if cells == 1 else f"{cells} or fewer cells"
    fewer = "" if cells is None else f"{number} in a {family} ([mould] cells)"
    tried = one_mould(q)
    heaviest = [max(session.heaviest_g for session in sessions) for sessions in tried]
    light = [
        sessions
        for sessions, mass_g in zip(tried, heaviest, strict=True)
        if q.most_g is None or mass_g <= q.most_g + 1e-9
    ]
    if q.most_g is not None and not light:
        least = min(heaviest)
        finer = (
            ", a finer scale" if (q.stock.resin.least_batch or 0.0) < q.stock.scale_least_g else ""
        )
        yield Finding(
            "mix.batch", "mix", "stop",
            f"One mould alone takes a mix of {least:g} g and [pour] batch is {q.most_g:g} g:"
            " nothing can be poured. Allow a larger batch, fill the mould in more"
            f" layers{finer}{fewer and f', take {fewer}'}, or take a resin with a smaller least"
            " batch.",
            measured=least, limit=q.most_g, place="[pour] batch",
        )  # fmt: skip
        return
    # Of every way to mix the session that comes latest, and of the ways the one that is nearest.
    worst = max(
        (min(sessions, key=lambda s: s.clock.slack_s) for sessions in light),
        key=lambda s: s.clock.slack_s,
    )
    clock = worst.clock
    yield Finding(
        "mix.no-time", "mix", "stop",
        f"Not one mould can be poured in time: alone it is shut {clock_text(clock.close_s)} after"
        f" mixing starts, and {_limit_words(worst)} allows {clock_text(clock.limit_s)}."
        f" {_remedies(worst, fewer_cells=fewer)}",
        measured=clock.close_s, limit=clock.limit_s, place="[pour]",
    )  # fmt: skip


def _limit_words(session: Session) -> str:
    if session.clock.limited_by == "air":
        return "the air that has to clear the gap"
    return "the gel less its reserve"


def _remedies(session: Session, *, fewer_cells: str) -> str:
    clock = session.clock
    longer = clock.close_s / clock.limit_s if clock.limit_s > 0.0 else math.inf
    times = math.ceil(10.0 * longer - 1e-6) / 10.0 if math.isfinite(longer) else 0.0
    slower = f" (at least {times:g} times as slow)" if times else ""
    cups = sum(len(mix.cups) for mix in session.portions)
    fewer = ", or fewer colours in a mould" if cups > 1 else ""
    air = ", or a wider gap" if clock.limited_by == "air" else ""
    return (
        f"Try {fewer_cells and f'{fewer_cells}, '}a smaller batch in more layers, a cooler shop, a"
        f" slower resin{slower}{air}{fewer};"
        " and time your own hands: [pour] mix and push_time, [work] split, stir, pour, place, lid"
        " and load are what the clock is made of."
    )


def _air(answer: Answered, size: MouldSize) -> Iterator[Finding]:
    if latest_close_s(answer.question, size.gap_mm) > 0.0:
        return
    yield Finding(
        "mix.air", "mix", "warn",
        "Air clears this gap at no close after mixing, so that only the gel limits the clock: close"
        " as soon as you can, or make the gap wider.",
        place="[mould] gap",
    )  # fmt: skip


def _rounding(made: Mixing) -> Iterator[Finding]:
    stock = made.question.stock
    mixes = [mix.weighed for s in made.sessions for mix in s.portions]
    worst = max(mixes, key=lambda weighed: abs(weighed.shift))
    finding = ratio_finding(worst, digit_g=stock.digit_g, tolerance=stock.resin.ratio_tolerance)
    if finding is not None:
        yield finding


def _least(made: Mixing, *, printed: int) -> Iterator[Finding]:
    """Mixes that are larger than they need be."""
    stock, topped = made.question.stock, [
        (session, mix) for session in made.sessions for mix in session.portions if mix.topped_ml > 0
    ]  # fmt: skip
    if not topped:
        return
    more = math.fsum(mix.topped_ml for _, mix in topped)
    poured = made.need.per_mould_ml * made.need.moulds
    each = [made.catch_moulds(session) for session in made.sessions]
    catch, at_once = sum(each), max(each)
    by_card = (stock.resin.least_batch or 0.0) >= stock.scale_least_g
    why = (
        f"[resin] least_batch, {stock.least_g:g} g"
        if by_card
        else f"{stock.least_g:.0f} g, under which the scale's {stock.digit_g:g} g are more than 2 %"
        " of the smaller part"
    )
    mixes = made.batches.mixes if made.batches else 0
    number = "The only mix is" if mixes == 1 else f"{len(topped)} of {mixes} mixes are"
    cups = f" [extras] catch_moulds = {at_once} prints enough for one session." * (
        at_once > printed
    )
    yield Finding(
        "mix.least", "mix", "warn" if more > MUCH * poured else "note",
        f"{number} topped up to {why}: {more:.0f} ml beyond what the moulds take, for {catch} catch"
        f" mould{'s' * (catch != 1)} of {made.catch_ml:g} ml.{cups}",
        measured=more, limit=0.0, place="[resin] least_batch" if by_card else "[shop] scale",
    )  # fmt: skip


def _small(made: Mixing) -> Iterator[Finding]:
    """Mixes under what is told of such resins: looked at, for no data sheet asks for more."""
    stock = made.question.stock
    limit = stock.resin.small_batch
    mixes = [mix for session in made.sessions for mix in session.portions]
    small = [mix for mix in mixes if limit is not None and mix.weighed.total_g < limit]
    if limit is None or not small:
        return
    lightest = min(mix.weighed.total_g for mix in small)
    more = math.fsum(limit - mix.weighed.total_g for mix in small) / stock.density_g_ml
    if len(mixes) == 1:
        what = f"The only mix is {lightest:g} g:"
    else:
        what = (
            f"{len(small)} of {len(mixes)} mixes {'is' if len(small) == 1 else 'are'} small, the"
            f" lightest {lightest:g} g:"
        )
    yield Finding(
        "mix.small", "mix", "warn",
        f"{what} under {limit:g} g such a resin is said to stay cool and soft ([resin]"
        " small_batch). Nothing is topped up for it. Look into the data sheet: where it asks for"
        f" so much, write [resin] least_batch = {limit:g} g, which takes about {more:.0f} ml more;"
        " else cast one mould first and see whether it gets hard.",
        measured=lightest, limit=limit, place="[resin] small_batch",
    )  # fmt: skip


def _loss(made: Mixing) -> Iterator[Finding]:
    mixes = [mix for s in made.sessions for mix in s.portions]
    over = math.fsum(mix.kept_ml - mix.loss_ml for mix in mixes)
    if over <= TOLD * made.mixed_ml:
        return
    stock = made.question.stock
    yield Finding(
        "mix.loss", "mix", "note",
        f"Small cups keep more than the card's {100.0 * stock.resin.loss:g} %: at"
        f" {stock.cup_loss_g:g} g a cup, {over:.0f} ml more are mixed.",
        measured=over, limit=0.0, place="[resin] loss",
    )  # fmt: skip


def _heat(made: Mixing, resin: Resin, *, shop_c: float) -> Iterator[Finding]:
    """The largest cup that stands by itself, left there."""
    from mouldgen.physics.bands import cup_bands

    mass = max(cup.g for s in made.sessions for mix in s.portions for cup in mix.cups)
    bands = cup_bands(
        data_sheet(resin), mass / 1000.0, heat=heat_j_kg(resin), air=shop_c + ZERO_CELSIUS
    )
    limit = resin_limit_c(resin)
    low, high = bands.peak.low - ZERO_CELSIUS, bands.peak.high - ZERO_CELSIUS
    if high <= limit:
        return
    big = low > limit and mass >= BIG_CUP_G
    peak = f"{math.floor(low)} to {math.ceil(high)} degC"
    split = " Split it into smaller cups as soon as it is mixed." if big else ""
    yield Finding(
        "mix.heat", "mix", "warn" if big else "note",
        f"Left standing, a cup of {mass:g} g would reach {peak}, above {limit:g} degC.{split}"
        " Pour by the clock; what is left goes into catch moulds, or out flat on metal, outside.",
        measured=high, limit=limit, place="[pour]",
    )  # fmt: skip


def _tints(made: Mixing, answer: Answered, shown_mm: float | None) -> Iterator[Finding]:
    cups = [cup for s in made.sessions for mix in s.portions for cup in mix.cups]
    for k, colour in enumerate(answer.job.colour):
        own = [cup.g for cup in cups if cup.colour == k]
        if own:
            yield from tint_findings(
                colour, shown_mm=shown_mm, least_g=min(own), digit_g=made.question.stock.digit_g
            )


def _late(made: Mixing, answer: Answered, size: MouldSize) -> Iterator[Finding]:
    """Inserts that are pushed in later than the rule for the gap reckoned with."""
    if not too_stiff(made.sessions, answer, gap_mm=size.gap_mm, order=made.question.order):
        return
    pour = answer.job.pour
    latest = max(session.clock.close_s for session in made.sessions)
    yield Finding(
        "mix.late", "mix", "warn",
        f"The fullest session is shut at {clock_text(latest)}. The gap was chosen for [pour] close"
        f" at {clock_text(pour.close)}; so much later the last inserts are too stiff to push home"
        " in it. Fill fewer moulds at once, or write the later close and take the wider gap.",
        measured=latest, limit=pour.close, place="[pour] close",
    )  # fmt: skip


def _tight(made: Mixing) -> Iterator[Finding]:
    """A session that a dropped stick makes late."""
    tightest = min(made.sessions, key=lambda session: session.clock.slack_s)
    spare = tightest.clock.slack_s
    if spare >= TIGHT_S or len(tightest.moulds) == 1:
        return
    yield Finding(
        "mix.tight", "mix", "note",
        f"The tightest session leaves {clock_text(math.floor(spare))} to spare. Walk through it"
        " once without resin and time your hands ([work]); [pour] reserve keeps more time free"
        " before the gel.",
        measured=spare, limit=TIGHT_S, place="[pour] reserve",
    )  # fmt: skip


def _cold(resin: Resin, *, shop_c: float) -> Iterator[Finding]:
    """A shop in which the data sheet's hours for the mould and the full cure are too few."""
    sheet_k = resin.gel_temperature + ZERO_CELSIUS
    times = gel_time_at(shop_c + ZERO_CELSIUS, gel_time=1.0, gel_temperature=sheet_k)
    if times < COLD:
        return
    yield Finding(
        "mix.cold", "mix", "warn",
        f"At {shop_c:.3g} degC the resin gels {times:.1f} times as slowly as at the"
        f" {resin.gel_temperature:.3g} degC of its data sheet, and it cures as slowly: its hours"
        " until demoulding and until the full cure are too few. Warm the shop, or keep the moulds"
        " warm, and look whether the data sheet allows this temperature at all.",
        measured=shop_c, limit=resin.gel_temperature, place="[pour] shop",
    )  # fmt: skip


def too_stiff(sessions: Sequence[Session], answer: Answered, *, gap_mm: float, order: str) -> bool:
    """Whether the last inserts can no longer be pushed home, though at the job's close they could.

    sessions : of the job.
    answer : the closed forms.
    gap_mm : of the moulds [mm].
    order : what goes into the mould first.
    """
    pour = answer.job.pour
    latest = max(session.clock.close_s for session in sessions)
    if latest <= pour.close + 0.5 or order != "resin-first":
        return False
    asks, then = (
        push(replace(answer.question, pour=pour.model_copy(update={"close": close_s}))).value_mm
        for close_s in (pour.close, latest)
    )
    gap = gap_mm + 1e-9
    return asks is not None and asks <= gap and (then is None or then > gap)


def _window(made: Mixing, resin: Resin) -> Iterator[Finding]:
    if len(made.need.pours) > 1 and resin.recoat is None:
        yield Finding(
            "mix.recoat", "mix", "warn",
            "The mould is filled in several pours and the card does not tell when one holds on the"
            " last: read it in the data sheet.",
            place="[resin] recoat",
        )  # fmt: skip


def _thin(resin: Resin, answer: Answered, size: MouldSize) -> Iterator[Finding]:
    """A resin that needs its own heat, in a mould that lets it go."""
    thick = thickness_mm(answer, size)
    if resin.least_depth is None or thick is None or thick >= resin.least_depth:
        return
    yield Finding(
        "mix.thin", "mix", "note",
        f"The resin counts as {thick:.1f} mm thick and the card asks for {resin.least_depth:g} mm:"
        " so thin it may stay cool and cure slowly. Give it longer in the mould than the card"
        " says.",
        measured=thick, limit=resin.least_depth, place="[resin] least_depth",
    )  # fmt: skip


def _cells_over(need: Need, *, castings: int) -> Iterator[Finding]:
    """Moulds of several cells have more of them than castings are begun, and all are filled."""
    each = need.cavities
    over = need.moulds * each - castings
    if each == 1 or over <= 0:
        return
    moulds = (
        f"The {need.moulds} moulds of {each} cells have" if need.moulds > 1 else "The mould has"
    )
    yield Finding(
        "mix.cells", "mix", "note",
        f"{moulds} {need.moulds * each} cells, and castings are begun for {castings} of them."
        f" The resin is reckoned for all: cut {over} more insert{'s' * (over > 1)}, or leave"
        f" {over} cell{'s' * (over > 1)} of the last mould empty and mix"
        f" {over * need.per_mould_ml / each:.0f} ml less.",
        measured=float(castings), limit=float(need.moulds * each), place="[mould] cells",
    )  # fmt: skip


def thickness_mm(answer: Answered, size: MouldSize) -> float | None:
    """How thick a pour counts: twice its volume over its cooled area [mm].

    As the rule on the greatest depth has it: a slab in a tray, a ring round an insert that is
    cooled on its outside.

    answer, size : the closed forms.
    """
    if isinstance(size, TraySize):
        return slab_mm(size, answer.job.pour.layers)
    if not isinstance(size, Size):
        return None
    radius = size.bore_mm(size.fill_mm / 2.0)
    return radius - answer.sizes.insert.section_mm2 / math.pi / radius
