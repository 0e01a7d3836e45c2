"""A quote as a maker reads it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.cli.findings import say_findings
from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, length, percent
from mouldgen.cli.words import gap as gap_words
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.cli.quote import Reckoned
    from mouldgen.shop.cost import OrderCost, Range
    from mouldgen.shop.quote import Bring, Quote

_LABEL = 10
_NO_END = 20.0  # times the middle: a yield believed on so little has next to nothing in it


def say_quote(found: Reckoned, *, quiet: bool, verbose: bool) -> None:
    """Price, day, what to bring, what is left out and what it rests on.

    quiet : price and day only.
    verbose : the break-down, and every number that nobody gave.
    """
    quote, job = found.quote, found.answer.job
    _say_head(found)
    _say_price(quote)
    _say_day(found)
    if not quiet:
        inches = job.unit == "in"
        _say_cost(quote.cost)
        _line("Wood", _wood(quote.bring, inches=inches, customers=job.order.customers_wood))
        _line("Hardware", _hardware(quote, inches=inches))
        _line("Left out", "; ".join(quote.leaves_out) + ".")
        _line("Valid", f"until {quote.valid_until}; the day moves with the start.")
        if found.taken:
            _line("Taken", in_both("; ".join(found.taken) + ".", inches=inches))
        if verbose:
            say()
            _say_parts(quote.cost)
        _say_basis(found, verbose=verbose)
    if found.findings:
        say()
        say_findings(found.findings, quiet=quiet, verbose=verbose)


def money(amount: float) -> str:
    """An amount in whatever currency the prices are in: ``1474.64``, as `buy` and the JSON tell it.

    A blank between thousands could be broken to two lines, and a comma is a point to some.
    """
    return f"{amount:.2f}" if amount < 10_000 else f"{amount:.0f}"


def money_range(cost: Range) -> str:
    """The middle, and from where to where it may lie."""
    if cost.high > _NO_END * cost.middle:
        return f"{money(cost.middle)} ({money(cost.low)} and up, nobody can say how far)"
    return f"{money(cost.middle)} ({money(cost.low)} to {money(cost.high)})"


def _say_head(found: Reckoned) -> None:
    cost, job = found.quote.cost, found.answer.job
    started = count(cost.needs.castings, "casting")
    good = round(cost.expected_good)
    first = "" if not cost.needs.trials else ", after a trial in other wood"
    say_wrapped(
        f"{job.name}: {count(job.order.pieces, 'piece')}, from {started}{first}; about {good} of"
        f" {count(cost.needs.castings * cost.needs.per_blank, 'piece')} will be good."
    )
    say()


def _say_price(quote: Quote) -> None:
    cost = quote.cost
    each = cost.price(cost.piece)
    pieces = cost.needs.pieces
    _line(
        "Price",
        f"{money_range(each)} a piece, the cost and {percent(cost.costs.profit)} profit on it.",
    )
    if pieces > 1:
        whole = "if all of them come good" if cost.needs.customers_wood else "for the order"
        _line("", f"{money_range(each.times(pieces))} for {pieces}, {whole}.")
    _line(
        "",
        "An estimate and no promise: the two ends are the 10th and the 90th percentile over what is"
        " believed of yield, voids, loss and hours; the luck of one order comes on top.",
    )


def _say_day(found: Reckoned) -> None:
    quote = found.quote
    if quote.ready is None:
        _line("Day", f"none can be told. {found.no_day}")
    elif quote.late and quote.due is not None and quote.due < quote.made:
        _line(
            "Day",
            f"{quote.due} is over: look whether day and year are right. The earliest honest day is"
            f" {quote.ready}.",
        )
    elif quote.late:
        _line(
            "Day",
            f"{quote.due} cannot be kept; the earliest honest day is {quote.ready}. What would"
            " change that: mouldgen plan.",
        )
    else:
        due = "" if quote.due is None else f", and {quote.due} is asked for"
        _line("Day", f"{quote.ready} at the earliest, as the work is planned{due}.")
    if quote.ready is None:
        return
    order, shown = found.answer.job.order, _shown_first(found)
    if shown and not order.approval:
        _line("", f"{shown}; no days are kept for the customer's look: [order] approval.")
    start = order.start
    if start is not None and start < quote.made:
        _line(
            "",
            f"That is with work begun on {start}, which is over: write the day that you really"
            " begin as [order] start.",
        )


def _shown_first(found: Reckoned) -> str:
    """What is finished and shown before the rest is cast; empty for nothing."""
    from mouldgen.job.first_article import first_alone

    if found.quote.cost.needs.trials:
        return "A trial in other wood is finished and shown before the customer's wood is cast"
    if first_alone(found.answer.job, found.answer.fillings):
        return "One piece is finished and shown before the rest is cast"
    return ""


def _say_cost(cost: OrderCost) -> None:
    surplus = cost.expected_good - cost.handed_over
    over = (
        f" The order carries about {count(round(surplus), 'good piece')} too many, which you keep."
        if round(surplus) >= 1
        else ""
    )
    short = cost.handed_over < cost.needs.pieces - 1e-9
    handed = f" ({cost.handed_over:.3g} are expected)" if short else ""
    _line(
        "Cost",
        f"{money_range(cost.piece)} a piece handed over{handed}, {money(cost.total)} and"
        f" {cost.hours:.1f} h of hands in all.{over}",
    )
    _line(
        "",
        f"Over all that come good, a good piece costs {money_range(cost.good_piece)}; a lost"
        f" casting has cost {money(cost.lost)}.",
    )


def _wood(bring: Bring, *, inches: bool, customers: bool) -> str:
    who = "the customer brings" if customers else "the shop needs, or the customer brings,"
    what = f" of {bring.wood}" if bring.wood else ""
    if not bring.wood and bring.density_g_ml is not None:
        what = f" of {bring.density_g_ml:g} g/ml"
    sticks = f", {bring.sticks} sticks in each" if bring.sticks > 1 else ""
    spares = f", {bring.spares} of them spare" if bring.spares else ""
    said = [f"{who} {count(bring.inserts, 'insert')}{what}{sticks}{spares}"]
    if bring.rough_mm is not None:
        sides = " x ".join(length(round(mm, 1), inches=inches) for mm in bring.rough_mm)
        square = length(bring.square_mm, inches=inches)
        said.append(
            f"each takes {sides} of a board, saw cuts in it, and each end of a board {square} to"
            " be faced"
        )
    if bring.most_moisture is not None:
        most = percent(bring.most_moisture)
        said.append(f"dried to {most} of moisture or less, weighed until it loses nothing")
    text = "; ".join(said) + "."
    if bring.no_spares is not None:
        chance = percent(bring.no_spares.all_good)
        text += (
            " No spares are possible with the customer's wood: cast a test in other wood first."
            f" All come good with a chance of {chance}."
        )
    return text[0].upper() + text[1:]


def _hardware(quote: Quote, *, inches: bool) -> str:
    bring, pieces = quote.bring, quote.cost.needs.pieces
    if bring.thread is not None:
        return f"{pieces} with a thread of {bring.thread}, one a piece."
    if bring.hole_mm is not None:
        hole = length(bring.hole_mm, inches=inches)
        return f"none that is reckoned; a hole of {hole} is drilled in every piece."
    return "none."


def _say_parts(cost: OrderCost) -> None:
    total, pieces = cost.total, cost.handed_over
    rows = [("part", "order", "a piece", "share")]
    rows += [
        (name, money(part), money(part / pieces), percent(part / total if total else 0.0))
        for name, part in cost.parts.items()
        if part
    ]
    rows.append(("cost", money(total), money(total / pieces), percent(1.0)))
    profit = total * cost.costs.profit
    rows.append(("profit", money(profit), money(profit / pieces), ""))
    price = total + profit
    rows.append(("price", money(price), money(price / pieces), ""))
    say(table(rows, right=(1, 2, 3)))


def _say_basis(found: Reckoned, *, verbose: bool) -> None:
    quote = found.quote
    gap, learned = found.answer.gap, found.answer.question.learned
    if gap.gap_mm is not None and gap.set_by == "air" and learned.air_shift:
        width = gap_words(gap.gap_mm, inches=found.answer.job.unit == "in")
        own = count(learned.castings, "casting")
        _line("Learned", f"the gap of {width}, from your own {own}, and belief.")
    if verbose:
        say()
        say(
            table(
                [
                    ("nobody gave", "taken", "rests on"),
                    *((each.key, each.value, each.basis) for each in quote.taken),
                ]
            )
        )
        _line("Resin", f"{quote.resin.says}.")
        _line("Plastic", f"{quote.plastic.says}.")
    elif quote.taken:
        for each in quote.taken:
            if each.own:
                table_, _, key = each.key.partition(".")
                basis = in_both(each.basis, inches=found.answer.job.unit == "in")
                _line("Learned", f"[{table_}] {key} {each.value}, {basis}.")
        _line("Rests on", f"belief: {'; '.join(_grouped(quote))}. --verbose tells each.")
    if not found.solids:
        _line(
            "",
            "Plastic, printing and resin are reckoned from sizes, without solids; a tenth off is"
            " usual.",
        )


def _grouped(quote: Quote) -> Iterator[str]:
    """Keys that nobody gave, by table; those of the work only counted."""
    groups: dict[str, list[str]] = defaultdict(list)
    for each in quote.taken:
        if each.own:
            continue
        name, _, key = each.key.partition(".")
        groups[name].append(f"{key} {each.value}" if key else each.value)
    for name, keys in groups.items():
        if name == "work":
            yield f"[work] {len(keys)} times of hands"
        elif name == "fill":
            yield f"{keys[0]} of resin for a void"
        else:
            yield f"[{name}] {', '.join(keys)}"


def _line(label: str, text: str) -> None:
    say_wrapped(text, first=f"{label:<{_LABEL}}")
