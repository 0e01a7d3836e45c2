"""Where the moulds of one card stand in the pot, as a small SVG: a round a tier, with numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldgen.markup import escaped
from mouldgen.sheet.from_above import WIDTH_OF_LETTER, circle, length, opening, text
from mouldgen.sheet.pot_drawing import numbers

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import CardPot

_RADIUS, _EDGE, _FOOT = 30.0, 2.0, 6.0  # of a round, and what is kept free round it [mm]
_TALLEST = 6.0  # of a number [mm]


def spots_svg(pot: CardPot, *, title: str) -> str:
    """The tiers from the lowest on, the back of the pot on top; the same text for the same pot.

    pot : with at least one mould in it.
    title : for screen readers; any text.
    """
    each = 2.0 * (_RADIUS + _EDGE)
    width, depth = each * pot.tiers, each + _FOOT
    parts = [
        opening(width, depth, name="spots"),
        f'<title id="spots-title">{escaped(title)}</title>',
        f'<desc id="spots-desc">{escaped(_description(pot))}</desc>',
        f'<rect width="{length(width)}" height="{length(depth)}" fill="white"/>',
    ]
    for tier in range(1, pot.tiers + 1):
        middle = each * (tier - 0.5)
        look = 'fill="none" stroke="black" stroke-width="0.8"'
        parts.append(circle(middle, each / 2.0, _RADIUS, look))
        for spot in pot.spots:
            if spot.tier == tier:
                words = numbers(spot.moulds)
                size = min(_TALLEST, 3.0 * _TALLEST / (len(words) * WIDTH_OF_LETTER + 1.0))
                x, y = middle + spot.x * _RADIUS, each / 2.0 - spot.y * _RADIUS
                parts.append(text(x, y + 0.36 * size, size, words, anchor="middle", weight="bold"))
        told = f"tier {tier}, from above" if pot.tiers > 1 else "from above, back on top"
        parts.append(text(middle, each + 3.6, 4.2, told, anchor="middle"))
    return "\n".join([*parts, "</svg>", ""])


def _description(pot: CardPot) -> str:
    tiers = [
        f"tier {tier}: {', '.join(numbers(spot.moulds) for spot in pot.spots if spot.tier == tier)}"
        for tier in range(1, pot.tiers + 1)
    ]
    return f"Numbers of the moulds where they stand, {'; '.join(tiers)}."
