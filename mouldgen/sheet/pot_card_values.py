"""Everything that a pot card tells, as numbers and names: one card each time the pot is shut.

A load that is filled in several pours goes into the pot after each of them, and has a card for
each.  Nothing is reckoned here that `mouldgen.mix` and `mouldgen.layout` do not know.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from mouldgen.errors import NoAnswerError
from mouldgen.job.cells import pieces_per_blank
from mouldgen.layout.pot import PotLoad
from mouldgen.layout.pot_mould import blanks_in
from mouldgen.layout.pot_order import pot_of_order
from mouldgen.mix.mixing import left_ml
from mouldgen.sheet.pot_hold import hold_s, not_before_s, pressure_kpa
from mouldgen.shop.no_spares import no_spares
from mouldgen.size.rubber import RubberSize
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Finding
    from mouldgen.job.model import Job
    from mouldgen.mix.batches import Session
    from mouldgen.mix.clock import CupClock
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mix.portion import CupPortion, Portion
    from mouldgen.size.mould_size import MouldSize


Release = Literal["release", "rubber", "cut"]


@dataclass(frozen=True, eq=False)
class CardCup:
    """One cup of a mix.

    colour : its name; empty for resin as it comes.
    tinted : whether a tint is stirred in.
    g : in it, as the scale shows it [g].
    tint_g : of the tint; None where the job gives none to weigh [g].
    start_s, done_s : when it is tinted or mixed, and when the last of it is poured [s].
    into : numbers of the moulds that it is poured into.
    """

    colour: str
    tinted: bool
    g: float
    tint_g: float | None
    start_s: float
    done_s: float
    into: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class CardMix:
    """One mix of parts A and B.

    a_g, b_g, total_g : as weighed [g].
    mixed_ml : both parts together [ml].
    start_s : when its mixing starts [s].
    tint_before : whether its tint goes into part A first.
    cups : that it is split into, in their order; one alone stays in the mixing cup.
    """

    a_g: float
    b_g: float
    total_g: float
    mixed_ml: float
    start_s: float
    tint_before: bool
    cups: tuple[CardCup, ...]


@dataclass(frozen=True, eq=False)
class CardSpot:
    """Where one mould stands in the pot.

    tier : 1 for the lowest.
    moulds : the first and the last number that it has; of a rubber mould, those of its cavities.
    x, y : from the pot's axis, as a share of its inside radius; x to the right, y to the back.
    """

    tier: int
    moulds: tuple[int, int]
    x: float
    y: float


@dataclass(frozen=True, eq=False)
class CardPot:
    """The pot.

    diameter_mm : inside [mm].
    spots : where the moulds stand; none where no place was found for all of them.
    tiers : that are used; 0 where no place was found.
    headroom_mm : left over the highest mould [mm].
    floor_plate_mm : thickness of the floor plate; 0 where the height is told over it [mm].
    rack, tray : whether a rack and a drip tray are printed for it.
    rating_kpa : gauge, on its plate; None where the maker has not typed it [kPa].
    """

    diameter_mm: float
    spots: tuple[CardSpot, ...]
    tiers: int
    headroom_mm: float
    floor_plate_mm: float
    rack: bool
    tray: bool
    rating_kpa: float | None


@dataclass(frozen=True, eq=False)
class PotCard:
    """One card; times of the clock are from the start of its first mixing.

    job : its name.
    lettered : on the moulds; None where that is not known.
    load, loads, pour, pours : which of how many.
    moulds : their numbers; `all_moulds` are filled in all.
    again : whether moulds are used more than once.
    pieces : first and last number of the finished pieces; `all_pieces` are cast, `ordered` asked
        for.
    kind : of the resin.
    shop_c : of the shop, as reckoned with [C].
    digit_g : the scale's smallest digit [g].
    mixes : in their order.
    mix_s : that mixing takes [s].
    pour_s, close_s : when the first pour starts, and all is shut and under pressure [s].
    limit_s, limited_by : the latest moment for that, and what sets it; None for no limit [s].
    sequence : what goes into the mould first.
    fill_mm : height of the line over the inside floor [mm].
    each_ml : of one mould in this pour [ml].
    pot : None without one.
    pressure_kpa : gauge; None where the job gives none, or no rating that it stays under [kPa].
    pressed : whether there is a pot or a pressure.
    hold_s : from mixing until the pot is vented; None where nothing tells it [s].
    pot_hold_s : that the job asks for under pressure; None where `hold_s` is a data sheet's [s].
    since : window in which this pour holds on the last one, from that one's mixing; None for the
        first [s].
    then : window for the next pour, from this one's mixing; None for the last [s].
    demould_s, turn_s : from the mixing of the last pour; None where the card tells none [s].
    left_ml : weighed and neither poured nor kept [ml].
    catch_moulds, catch_ml : catch moulds for it, and what one holds [ml].
    hold : what holds the insert down, in the job's word.
    release : whether the mould needs one, is cut away, or is of rubber and lets go.
    rubber : whether `moulds` are the cavities of rubber moulds.
    tests : castings of other wood that come before; 0 where there are spares.
    first_alone : whether the first load is one mould, shown before the rest is cast.
    stops : what must be fixed first.
    """

    job: str
    lettered: str | None
    load: int
    loads: int
    pour: int
    pours: int
    moulds: tuple[int, ...]
    all_moulds: int
    again: bool
    pieces: tuple[int, int]
    all_pieces: int
    ordered: int
    kind: str
    shop_c: float
    digit_g: float
    mixes: tuple[CardMix, ...]
    mix_s: float
    pour_s: float
    close_s: float
    limit_s: float | None
    limited_by: str | None
    sequence: str
    fill_mm: float
    each_ml: float
    pot: CardPot | None
    pressure_kpa: float | None
    pressed: bool
    hold_s: float | None
    pot_hold_s: float | None
    since: tuple[float, float] | None
    then: tuple[float, float] | None
    demould_s: float | None
    turn_s: float | None
    left_ml: float
    catch_moulds: int
    catch_ml: float
    hold: str
    release: Release
    rubber: bool
    tests: int
    first_alone: bool
    stops: tuple[str, ...]


def pot_cards(
    answer: Answer,
    made: Mixing,
    *,
    size: MouldSize,
    findings: Sequence[Finding] = (),
    lettered: str | None = None,
) -> tuple[PotCard, ...]:
    """A card for every session, load by load, its pours one after another.

    answer : the closed forms.
    made : how the resin is mixed.
    size : of the moulds.
    findings : of the finished set; those of `made` are told as well.
    lettered : on the moulds.
    """
    inches = answer.job.unit == "in"
    stops = dict.fromkeys(
        in_both(f.message, inches=inches)
        for f in (*findings, *made.findings)
        if f.severity == "stop"
    )
    # Loads of as many moulds stand alike, and finding their places takes a moment.
    numbers = {len(session.moulds) for session in made.sessions}
    stand = {number: _in_pot(answer, size, number) for number in numbers}
    return tuple(
        _card(
            answer, made, session, size=size, load=stand[len(session.moulds)],
            stops=tuple(stops), lettered=lettered,
        )
        for session in made.sessions
    )  # fmt: skip


def _card(
    answer: Answer,
    made: Mixing,
    session: Session,
    *,
    size: MouldSize,
    load: PotLoad | None,
    stops: tuple[str, ...],
    lettered: str | None,
) -> PotCard:
    job, clock, pours = answer.job, session.clock, made.need.pours
    each = made.need.cavities * pieces_per_blank(job)
    limit = clock.limit_s if math.isfinite(clock.limit_s) else None
    last = session.pour == len(pours)
    recoat = job.resin.recoat
    hold, pot_hold = hold_s(job, last=last)
    test = no_spares(job.order, castings=answer.moulds)
    # Moulds that are used once are turned or sawn away; the blank need not come out of them.
    rubber = isinstance(size, RubberSize)
    comes_out = job.mould.knock_out or job.mould.score
    again = rubber or answer.reused or answer.printed < made.need.moulds
    return PotCard(
        job=job.name,
        lettered=lettered,
        load=session.load,
        loads=made.sessions[-1].load,
        pour=session.pour,
        pours=len(pours),
        moulds=session.moulds,
        all_moulds=made.need.moulds,
        again=again,
        pieces=((session.moulds[0] - 1) * each + 1, session.moulds[-1] * each),
        all_pieces=made.need.moulds * each,
        ordered=job.order.pieces,
        kind=job.resin.kind,
        shop_c=job.pour.shop,
        digit_g=made.question.stock.digit_g,
        mixes=tuple(_mix(made, session, number) for number in range(len(session.portions))),
        mix_s=job.pour.mix,
        pour_s=clock.pour_s,
        close_s=clock.close_s,
        limit_s=limit,
        limited_by=None if limit is None else clock.limited_by,
        sequence=made.question.order,
        fill_mm=pours[session.pour - 1].to_mm,
        each_ml=pours[session.pour - 1].ml,
        pot=_pot(job, size, session, load=load),
        pressure_kpa=pressure_kpa(job),
        pressed=job.pot is not None or job.pour.pressure is not None,
        hold_s=hold,
        pot_hold_s=pot_hold,
        since=recoat if session.pour > 1 else None,
        then=None if last else recoat,
        demould_s=not_before_s(job.resin.demould, hold if last else None),
        turn_s=not_before_s(
            job.resin.full_cure, not_before_s(job.resin.demould, hold if last else None)
        ),
        left_ml=left_ml(session),
        catch_moulds=made.catch_moulds(session),
        catch_ml=made.catch_ml,
        hold=job.mould.hold,
        release="rubber" if rubber else "release" if again or comes_out else "cut",
        rubber=rubber,
        tests=0 if test is None else test.tests,
        first_alone=made.question.first_alone,
        stops=stops,
    )


def _mix(made: Mixing, session: Session, number: int) -> CardMix:
    mix: Portion = session.portions[number]
    one = mix.cups[0].colour
    return CardMix(
        a_g=mix.weighed.a_g,
        b_g=mix.weighed.b_g,
        total_g=mix.weighed.total_g,
        mixed_ml=mix.mixed_ml,
        start_s=session.clock.mixed_s[number],
        tint_before=(
            session.tint_before and len(mix.cups) == 1 and made.question.tints[one].stirred
        ),
        cups=tuple(
            _cup(made, session, cup, clock, mix=number + 1, number=k)
            for k, (cup, clock) in enumerate(
                zip(mix.cups, session.clock.cups[number], strict=True), 1
            )
        ),
    )


def _cup(
    made: Mixing, session: Session, cup: CupPortion, clock: CupClock, *, mix: int, number: int
) -> CardCup:
    tint = made.question.tints[cup.colour]
    into = dict.fromkeys(
        step.mould
        for step in session.clock.steps
        if step.what == "pour" and (step.mix, step.cup) == (mix, number) and step.mould is not None
    )
    return CardCup(
        colour=tint.name,
        tinted=tint.stirred,
        g=cup.g,
        tint_g=cup.tint_g,
        start_s=clock.tint_s,
        done_s=clock.done_s,
        into=tuple(into),
    )


def _pot(job: Job, size: MouldSize, session: Session, *, load: PotLoad | None) -> CardPot | None:
    pot, extras = job.pot, job.extras
    if pot is None:
        return None
    return CardPot(
        diameter_mm=pot.diameter,
        spots=() if load is None else _spots(load, size, session, radius_mm=pot.diameter / 2.0),
        tiers=0 if load is None else len(load.tiers),
        headroom_mm=pot.usable_mm - size.stack_height_mm if load is None else load.left_mm,
        floor_plate_mm=pot.floor_plate,
        rack=extras is not None and extras.pot_rack,
        tray=extras is not None and extras.drip_tray,
        rating_kpa=pot.rating,
    )


def _in_pot(answer: Answer, size: MouldSize, number: int) -> PotLoad | None:
    """Where so many moulds stand, rack and tray counted; None where they do not all go in."""
    job, moulds = answer.job, -(-number // _cavities(size))
    blanks, printed = moulds * blanks_in(size), max(moulds, answer.printed)
    try:
        plan = pot_of_order(job, size, sizes=answer.sizes, blanks=blanks, printed=printed)
    except NoAnswerError:
        return None
    return plan.loads[0] if plan is not None and len(plan.loads) == 1 else None


def _spots(
    load: PotLoad, size: MouldSize, session: Session, *, radius_mm: float
) -> tuple[CardSpot, ...]:
    each, moulds = _cavities(size), session.moulds
    return tuple(
        CardSpot(
            tier=tier,
            moulds=(
                moulds[(place.number - 1) * each],
                moulds[min(place.number * each, len(moulds)) - 1],
            ),
            x=place.x_mm / radius_mm,
            y=place.y_mm / radius_mm,
        )
        for tier, on in enumerate(load.tiers, 1)
        for place in on.places
        if place.number is not None
    )


def _cavities(size: MouldSize) -> int:
    """Cavities of one mould that the resin counts as moulds: those of a rubber mould."""
    return size.up if isinstance(size, RubberSize) else 1
