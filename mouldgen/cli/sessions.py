"""The sessions in which resin is mixed: what is weighed into which cup when, and the clock."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from mouldgen.cli.clock_words import clock_table
from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, length, percent
from mouldgen.mix.clock import clock_text
from mouldgen.mix.mixing import left_ml
from mouldgen.mix.why import why
from mouldgen.sheet.number_words import grams, runs, volumes
from mouldgen.shop.no_spares import no_spares
from mouldgen.units import imperial_fl_oz, us_fl_oz

if TYPE_CHECKING:
    from mouldgen.job.model import Job
    from mouldgen.mix.batches import Session
    from mouldgen.mix.clock import CupClock
    from mouldgen.mix.mixing import Mixing
    from mouldgen.mix.portion import CupPortion, Portion

_COLUMNS = ("mix", "cup", "colour", "A g", "B g", "in cup g", "tint g", "start", "done")
_RIGHT = (0, 1, 3, 4, 5, 6, 7, 8)


def say_sessions(made: Mixing, job: Job, *, verbose: bool) -> None:
    """Every session as a table with its clock; sessions that are alike once.

    job : for shop, mixing and the times of the card.
    verbose : with every step of the clock.
    """
    if made.batches is None:
        return
    say()
    say_wrapped(_head(made))
    for text in (why(made), _apart(made), _rounding(made)):
        if text:
            say_wrapped(text)
    for group in _alike(made.sessions, first_alone=made.question.first_alone):
        say()
        _say_session(made, group, job)
        if verbose:
            say(clock_table(made, group[0], indent="  "))
    say()
    test = _test_words(made, _tests_of(job, made))
    if test:
        say_wrapped(test)
    times = _card_times(job)
    if times:
        say_wrapped(times)
    say_wrapped(
        "One person does it all, and weighs before the clock starts. Cups of one mix are all split"
        " off first, then tinted; the one that gels first is poured first."
    )


def _head(made: Mixing) -> str:
    sessions = count(len(made.sessions), "session")
    mixes = count(made.batches.mixes if made.batches else 0, "mix", "mixes")
    digit = made.question.stock.digit_g
    return (
        f"{sessions}, {mixes}: {volumes(made.mixed_ml)} in all, weighed as"
        f" {grams(made.weighed_g, digit_g=digit)} g."
    )


def _apart(made: Mixing) -> str:
    """Which colour goes into how many cavities, where each has its own."""
    need = made.need
    if need.way != "apart":
        return ""
    told = ", ".join(
        f"{name} {number}" for name, number in zip(need.colours, need.cavities_of, strict=True)
    )
    what = "moulds" if need.cavities == 1 else "cavities"
    return f"Each colour has {what} of its own, of {sum(need.cavities_of)}: {told}."


def _rounding(made: Mixing) -> str:
    """What rounding to the scale does to the ratio."""
    stock = made.question.stock
    shifts = [mix.weighed.shift for s in made.sessions for mix in s.portions]
    worst = max(shifts, key=abs)
    digit = f"{stock.digit_g:g} g"
    return (
        f"Rounding to {digit} changes the share of B by at most {percent(abs(worst), places=1)} in"
        f" a mix; {percent(stock.resin.ratio_tolerance, places=1)} is allowed."
    )


def _say_session(made: Mixing, group: Sequence[Session], job: Job) -> None:
    first, number = group[0], [made.sessions.index(session) + 1 for session in group]
    rubber = job.mould.family == "master"  # its cavities are counted, as on the pot card
    of = ("cavity", "cavities") if rubber else ("mould", "moulds")
    say_wrapped(_title(made, group, number, of=of, inches=job.unit == "in"))
    rows = [_COLUMNS, *_rows(made, first)]
    kept = [
        column
        for column in range(len(_COLUMNS))
        if any(row[column] for row in rows[1:]) and not (column < 2 and len(rows) == 2)
    ]
    right = [k for k, column in enumerate(kept) if column in _RIGHT]
    say(table([[row[column] for column in kept] for row in rows], right=right, indent="  "))
    say_wrapped(_clock(first, job), first="  ")
    left = _left(made, first)
    if left:
        say_wrapped(left, first="  ")
    window = _window(first, job)
    if window:
        say_wrapped(window, first="  ")


def _title(
    made: Mixing,
    group: Sequence[Session],
    numbers: Sequence[int],
    *,
    of: tuple[str, str],
    inches: bool,
) -> str:
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


def _rows(made: Mixing, session: Session) -> Iterator[tuple[str, ...]]:
    digit = made.question.stock.digit_g

    def shown(mass_g: float) -> str:
        return grams(mass_g, digit_g=digit)

    several = len(session.portions) > 1
    for number, (mix, clocks) in enumerate(
        zip(session.portions, session.clock.cups, strict=True), 1
    ):
        mixed = clock_text(session.clock.mixed_s[number - 1])
        a, b = shown(mix.weighed.a_g), shown(mix.weighed.b_g)
        name = str(number) if several else ""
        split = len(mix.cups) > 1
        if split:
            yield (name, "", "clear mix", a, b, "", "", mixed, "")
        for k, (cup, clock) in enumerate(zip(mix.cups, clocks, strict=True), 1):
            colour = made.question.tints[cup.colour].name or "as it comes"
            tint = "" if cup.tint_g is None else shown(cup.tint_g)
            own = ("", "", shown(cup.g)) if split else (a, b, "")
            start = clock_text(clock.tint_s) if split else mixed
            yield (name, str(k) if split else "", colour, *own, tint, start,
                   clock_text(clock.done_s))  # fmt: skip


def _clock(session: Session, job: Job) -> str:
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


def _left(made: Mixing, session: Session) -> str:
    catch = made.catch_moulds(session)
    if not catch:
        return ""
    return (
        f"LEFT OVER {volumes(left_ml(session))} -> {count(catch, 'catch mould')} of"
        f" {made.catch_ml:g} ml"
    )


def _window(session: Session, job: Job) -> str:
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


def _tests_of(job: Job, made: Mixing) -> int:
    """Castings of other wood before the customer's own, which are none of the sessions."""
    found = no_spares(job.order, castings=made.need.moulds * made.need.cavities)
    return found.tests if found is not None and made.batches is not None else 0


