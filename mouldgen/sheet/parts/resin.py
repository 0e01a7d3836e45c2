"""Resin on the job sheet: amounts, sessions, what is weighed into which cup, and the clock."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from mouldgen.mix.clock import clock_text
from mouldgen.mix.why import why
from mouldgen.sheet.number_words import volumes
from mouldgen.sheet.parts.shown import clock, on_scale, share
from mouldgen.sheet.parts.work import SheetWork
from mouldgen.sheet.plain_words import volume
from mouldgen.sheet.session_words import (
    alike,
    apart_words,
    card_times,
    head_words,
    left_words,
    rounding_words,
    title_words,
    trial_castings,
    trial_words,
    window_words,
)
from mouldgen.sheet.sheet_data import Cell, Facts, Grid, Heading, Item, Part, Told, Value
from mouldgen.units import us_fl_oz

if TYPE_CHECKING:
    from mouldgen.mix.amounts import Amounts, Batch
    from mouldgen.mix.batches import Session
    from mouldgen.mix.mixing import Mixing


def resin_part(work: SheetWork) -> Part | None:
    """What is mixed and weighed, when it must be shut by; None in a conflict."""
    amounts, made = work.found.amounts, work.made
    if amounts is None or made is None:
        return None
    items: list[Item] = [to_mix(amounts), Facts("Resin", tuple(resin_rows(work, amounts)))]
    if made.batches is not None:
        items += _sessions(work, made)
    return Part("resin", Value("resin.title", "Resin"), tuple(items))


def to_mix(amounts: Amounts) -> Grid:
    """What is mixed for one mould and for all.

    amounts : of the set.
    """
    rows = [tuple(_batch("one mould", "one", amounts.one, amounts))]
    if amounts.moulds > 1:
        rows.append(tuple(_batch(f"all {amounts.moulds}", "all", amounts.all, amounts)))
    return Grid(
        "To mix, loss counted",
        ("to mix", "ml", "US fl oz", "A g", "B g", "A+B g"),
        tuple(rows),
        right=(1, 2, 3, 4, 5),
    )


def _batch(what: str, name: str, batch: Batch, amounts: Amounts) -> Iterator[Cell]:
    digit = amounts.scale_g
    yield Value(f"resin.{name}", what)
    yield Value(f"resin.{name}.mixed_ml", f"{batch.mixed_ml:.1f}", batch.mixed_ml, "ml")
    ounces = us_fl_oz(batch.mixed_ml)
    yield Value(f"resin.{name}.mixed_us_fl_oz", f"{ounces:.2f}", ounces, "US fl oz")
    yield on_scale(f"resin.{name}.a_g", batch.a_g, digit_g=digit)
    yield on_scale(f"resin.{name}.b_g", batch.b_g, digit_g=digit)
    yield on_scale(f"resin.{name}.total_g", batch.total_g, digit_g=digit)


def resin_rows(work: SheetWork, amounts: Amounts) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """What the resin is, and how it is mixed.

    amounts : of the set.
    """
    resin = work.job.resin
    a, b = resin.ratio
    title = resin.title or resin.kind
    yield "resin", (Value("resin.name", title, key="resin.card"),)
    one = Value("resin.per_mould_ml", volume(amounts.per_mould_ml), amounts.per_mould_ml, "ml")
    yield "one mould holds", (one,)
    yield "more is mixed, as loss", (share("resin.loss", resin.loss, key="resin.loss"),)
    by = f"{a:g}:{b:g} by {resin.ratio_basis}"
    ratio = Value("resin.ratio", by, a / b, "1", "resin.ratio")
    mass = Value(
        "resin.b_per_100_a", f"100:{amounts.b_per_100_a:.1f} by mass", amounts.b_per_100_a, "g"
    )
    yield "A to B", (ratio, mass)
    digit = f"{amounts.scale_g:g} g"
    yield "the scale shows", (Value("resin.scale_g", digit, amounts.scale_g, "g", "shop.scale"),)


def _sessions(work: SheetWork, made: Mixing) -> Iterator[Item]:
    texts = (head_words(made), why(made), apart_words(made), rounding_words(made))
    for at, text in enumerate(filter(None, texts)):
        yield Told(Value(f"resin.told.{at}", work.said(text)), loud=not at)
    for group in alike(made.sessions, first_alone=made.question.first_alone):
        yield from _session(work, made, group)
    after = (trial_words(made, trial_castings(work.job, made)), card_times(work.job))
    for at, text in enumerate(filter(None, after)):
        yield Told(Value(f"resin.after.{at}", text))


def _session(work: SheetWork, made: Mixing, group: Sequence[Session]) -> Iterator[Item]:
    numbers = [made.sessions.index(session) + 1 for session in group]
    first, name = group[0], f"resin.session.{numbers[0]}"
    rubber = work.job.mould.family == "master"
    of = ("cavity", "cavities") if rubber else ("mould", "moulds")
    title = title_words(made, group, numbers, of=of, inches=work.inches)
    yield Heading(Value(f"{name}.title", title))
    yield Grid(
        "To weigh and to pour",
        ("mix or cup", "A g", "B g", "A+B g", "in cup g", "tint g", "start", "done"),
        tuple(_weighed(made, first, name)),
        right=(1, 2, 3, 4, 5, 6, 7),
        boxed=True,
    )
    yield Facts("Clock", tuple(_clock(work, first, name)))
    told = (left_words(made, first), window_words(first, work.job))
    for at, text in enumerate(filter(None, told)):
        yield Told(Value(f"{name}.told.{at}", text))


def _weighed(made: Mixing, session: Session, name: str) -> Iterator[tuple[Cell, ...]]:
    digit = made.question.stock.digit_g
    for number, mix in enumerate(session.portions):
        at, split = f"{name}.mix.{number + 1}", len(mix.cups) > 1
        only = made.question.tints[mix.cups[0].colour].name or "as it comes"
        yield (
            Value(f"{at}.name", f"mix {number + 1}: {'clear' if split else only}"),
            on_scale(f"{at}.a_g", mix.weighed.a_g, digit_g=digit),
            on_scale(f"{at}.b_g", mix.weighed.b_g, digit_g=digit),
            on_scale(f"{at}.total_g", mix.weighed.total_g, digit_g=digit),
            "",
            "" if split else _tint(f"{at}.tint_g", mix.cups[0].tint_g, digit_g=digit),
            clock(f"{at}.start_s", session.clock.mixed_s[number]),
            "" if split else clock(f"{at}.done_s", session.clock.cups[number][0].done_s),
        )
        for k, cup in enumerate(mix.cups if split else (), 1):
            own, times = f"{at}.cup.{k}", session.clock.cups[number][k - 1]
            colour = made.question.tints[cup.colour].name or "as it comes"
            yield (
                Value(f"{own}.name", f"cup {k}: {colour}"),
                "",
                "",
                "",
                on_scale(f"{own}.g", cup.g, digit_g=digit),
                _tint(f"{own}.tint_g", cup.tint_g, digit_g=digit),
                clock(f"{own}.start_s", times.tint_s),
                clock(f"{own}.done_s", times.done_s),
            )


def _tint(name: str, tint_g: float | None, *, digit_g: float) -> Cell:
    return "" if tint_g is None else on_scale(name, tint_g, digit_g=digit_g)


def _clock(work: SheetWork, session: Session, name: str) -> Iterator[tuple[str, tuple[Value, ...]]]:
    found = session.clock
    yield (
        "mixed in all",
        (
            Value(
                f"{name}.mixed_ml",
                volumes(sum(mix.mixed_ml for mix in session.portions)),
                sum(mix.mixed_ml for mix in session.portions),
                "ml",
            ),
        ),
    )
    mix: tuple[Value, ...] = (clock(f"{name}.mix_s", work.job.pour.mix),)
    if work.job.resin.kind == "epoxy":
        half = clock_text(work.job.pour.mix / 2.0)
        mix = (*mix, Value(f"{name}.mix_how", f"of it {half}, NEW CUP, {half}"))
    yield "mix", mix
    yield "pour at", (clock(f"{name}.pour_s", found.pour_s),)
    shut = "under pressure by" if work.job.pot is not None else "shut by"
    yield shut, (clock(f"{name}.close_s", math.ceil(found.close_s)),)
    if math.isfinite(found.limit_s):
        limit = clock(f"{name}.limit_s", math.floor(found.limit_s))
        yield "limit", (limit, Value(f"{name}.limited_by", f"by {found.limited_by}"))
        yield "to spare", (clock(f"{name}.slack_s", math.floor(found.slack_s)),)
