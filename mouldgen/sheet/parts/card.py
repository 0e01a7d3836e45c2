"""A pot card as a page of the job sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from mouldgen.job.cautions import cautions_for
from mouldgen.sheet.card_words import temperature
from mouldgen.sheet.number_words import runs
from mouldgen.sheet.parts.shown import clock, on_scale, svg_drawing
from mouldgen.sheet.pot_card import (
    LABEL,
    after_lines,
    boxes_of,
    colour_words,
    filled_words,
    pour_lines,
)
from mouldgen.sheet.pot_card_pot import pot_said
from mouldgen.sheet.pot_card_weigh import limit_words
from mouldgen.sheet.sheet_data import (
    Big,
    Boxes,
    Cell,
    Facts,
    Found,
    Grid,
    Heading,
    Item,
    Part,
    Pencil,
    Told,
    Value,
)
from mouldgen.sheet.spots_picture import spots_svg

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import CardMix, PotCard

_ROOMY = 4  # cups of one mix that leave room for larger digits
_TICK = "[ ]"
_BOX = "\u2610"


def card_part(card: PotCard) -> Part:
    """One page: before the pour, what to weigh, the clock, the pour, the pot, and after."""
    name = f"card.{card.load}.{card.pour}"
    where = f"load {card.load} of {card.loads}"
    if card.pours > 1:
        where += f", pour {card.pour} of {card.pours}"
    title = f"{'Pot' if card.pot else 'Pour'} card {card.job}: {where}"
    cups = sum(len(mix.cups) for mix in card.mixes)
    return Part(
        name.replace(".", "-"),
        Value(f"{name}.title", title),
        tuple(_items(card, name)),
        close=len(card.mixes) > 1 or cups > _ROOMY,
    )


def _items(card: PotCard, name: str) -> Iterator[Item]:
    for at, stop in enumerate(card.stops):
        yield Found("stop", "not ready", Value(f"{name}.stop.{at}", stop))
    yield Told(Value(f"{name}.filled", filled_words(card)), loud=True)
    shop = f"The clock is reckoned for {temperature(card.shop_c)}."
    yield Told(Value(f"{name}.colours", f"{colour_words(card)}. {shop}"))
    yield Pencil(("date", "shop, C or F", "RH, %"))
    yield Heading(Value(f"{name}.before", "Before the pour"))
    boxes = [text for texts in boxes_of(card) for text in texts]
    yield Boxes(tuple(Value(f"{name}.box.{at}", text) for at, text in enumerate(boxes)))
    yield Heading(Value(f"{name}.weigh", "Weigh, before the clock starts"))
    for number, mix in enumerate(card.mixes, 1):
        yield from _mix(card, mix, f"{name}.mix.{number}", number)
    yield Heading(Value(f"{name}.clock", "Clock, from the start of the first mix"))
    yield Big(tuple(_clock(card, name)))
    yield Told(Value(f"{name}.limit", limit_words(card)))
    shut = "pressed" if card.pot is not None else "shut"
    yield Pencil(("really mixed at", "poured at", f"{shut} at"))
    yield Heading(Value(f"{name}.pour", "Pour"))
    yield _lines("Pour", pour_lines(card), f"{name}.pour")
    if card.pressed:
        yield Heading(Value(f"{name}.pot", "Pot"))
        if card.pot is not None and card.pot.spots:
            yield svg_drawing(
                f"{name}.spots",
                spots_svg(card.pot, title=f"{card.job}, load {card.load}"),
                alt=f"Where moulds {runs(card.moulds)} stand in the pot, seen from above.",
                caption="Where they stand",
                wide=card.pot.tiers > 1,
            )
        yield _lines("Pot", tuple(pot_said(card)), f"{name}.pot")
    yield Heading(Value(f"{name}.after", "After"))
    yield _lines("After", tuple(after_lines(card)), f"{name}.after")
    told = " ".join(c.short for c in cautions_for(card.kind, pressure=card.pressed))
    yield Told(Value(f"{name}.mind", told))


def _mix(card: PotCard, mix: CardMix, name: str, number: int) -> Iterator[Item]:
    digit, split = card.digit_g, len(mix.cups) > 1
    if len(card.mixes) > 1:
        yield Told(Value(f"{name}.name", f"Mix {number} of {len(card.mixes)}"))
    weighed = [
        ("A", Value(f"{name}.a", f"{on_scale('', mix.a_g, digit_g=digit).text} g", mix.a_g, "g")),
        ("B", Value(f"{name}.b", f"{on_scale('', mix.b_g, digit_g=digit).text} g", mix.b_g, "g")),
    ]
    yield Big(tuple(weighed), boxed=True)
    rows: list[tuple[Cell, ...]] = [
        (
            "clear mix" if split else _colour(mix.cups[0].colour, name),
            on_scale(f"{name}.total", mix.total_g, digit_g=digit),
            "" if split else _tint(card, mix, 0, name),
            clock(f"{name}.start", mix.start_s),
            "" if split else clock(f"{name}.done", mix.cups[0].done_s),
            "" if split else _into(mix.cups[0].into, name),
        )
    ]
    for k, cup in enumerate(mix.cups if split else ()):
        own = f"{name}.cup.{k + 1}"
        rows.append(
            (
                _colour(cup.colour, own),
                on_scale(f"{own}.g", cup.g, digit_g=digit),
                _tint(card, mix, k, own),
                clock(f"{own}.start", cup.start_s),
                clock(f"{own}.done", cup.done_s),
                _into(cup.into, own),
            )
        )
    caption = "Cups; the tint goes into part A first" if mix.tint_before else "Cups"
    head = ("cup", "in it, g", "tint, g", "start", "poured by", "into moulds")
    yield Grid(caption, head, tuple(rows), right=(1, 2, 3, 4), boxed=True)


def _colour(colour: str, name: str) -> Value:
    return Value(f"{name}.colour", colour or "as it comes")


def _tint(card: PotCard, mix: CardMix, at: int, name: str) -> Cell:
    cup = mix.cups[at]
    if not cup.tinted:
        return ""
    if cup.tint_g is None:
        return "_____"
    return on_scale(f"{name}.tint", cup.tint_g, digit_g=card.digit_g)


def _into(moulds: Sequence[int], name: str) -> Value:
    return Value(f"{name}.into", runs(moulds))


def _clock(card: PotCard, name: str) -> Iterator[tuple[str, Value]]:
    yield "mix", clock(f"{name}.mix_s", card.mix_s)
    yield "pour at", clock(f"{name}.pour_s", card.pour_s)
    shut = "pressed by" if card.pot is not None else "shut by"
    yield shut, clock(f"{name}.close_s", math.ceil(card.close_s - 1e-6))
    if card.limit_s is not None:
        yield "limit", clock(f"{name}.limit_s", math.floor(card.limit_s + 1e-6))


def _lines(caption: str, lines: Sequence[str], name: str) -> Facts:
    """Lines of a card with their labels; one without goes on from the line above."""
    rows: list[tuple[Cell, tuple[Value, ...]]] = []
    for at, line in enumerate(lines):
        label, text = line[:LABEL].strip(), line[LABEL:].strip().replace(_TICK, _BOX)
        value = Value(f"{name}.line.{at}", text)
        if label or not rows:
            rows.append((Value(f"{name}.label.{at}", label), (value,)))
        else:
            rows[-1] = (rows[-1][0], (*rows[-1][1], value))
    return Facts(caption, tuple(rows))
