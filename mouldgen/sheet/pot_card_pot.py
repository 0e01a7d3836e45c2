"""The part of a pot card that is done at the pot: place, shut, press, hold and vent."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import zip_longest
from typing import TYPE_CHECKING

from mouldgen.sheet.card_words import length, long_time, pencil_time, pressure_line
from mouldgen.sheet.pot_drawing import COLUMNS as DRAWN
from mouldgen.sheet.pot_drawing import numbers, pot_drawing

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import CardPot, PotCard


def pot_lines(card: PotCard, *, columns: int) -> list[str]:
    """What is done at the pot, with its lowest tier drawn beside it.

    card : of the load.
    columns : of the page.
    """
    drawn = _drawing(card.pot)
    wide = columns - (DRAWN + 2 if drawn else 0)
    said = [
        line
        for text in pot_said(card)
        for line in textwrap.wrap(text, wide, subsequent_indent=" " * 9, break_on_hyphens=False)
    ]
    return [
        f"{left:<{wide + 2}}{right}".rstrip() if drawn else left
        for left, right in zip_longest(said, drawn, fillvalue="")
    ]


def pot_said(card: PotCard) -> Iterator[str]:
    """What is done at the pot; a label in the first nine columns.

    card : of the load.
    """
    if card.pot is not None:
        yield from _pot(card, card.pot)
    rating = None if card.pot is None else card.pot.rating_kpa
    yield f"PLATE    {pressure_line(rating)}, never above"
    yield f"PRESSURE {pressure_line(card.pressure_kpa)}"
    yield "         [ ] valve opened SLOWLY   [ ] no hiss"
    yield f"HOLD     until {pencil_time()}{_told_hold(card)}"
    yield "VENT     [ ] SLOWLY, to nothing, then the clamps"


def _told_hold(card: PotCard) -> str:
    if card.pot_hold_s is not None:
        return f" ({long_time(card.pot_hold_s)} pressed)"
    return "" if card.hold_s is None else f" ({long_time(card.hold_s)} from mixing)"


def _pot(card: PotCard, pot: CardPot) -> Iterator[str]:
    number = len(pot.spots) or len(card.moulds)
    moulds = f"{number} mould{'s' * (number != 1)}"
    tiers = f", {pot.tiers} tiers" if pot.tiers > 1 else ""
    yield f"POT      {length(pot.diameter_mm)}: {moulds}{tiers}"
    plate = f" of {length(pot.floor_plate_mm)}" if pot.floor_plate_mm else ""
    yield f"         [ ] floor plate{plate} in"
    more = [name for name, there in (("rack", pot.rack), ("drip tray", pot.tray)) if there]
    if more:
        yield "         " + "   ".join(f"[ ] {name} in" for name in more)
    for tier in range(2, pot.tiers + 1):
        on = [numbers(spot.moulds) for spot in pot.spots if spot.tier == tier]
        yield f"         tier {tier}: {', '.join(on)}"
    yield f"         {length(pot.headroom_mm)} headroom, mould closed"


def _drawing(pot: CardPot | None) -> tuple[str, ...]:
    """The lowest tier; nothing where no place was found."""
    lowest = [] if pot is None else [spot for spot in pot.spots if spot.tier == 1]
    return pot_drawing(lowest) if lowest else ()