def _test_words(made: Mixing, tests: int) -> str:
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


def _card_times(job: Job) -> str:
    resin = job.resin
    parts = [
        f"{what} after {time_words(time_s)}"
        for what, time_s in (("DEMOULD", resin.demould), ("FULLY CURED", resin.full_cure))
        if time_s is not None
    ]
    return f"From mixing, by the card: {', '.join(parts)}." if parts else ""


def _alike(sessions: Sequence[Session], *, first_alone: bool) -> Iterator[list[Session]]:
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


# ------------------------------------------------------------------------------------- data


def sessions_data(made: Mixing, job: Job) -> dict[str, Any]:
    """All of it for ``--json``; times from the start of a session's first mixing."""
    need = made.need
    return {
        "way": need.way,
        "how": None if made.batches is None else made.batches.recipe.how,
        "tint_before": None if made.batches is None else made.batches.recipe.tint_before,
        "why": why(made),
        "mixes": 0 if made.batches is None else made.batches.mixes,
        "first_alone": made.question.first_alone,
        "mixed_ml": round(made.mixed_ml, 3),
        "beyond_loss_ml": round(made.more_ml, 3),
        "weighed_g": round(made.weighed_g, 3),
        "recoat_s": None if job.resin.recoat is None else list(job.resin.recoat),
        "full_cure_s": job.resin.full_cure,
        "catch_mould_ml": made.catch_ml,
        "cavities": dict(zip(need.colours, need.cavities_of, strict=False)),
        "sessions": [_session_data(made, session) for session in made.sessions],
        "test": _test_data(made, _tests_of(job, made)),
        "findings": [
            {"id": f.id, "severity": f.severity, "message": f.message, "place": f.place}
            for f in made.findings
        ],
    }


def _test_data(made: Mixing, tests: int) -> dict[str, Any] | None:
    """Of castings of other wood before the customer's own; None where there are none."""
    if not tests:
        return None
    sessions = made.one_alone()
    mixes = [mix for session in sessions for mix in session.portions]
    return {
        "castings": tests,
        "mixes": tests * len(mixes),
        "mixed_ml": round(tests * math.fsum(mix.mixed_ml for mix in mixes), 3),
        "weighed_g": round(tests * math.fsum(mix.weighed.total_g for mix in mixes), 3),
        "sessions": [_session_data(made, session) for session in sessions],
    }


def _session_data(made: Mixing, session: Session) -> dict[str, Any]:
    clock, pour = session.clock, made.need.pours[session.pour - 1]
    return {
        "load": session.load,
        "pour": session.pour,
        "from_mm": round(pour.from_mm, 3),
        "to_mm": round(pour.to_mm, 3),
        "moulds": list(session.moulds),
        "pour_s": round(clock.pour_s, 1),
        "close_s": round(clock.close_s, 1),
        "limit_s": _seconds(clock.limit_s),
        "limited_by": clock.limited_by,
        "slack_s": _seconds(clock.slack_s),
        "left_ml": round(left_ml(session), 3),
        "catch_moulds": made.catch_moulds(session),
        "mixes": [
            _mix_data(made, mix, clocks, start_s)
            for mix, clocks, start_s in zip(
                session.portions, clock.cups, clock.mixed_s, strict=True
            )
        ],
        "steps": [
            {
                "start_s": round(step.start_s, 1),
                "end_s": round(step.end_s, 1),
                "what": step.what,
                "mix": step.mix,
                "cup": step.cup,
                "mould": step.mould,
            }
            for step in clock.steps
        ],
    }


def _mix_data(
    made: Mixing, mix: Portion, clocks: Sequence[CupClock], start_s: float
) -> dict[str, Any]:
    return {
        "start_s": round(start_s, 1),
        "poured_ml": round(mix.poured_ml, 3),
        "kept_ml": round(mix.kept_ml, 3),
        "topped_ml": round(mix.topped_ml, 3),
        "mixed_ml": round(mix.mixed_ml, 3),
        "mixed_us_fl_oz": round(us_fl_oz(mix.mixed_ml), 3),
        "mixed_imperial_fl_oz": round(imperial_fl_oz(mix.mixed_ml), 3),
        "a_g": mix.weighed.a_g,
        "b_g": mix.weighed.b_g,
        "total_g": mix.weighed.total_g,
        "ratio_shift": round(mix.weighed.shift, 5),
        "cups": [_cup_data(made, cup, clock) for cup, clock in zip(mix.cups, clocks, strict=True)],
    }


def _cup_data(made: Mixing, cup: CupPortion, clock: CupClock) -> dict[str, Any]:
    return {
        "colour": made.question.tints[cup.colour].name or None,
        "poured_ml": round(cup.poured_ml, 3),
        "ml": round(cup.ml, 3),
        "g": cup.g,
        "tint_g": cup.tint_g,
        "start_s": round(clock.tint_s, 1),
        "done_s": round(clock.done_s, 1),
        "gel_s": _seconds(clock.gel_s),
        "stop_s": _seconds(clock.stop_s),
    }


def _seconds(time_s: float) -> float | None:
    return round(time_s, 1) if math.isfinite(time_s) else None
