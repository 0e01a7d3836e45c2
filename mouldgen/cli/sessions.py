"""The sessions in which resin is mixed: what is weighed into which cup when, and the clock."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from mouldgen.cli.clock_words import clock_table
from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.mix.clock import clock_text
from mouldgen.mix.mixing import left_ml
from mouldgen.mix.why import why
from mouldgen.sheet.number_words import grams
from mouldgen.sheet.session_words import (
    alike,
    apart_words,
    card_times,
    head_words,
    left_words,
    rounding_words,
    session_clock_words,
    title_words,
    trial_castings,
    trial_words,
    window_words,
)
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
    say_wrapped(head_words(made))
    for text in (why(made), apart_words(made), rounding_words(made)):
        if text:
            say_wrapped(text)
    for group in alike(made.sessions, first_alone=made.question.first_alone):
        say()
        _say_session(made, group, job)
        if verbose:
            say(clock_table(made, group[0], indent="  "))
    say()
    test = trial_words(made, trial_castings(job, made))
    if test:
        say_wrapped(test)
    times = card_times(job)
    if times:
        say_wrapped(times)
    say_wrapped(
        "One person does it all, and weighs before the clock starts. Cups of one mix are all split"
        " off first, then tinted; the one that gels first is poured first."
    )


def _say_session(made: Mixing, group: Sequence[Session], job: Job) -> None:
    first, number = group[0], [made.sessions.index(session) + 1 for session in group]
    rubber = job.mould.family == "master"  # its cavities are counted, as on the pot card
    of = ("cavity", "cavities") if rubber else ("mould", "moulds")
    say_wrapped(title_words(made, group, number, of=of, inches=job.unit == "in"))
    rows = [_COLUMNS, *_rows(made, first)]
    kept = [
        column
        for column in range(len(_COLUMNS))
        if any(row[column] for row in rows[1:]) and not (column < 2 and len(rows) == 2)
    ]
    right = [k for k, column in enumerate(kept) if column in _RIGHT]
    say(table([[row[column] for column in kept] for row in rows], right=right, indent="  "))
    say_wrapped(session_clock_words(first, job), first="  ")
    left = left_words(made, first)
    if left:
        say_wrapped(left, first="  ")
    window = window_words(first, job)
    if window:
        say_wrapped(window, first="  ")


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
        "test": _test_data(made, trial_castings(job, made)),
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
