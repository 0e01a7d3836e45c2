"""The purchase list in words, row by row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.job.shapes import kind_of_bundle
from mouldgen.sheet.number_words import grams
from mouldgen.sheet.plain_words import count, length
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.finding import Learned
    from mouldgen.shop.outcome import Expected, Outcome
    from mouldgen.shop.purchase import CountToBuy, Purchase, ResinToBuy

NO_PRICE = "-"


@dataclass(frozen=True, eq=False)
class BuyRow:
    """One thing to buy.

    key : short, unique in the list.
    what : it is.
    how_much : with its unit; ``?`` where that is not told.
    number, unit : the same as a number; None where it is not told.
    cost : of it; None where nothing tells it.
    costs : the same in words.
    which : one, and what for.
    """

    key: str
    what: str
    how_much: str
    number: float | None
    unit: str
    cost: float | None
    costs: str
    which: str


def buy_rows(found: Purchase, answer: Answer) -> Iterator[BuyRow]:
    """The list, row by row.

    found : what to buy.
    answer : the job, for its words and the scale.
    """
    job, resin = answer.job, found.resin
    yield BuyRow(
        "resin", "resin", grams_words(resin.need_g, answer), resin.need_g, "g", resin.cost,
        money(resin.cost), _resin(resin),
    )  # fmt: skip
    for number, tint in enumerate(found.tints, 1):
        told = "?" if tint.tint_g is None else f"{tint.tint_g:.1f} g"
        which = f"{tint.name}, into {grams_words(tint.resin_g, answer)} of resin"
        yield BuyRow(f"tint.{number}", "tint", told, tint.tint_g, "g", None, NO_PRICE, which)
    if found.rubber_g is not None:
        which = "" if job.rubber is None else job.rubber.title
        yield BuyRow(
            "rubber", "rubber", grams_words(found.rubber_g, answer), found.rubber_g, "g", None,
            NO_PRICE, which,
        )  # fmt: skip
    if found.plastic is not None:
        kg = found.plastic.grams / 1000.0
        which = f"{job.plastic.title}, printed solid".removeprefix(", ")
        cost = found.plastic.cost
        yield BuyRow("plastic", "plastic", f"{kg:.2f} kg", kg, "kg", cost, money(cost), which)
    yield from _inserts(found, answer)
    if found.hardware is not None:
        yield _by_piece("hardware", found.hardware, f"for a thread {job.piece.thread}, one a piece")
    many = found.consumables
    what = f"gloves, cups, sticks, abrasive of {count(many.count, 'casting')}"
    yield _by_piece("consumables", many, what, before="for ")


def _inserts(found: Purchase, answer: Answer) -> Iterator[BuyRow]:
    inserts = found.inserts
    stock, number = _stock(found, answer), inserts.count
    if not inserts.customers:
        spares = f"{count(inserts.spares, 'spare')} among them; " if inserts.spares else ""
        yield BuyRow(
            "inserts", "inserts", str(number), number, "", inserts.cost, money(inserts.cost),
            f"{spares}{stock}",
        )  # fmt: skip
        return
    own = f"the customer's own; {stock}"
    yield BuyRow("inserts", "inserts", str(number), number, "", None, NO_PRICE, own)
    other = "of other wood and the same size, for a test"
    yield BuyRow(
        "tests", "inserts", str(inserts.tests), inserts.tests, "", inserts.cost,
        money(inserts.cost), other,
    )  # fmt: skip


def _by_piece(what: str, found: CountToBuy, which: str, *, before: str = "") -> BuyRow:
    told = f"{before}{found.count}"
    return BuyRow(what, what, told, found.count, "", found.cost, money(found.cost), which)


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
    return f"{insert.wood}, {how}" if insert.wood else how


def expected_words(outcome: Outcome, answer: Answer) -> str:
    """How many castings come out well, and how many to start to be surer.

    outcome : what is to be expected.
    answer : the job.
    """
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

    job, learned = answer.job, answer.question.learned
    seen = learned.yield_seen or costs(job.cost, job.shop).yield_seen
    belief = believed(job.order.yield_, on=seen)
    if belief is None or job.order.customers_wood:
        return ""
    wanted = -(-job.order.pieces // pieces_per_blank(job))
    surer = castings_to_start(wanted, belief, confidence=job.order.confidence)
    if surer <= answer.moulds:
        return ""
    own = _own(learned, inches=job.unit == "in")
    return (
        f" The yield is taken for certain; believed as if on {seen:g} castings{own}, {surer} would"
        " be started to be as sure."
    )


def _own(learned: Learned, *, inches: bool) -> str:
    if learned.yield_ is None:
        return ""
    from mouldgen.shop.taken import seen_clause

    seen = in_both(seen_clause(learned), inches=inches)
    return f", {learned.yield_castings} of them your own{seen}"


def _about(expected: Expected) -> str:
    mean = f"{expected.mean:.2g}" if expected.mean < 10.0 else f"{expected.mean:.0f}"
    if expected.low == expected.high:
        return mean
    return f"{mean} ({expected.low} to {expected.high})"


def grams_words(mass_g: float, answer: Answer) -> str:
    """A mass as the scale shows it.

    mass_g : any [g].
    answer : whose scale it is.
    """
    return f"{grams(mass_g, digit_g=answer.job.shop.scale)} g"


def money(cost: float | None) -> str:
    """A price in the shop's own money, or ``?``."""
    return "?" if cost is None else f"{cost:.2f}"


def listed(words: tuple[str, ...]) -> str:
    """``a, b and c``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def total_words(found: Purchase) -> str:
    """What all of it costs, what that leaves out, and whose prices it rests on.

    found : what to buy.
    """
    missing = f", without {listed(found.without_price)}" if found.without_price else ""
    text = f"In all {found.total:.2f}{missing}."
    if found.believed:
        prices = "The price" if len(found.believed) == 1 else "Prices"
        text += (
            f" {prices} of {listed(found.believed)} {'is' if len(found.believed) == 1 else 'are'}"
            " belief, from presets/cost.toml."
        )
    return text


def purchase_notes(found: Purchase, answer: Answer) -> Iterator[str]:
    """What is left over, and what the job does not tell.

    found : what to buy.
    answer : the job.
    """
    if found.resin.packs is not None:
        left = grams_words(found.resin.packs.left_g, answer)
        yield f"These packs are the cheapest that hold it; {left} are left over."
    elif found.resin.cost is None:
        yield (
            'What the resin costs is not told: give [resin] packs, such as ["1.5 kg for 42"], or'
            ' [resin] price, such as "38 per kg".'
        )
    if any(tint.tint_g is None for tint in found.tints):
        yield (
            "How much of a tint is not told: give [[colour]] tint, its share of the resin's mass."
            " Mica takes 0.01 to 0.05 (common practice, no source)."
        )
