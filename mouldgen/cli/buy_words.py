"""The purchase list as a maker takes it along."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.cli.say import printable, say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, length
from mouldgen.job.shapes import kind_of_bundle
from mouldgen.sheet.number_words import grams

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.shop.outcome import Expected, Outcome
    from mouldgen.shop.purchase import Purchase, ResinToBuy

NO_PRICE = "-"


def say_purchase(found: Purchase, outcome: Outcome, answer: Answer, *, quiet: bool) -> None:
    """The list with its total, and how surely it is enough.

    found : what to buy.
    outcome : what is to be expected of the castings.
    answer : the job, for its words and the scale.
    """
    rows = [("what", "how much", "costs", "which"), *_rows(found, answer)]
    say(table(rows, right=(2,)))
    say()
    _say_total(found)
    if quiet:
        return
    if found.resin.packs is not None:
        left = _grams(found.resin.packs.left_g, answer)
        say_wrapped(f"These packs are the cheapest that hold it; {left} are left over.")
    elif found.resin.cost is None:
        say_wrapped(
            'What the resin costs is not told: give [resin] packs, such as ["1.5 kg for 42"], or'
            ' [resin] price, such as "38 per kg".'
        )
    if any(tint.tint_g is None for tint in found.tints):
        say_wrapped(
            "How much of a tint is not told: give [[colour]] tint, its share of the resin's mass."
            " Mica takes 0.01 to 0.05 (common practice, no source)."
        )
    say_wrapped(_expected_words(outcome, answer))


def _rows(found: Purchase, answer: Answer) -> Iterator[tuple[str, str, str, str]]:
    job = answer.job
    yield "resin", _grams(found.resin.need_g, answer), _money(found.resin.cost), _resin(found.resin)
    for tint in found.tints:
        into = f"into {_grams(tint.resin_g, answer)} of resin"
        name = printable(tint.name)
        if tint.tint_g is None:
            yield "tint", "?", NO_PRICE, f"{name}, {into}"
        else:
            yield "tint", f"{tint.tint_g:.1f} g", NO_PRICE, f"{name}, {into}"
    if found.rubber_g is not None:
        rubber = "" if job.rubber is None else printable(job.rubber.title)
        yield "rubber", _grams(found.rubber_g, answer), NO_PRICE, rubber
    if found.plastic is not None:
        title = printable(job.plastic.title)
        yield (
            "plastic", f"{found.plastic.grams / 1000.0:.2f} kg", _money(found.plastic.cost),
            f"{title}, printed solid".removeprefix(", "),
        )  # fmt: skip
    inserts = found.inserts
    if inserts.customers:
        yield (
            "inserts",
            str(inserts.count),
            NO_PRICE,
            f"the customer's own; {_stock(found, answer)}",
        )
        other = "of other wood and the same size, for a test"
        yield "inserts", str(inserts.tests), _money(inserts.cost), other
    else:
        spares = f"{count(inserts.spares, 'spare')} among them; " if inserts.spares else ""
        yield (
            "inserts", str(inserts.count), _money(inserts.cost), f"{spares}{_stock(found, answer)}"
        )  # fmt: skip
    if found.hardware is not None:
        thread = f"for a thread {job.piece.thread}, one a piece"
        yield "hardware", str(found.hardware.count), _money(found.hardware.cost), thread
    many = count(found.consumables.count, "casting")
    yield (
        "consumables", f"for {found.consumables.count}", _money(found.consumables.cost),
        f"gloves, cups, sticks, abrasive of {many}",
    )  # fmt: skip


def _resin(resin: ResinToBuy) -> str:
    test = f", {resin.test_g:.0f} g of it for a test" if resin.test_g else ""
    if resin.packs is None:
        return f"A and B together{test}"
    packs = [
        f"{pack.count} x {_pack(pack.holds_g)} at {pack.price:g}" for pack in resin.packs.packs
    ]
    return f"{' and '.join(packs)}, A and B together{test}"


def _pack(holds_g: float) -> str:
    return f"{holds_g / 1000.0:.4g} kg" if holds_g >= 1000.0 else f"{holds_g:.4g} g"


def _stock(found: Purchase, answer: Answer) -> str:
    """What one insert is cut from."""
    inserts, insert = found.inserts, answer.job.insert
    inches = answer.job.unit == "in"

    def told(*sides: float | None) -> str:
        return " x ".join(length(round(mm, 1), inches=inches) for mm in sides if mm is not None)

    if inserts.rough_mm is not None:
        how = f"each takes {told(*inserts.rough_mm)} of a board, saw cuts counted"
    elif insert.shape != "bundle":
        how = f"{insert.shape}, {told(answer.insert.length_mm)} long, {inserts.each_g:.0f} g each"
    elif kind_of_bundle(insert) == "a honeycomb":
        how = f"honeycomb, {told(insert.width, insert.thickness, insert.length)} each"
    elif kind_of_bundle(insert) == "a heap":
        how = f"a heap of {inserts.each_g:.0f} g each"
    else:
        sticks = count(inserts.sticks, "stick")
        how = f"{sticks} each, {told(insert.length)} long, {inserts.each_g:.0f} g together"
    return f"{printable(insert.wood)}, {how}" if insert.wood else how


def _say_total(found: Purchase) -> None:
    missing = f", without {_and(found.without_price)}" if found.without_price else ""
    text = f"In all {found.total:.2f}{missing}."
    if found.believed:
        prices = "The price" if len(found.believed) == 1 else "Prices"
        text += (
            f" {prices} of {_and(found.believed)} {'is' if len(found.believed) == 1 else 'are'}"
            " belief, from presets/cost.toml."
        )
    say_wrapped(text)


def _expected_words(outcome: Outcome, answer: Answer) -> str:
    castings = count(outcome.castings, "casting")
    ranges = (outcome.good, outcome.lost, outcome.filled)
    sure = all(expected.low == expected.high for expected in ranges)
    brackets = "" if sure else " Brackets hold four orders in five."
    return (
        f"Of {castings} expect {_about(outcome.good)} good and {_about(outcome.lost)} lost."
        f" Expect {_about(outcome.filled)} with a void that is filled and turned again, which is no"
        f" loss.{brackets}{_surer(answer)}"
    )


def _surer(answer: Answer) -> str:
    """How many to start where the yield is only believed; nothing where that is as many."""
    from mouldgen.job.cells import pieces_per_blank
    from mouldgen.job.costs import costs
    from mouldgen.shop.belief import believed, castings_to_start

    job = answer.job
    seen = costs(job.cost, job.shop).yield_seen
    belief = believed(job.order.yield_, on=seen)
    if belief is None or job.order.customers_wood:
        return ""
    wanted = -(-job.order.pieces // pieces_per_blank(job))
    surer = castings_to_start(wanted, belief, confidence=job.order.confidence)
    if surer <= answer.moulds:
        return ""
    return (
        f" The yield is taken for certain; believed as if on {seen:g} castings, {surer} would be"
        " started to be as sure."
    )


def _about(expected: Expected) -> str:
    mean = f"{expected.mean:.2g}" if expected.mean < 10.0 else f"{expected.mean:.0f}"
    if expected.low == expected.high:
        return mean
    return f"{mean} ({expected.low} to {expected.high})"


def _grams(mass_g: float, answer: Answer) -> str:
    return f"{grams(mass_g, digit_g=answer.job.shop.scale)} g"


def _money(cost: float | None) -> str:
    return "?" if cost is None else f"{cost:.2f}"


def _and(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
