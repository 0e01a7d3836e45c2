"""The sessions in which resin is mixed, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from mouldgen.mix.clock import clock_text
from mouldgen.mix.mixing import left_ml
from mouldgen.sheet.number_words import grams, runs, volumes
from mouldgen.sheet.plain_words import count, length, percent
from mouldgen.shop.no_spares import no_spares

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.mix.batches import Session
    from mouldgen.mix.mixing import Mixing


def head_words(made: Mixing) -> str:
    """Sessions, mixes, and what is mixed and weighed in all.

    made : how the resin is mixed.
    """
    sessions = count(len(made.sessions), "session")
    mixes = count(made.batches.mixes if made.batches else 0, "mix", "mixes")
    digit = made.question.stock.digit_g
    return (
        f"{sessions}, {mixes}: {volumes(made.mixed_ml)} in all, weighed as"
        f" {grams(made.weighed_g, digit_g=digit)} g."
    )


def apart_words(made: Mixing) -> str:
    """Which colour goes into how many cavities, where each has its own."""
    need = made.need
    if need.way != "apart":
        return ""
    told = ", ".join(
        f"{name} {number}" for name, number in zip(need.colours, need.cavities_of, strict=True)
    )
    what = "moulds" if need.cavities == 1 else "cavities"
    return f"Each colour has {what} of its own, of {sum(need.cavities_of)}: {told}."


def rounding_words(made: Mixing) -> str:
    """What rounding to the scale does to the ratio."""
    stock = made.question.stock
    shifts = [mix.weighed.shift for s in made.sessions for mix in s.portions]
    worst = max(shifts, key=abs)
    digit = f"{stock.digit_g:g} g"
    return (
        f"Rounding to {digit} changes the share of B by at most {percent(abs(worst), places=1)} in"
        f" a mix; {percent(stock.resin.ratio_tolerance, places=1)} is allowed."
    )


def title_words(
    made: Mixing,
    group: Sequence[Session],
    numbers: Sequence[int],
    *,
    of: tuple[str, str],
    inches: bool,
) -> str:
    """Which sessions, of which moulds, and which pour of how many.

    made : how the resin is mixed.
    group : sessions that are alike.
    numbers : of these, from 1.
    of : what is filled, one and more of it.
    inches : whether the job is in inches.
    """
    first, pours = group[0], made.need.pours
    what = f"Session{'s' * (len(numbers) > 1)} {runs(numbers)} of {len(made.sessions)}"
    each = " each" if len(group) > 1 else ""
    if len(first.moulds) == 1:
        moulds = runs([session.moulds[0] for session in group])
    else:
        moulds = "; ".join(runs(session.moulds) for session in group)
    title = f"{what}: {count(len(first.moulds), *of)}{each}, {moulds}"
    if len(pours) > 1:
        pour = pours[first.pour - 1]
        title += (
            f"; pour {first.pour} of {len(pours)}, {_heights(pour.from_mm, pour.to_mm, inches)}"
            " over the inside floor"
        )
    if made.question.first_alone and first.load == 1:
        title += "; finished and shown before the rest is cast"
    return f"{title}."


def _heights(from_mm: float, to_mm: float, inches: bool) -> str:
    """From where to where a mould is filled [mm], with inches where the job is in inches."""
    if not inches:
        return f"from {from_mm:.0f} to {to_mm:.0f} mm"
    low, high = (length(round(mm), inches=True) for mm in (from_mm, to_mm))
    return f"from {low} to {high}" if round(from_mm) else f"up to {high}"


def session_clock_words(session: Session, job: Job) -> str:
    """Mixing, pouring, the moment to be shut by and the latest one.

    session : of one load and pour.
    job : for its mixing and its pot.
    """
    clock = session.clock
    two = job.resin.kind == "epoxy"
    half = clock_text(job.pour.mix / 2.0)
    mix = f"MIX {half}, NEW CUP, {half}" if two else f"MIX {clock_text(job.pour.mix)}"
    then = "PRESSURE" if job.pot is not None else "SHUT"
    limit = clock_text(math.floor(clock.limit_s)) if math.isfinite(clock.limit_s) else "none"
    slack = (
        f" by {clock.limited_by}, {clock_text(math.floor(clock.slack_s))} to spare"
        if math.isfinite(clock.slack_s)
        else ""
    )
    by = clock_text(math.ceil(clock.close_s))
    return f"{mix}   POUR at {clock_text(clock.pour_s)}   {then} by {by}   LIMIT {limit}{slack}"


def left_words(made: Mixing, session: Session) -> str:
    """What is over, and the catch moulds for it; empty for nothing.

    made : how the resin is mixed.
    session : of one load and pour.
    """
    catch = made.catch_moulds(session)
    if not catch:
        return ""
    return (
        f"LEFT OVER {volumes(left_ml(session))} -> {count(catch, 'catch mould')} of"
        f" {made.catch_ml:g} ml"
    )


def window_words(session: Session, job: Job) -> str:
    """When a pour holds on the one before it."""
    if session.pour == 1 or job.resin.recoat is None:
        return ""
    opens, closes = (time_words(time_s) for time_s in job.resin.recoat)
    return f"NOT BEFORE {opens} and not after {closes} from the mixing of pour {session.pour - 1}"


def time_words(seconds: float) -> str:
    """A time of a card [s]: ``20 min``, ``2.5 h``, ``100 h``, ``7 d``; no finer than it is told."""
    units = ((86400.0, "d", 72.0 * 3600.0), (3600.0, "h", 7200.0), (60.0, "min", 60.0))
    for unit, name, over in units:
        halves = 2.0 * seconds / unit
        from_here = seconds > over if name == "d" else seconds >= over
        if from_here and abs(halves - round(halves)) < 1e-6:
            return f"{seconds / unit:g} {name}"
    return f"{seconds / 60.0:.0f} min" if seconds >= 60.0 else f"{seconds:.0f} s"


def trial_castings(job: Job, made: Mixing) -> int:
    """Castings of other wood before the customer's own, which are none of the sessions."""
    found = no_spares(job.order, castings=made.need.moulds * made.need.cavities)
    return found.tests if found is not None and made.batches is not None else 0


