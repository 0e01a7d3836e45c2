"""The parts of a pot card that are read from a step away: what is weighed, and the clock."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING, Literal

from mouldgen.mix.clock import clock_text
from mouldgen.sheet.big_digits import big_digits
from mouldgen.sheet.number_words import grams, runs, volumes

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import CardCup, CardMix, PotCard

Digits = Literal["large", "small", "plain"]

_BETWEEN = "   "
_NAME = 18  # columns of a colour's name; a longer one takes another line
_LABEL = 4  # columns in front of a part's digits


def mix_lines(card: PotCard, number: int, *, digits: Digits, block: str, columns: int) -> list[str]:
    """One mix: its title, the two parts with what is done beside them, and its cups.

    card : of the mix.
    number : of the mix, 0 for the first.
    digits : of the two parts.
    block : of large digits.
    columns : of the page.
    """
    mix = card.mixes[number]
    beside = _beside(card, mix)
    lines = textwrap.wrap(_title(card, mix, number), columns)
    a, b = (grams(g, digit_g=card.digit_g) for g in (mix.a_g, mix.b_g))
    if digits == "plain":
        lines += _wrapped(["[ ] A " + a + " g", "[ ] B " + b + " g", *beside], columns)
    else:
        parts = [_part("A", a, digits, block), _part("B", b, digits, block)]
        if _wide(a, b, *beside, block=block, digits=digits) <= columns:
            lines += _next_to([*parts, beside])
        else:
            lines += [*_next_to(parts), *_wrapped(beside, columns)]
    if len(mix.cups) > 1:
        lines += _cups(card, mix, columns)
    return lines


def has_room(card: PotCard, *, columns: int) -> bool:
    """Whether large digits of both parts stand beside one another, in every mix.

    card : with its mixes.
    columns : of the page.
    """
    both = (
        (grams(m.a_g, digit_g=card.digit_g), grams(m.b_g, digit_g=card.digit_g)) for m in card.mixes
    )
    return all(_wide(a, b, block="#") <= columns for a, b in both)


def _title(card: PotCard, mix: CardMix, number: int) -> str:
    of = f" {number + 1} of {len(card.mixes)}" if len(card.mixes) > 1 else ""
    one = mix.cups[0].colour or "as it comes"
    what = f"clear, for {len(mix.cups)} cups" if len(mix.cups) > 1 else one
    return f"MIX{of} {what}: {volumes(mix.mixed_ml)}"


def _beside(card: PotCard, mix: CardMix) -> list[str]:
    """What stands beside the digits."""
    lines = [f"A + B  {grams(mix.total_g, digit_g=card.digit_g)} g"]
    if len(mix.cups) > 1:
        return [*lines, f"[ ] start {clock_text(mix.start_s)}"]
    cup = mix.cups[0]
    if cup.tinted:
        lines.append(f"[ ] tint {_tint(card, cup)} g")
        if mix.tint_before:
            lines.append("    INTO PART A")
    lines.append(f"[ ] start {clock_text(mix.start_s)}")
    lines.append(f"[ ] done {clock_text(cup.done_s)}")
    if cup.into != card.moulds:
        lines.append(f"into {runs(cup.into)}")
    return lines


def _tint(card: PotCard, cup: CardCup) -> str:
    return "_____" if cup.tint_g is None else grams(cup.tint_g, digit_g=card.digit_g)


def _part(name: str, text: str, digits: Literal["large", "small"], block: str) -> list[str]:
    """A box, the part's letter and its grams."""
    drawn = big_digits(text, size=digits, block=block)
    labels = {len(drawn) // 2 - 1: f" {name}", len(drawn) // 2: "[ ]"}
    return [
        f"{labels.get(k, ''):<{_LABEL}}{line}{' g' if k == len(drawn) - 1 else '  '}"
        for k, line in enumerate(drawn)
    ]


def _next_to(blocks: Sequence[Sequence[str]]) -> list[str]:
    wide = [max(map(len, block)) for block in blocks]
    return [
        _BETWEEN.join(line.ljust(w) for line, w in zip(row, wide, strict=True)).rstrip()
        for row in zip_longest(*blocks, fillvalue="")
    ]


def _wide(
    a: str, b: str, *beside: str, block: str, digits: Literal["large", "small"] = "large"
) -> int:
    """Columns of both parts next to one another, and of what stands beside them."""
    parts = [_part("A", a, digits, block), _part("B", b, digits, block)]
    wide = [max(map(len, part)) for part in (*parts, *([beside] if beside else []))]
    return sum(wide) + (len(wide) - 1) * len(_BETWEEN)


def _wrapped(items: Sequence[str], columns: int, *, strip: bool = True) -> list[str]:
    """Short texts one after another on as few lines as they take; one is broken only alone.

    strip : whether blanks in front of each go.
    """
    lines = [""]
    for item in items:
        told = item.strip() if strip else item
        longer = f"{lines[-1]}{_BETWEEN}{told}" if lines[-1] else told
        if len(longer) <= columns:
            lines[-1] = longer
        else:
            lines += textwrap.wrap(told, columns, subsequent_indent=_BETWEEN)
    return [line for line in lines if line]


def _cups(card: PotCard, mix: CardMix, columns: int) -> Iterator[str]:
    names = [cup.colour or "as it comes" for cup in mix.cups]
    wide = min(_NAME, max(6, *map(len, names)))
    yield f"  CUP  {'COLOUR':<{wide}}  {'IN CUP':>9}  {'TINT':>9}  {'START':>8}  {'POURED':>8}"
    by_end = sorted(cup.done_s for cup in mix.cups)
    for k, (cup, name) in enumerate(zip(mix.cups, names, strict=True), 1):
        tint = f"{_tint(card, cup)} g" if cup.tinted else ""
        place = _place(1 + by_end.index(cup.done_s))
        *above, last = textwrap.wrap(name, wide)
        yield from (f"       {line}" for line in above)
        row = (
            f"{k:>4}   {last:<{wide}}  {grams(cup.g, digit_g=card.digit_g) + ' g':>9}  {tint:>9}"
            f"  {clock_text(cup.start_s):>8}  {clock_text(cup.done_s):>8}  [ ] {place}"
        )
        into = "" if cup.into == card.moulds else f"into {runs(cup.into)}"
        yield from _wrapped([row, into] if into else [row], columns, strip=False)


def _place(number: int) -> str:
    """``1st`` for the cup that is poured before the others."""
    return str(number) + {1: "st", 2: "nd", 3: "rd"}.get(number, "th")


def clock_lines(card: PotCard, *, digits: Digits, columns: int) -> list[str]:
    """The clock: mixing, the first pour, the moment to be shut by, and the latest one.

    card : of the session.
    digits : of the times; plain ones where they would be wider than the page.
    columns : of the page.
    """
    shut = "PRESSED by" if card.pot is not None else "SHUT by"
    times = [
        ("MIX", clock_text(card.mix_s)),
        ("POUR at", clock_text(card.pour_s)),
        (shut, clock_text(math.ceil(card.close_s - 1e-6))),
    ]
    if card.limit_s is not None:
        times.append(("LIMIT", clock_text(math.floor(card.limit_s + 1e-6))))
    lines = []
    if digits != "plain":
        lines = _next_to([[name, *big_digits(text, size="small")] for name, text in times])
    if digits == "plain" or max(map(len, lines)) > columns:
        lines = [_BETWEEN.join(f"{name} {text}" for name, text in times)]
    return [*lines, *_under(card, columns)]


def _under(card: PotCard, columns: int) -> Iterator[str]:
    yield from textwrap.wrap(limit_words(card), columns)
    shut = "pressed" if card.pot is not None else "shut"
    yield f"Real times: mixed {'_' * 6}  poured {'_' * 6}  {shut} {'_' * 6}"


def limit_words(card: PotCard) -> str:
    """How to mix, and what sets the latest moment to be shut by.

    card : of the session.
    """
    half = clock_text(card.mix_s / 2.0)
    mix = f"Mix {half}, NEW CUP, mix {half}. " if card.kind == "epoxy" else ""
    limits = {
        "air": "air must leave the gap",
        "gel": "the resin gels",
        None: "none known",
    }
    slack = ""
    if card.limit_s is not None:
        left = clock_text(max(0, math.floor(card.limit_s - card.close_s + 1e-6)))
        slack = f", {left} to spare"
    return f"{mix}Limit: {limits[card.limited_by]}{slack}."