def trial_words(made: Mixing, tests: int) -> str:
    """What a test casting takes on top of the sessions."""
    if not tests:
        return ""
    digit = made.question.stock.digit_g

    def shown(mass_g: float) -> str:
        return f"{grams(mass_g, digit_g=digit)} g"

    mixes = [mix.weighed for session in made.one_alone() for mix in session.portions]
    each = "; ".join(f"A {shown(mix.a_g)} and B {shown(mix.b_g)}" for mix in mixes)
    every = math.fsum(mix.total_g for mix in mixes)
    own = "a mix" if len(mixes) == 1 else f"{len(mixes)} mixes"
    return (
        f"A test casting of other wood goes before the customer's and takes {own} of its own, which"
        f" no session counts: {each}; {shown(every)} in all."
    )


def card_times(job: Job) -> str:
    """When blanks leave the mould and are hard, by the card; empty where it does not say.

    job : for its resin.
    """
    resin = job.resin
    parts = [
        f"{what} after {time_words(time_s)}"
        for what, time_s in (("DEMOULD", resin.demould), ("FULLY CURED", resin.full_cure))
        if time_s is not None
    ]
    return f"From mixing, by the card: {', '.join(parts)}." if parts else ""


def alike(sessions: Sequence[Session], *, first_alone: bool) -> Iterator[list[Session]]:
    """Sessions that are done in the same way, in the order of the first of each."""
    groups: dict[tuple[Any, ...], list[Session]] = {}
    for session in sessions:
        groups.setdefault(_key(session, first_alone=first_alone), []).append(session)
    yield from groups.values()


def _key(session: Session, *, first_alone: bool) -> tuple[Any, ...]:
    cups = tuple(
        (cup.colour, cup.g, cup.tint_g, round(clock.tint_s, 3), round(clock.done_s, 3))
        for mix, clocks in zip(session.portions, session.clock.cups, strict=True)
        for cup, clock in zip(mix.cups, clocks, strict=True)
    )
    weighed = tuple((mix.weighed.a_g, mix.weighed.b_g) for mix in session.portions)
    # Pours stand in the order that they are done: only those of another load may be alike.  The
    # rest waits for a first article, so that its load is told apart.
    return session.pour, len(session.moulds), weighed, cups, first_alone and session.load == 1
