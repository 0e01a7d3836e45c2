"""One load of the pot seen from above, as SVG: its tiers side by side, true to scale.

Black on white, so that it prints well; lengths in the file are millimetres.  The back of the pot
is at the head of the picture; moulds carry their numbers in the order of pouring.
"""

from __future__ import annotations

from mouldgen.layout.pot import PotLoad, PotPlace, PotPlan, PotTier
from mouldgen.markup import escaped
from mouldgen.packing.shapes import Disc, Polygon, RoundedRectangle
from mouldgen.sheet.from_above import (
    DASHED,
    NARROWEST,
    SIDE,
    SMALLEST_TEXT,
    WIDTH_OF_LETTER,
    circle,
    foot,
    head_mm,
    heading,
    length,
    opening,
    outline,
    text,
    type_mm,
)


def pot_svg(plan: PotPlan, load: PotLoad, *, title: str) -> str:
    """One load as a whole SVG document, the same text for the same plan.

    plan : whose pot is drawn, with its margin.
    load : one of its loads.
    title : above the picture and for screen readers; any text.
    """
    across = plan.pot.diameter
    drawn = len(load.tiers) * (across + SIDE) - SIDE
    width = max(drawn + 2.0 * SIDE, NARROWEST)
    below, depth = foot(_below(plan, load), width=width, top=head_mm(width) + across)
    left = (width - drawn) / 2.0
    tiers = [
        line
        for index, tier in enumerate(load.tiers)
        for line in _tier(plan, tier, left + index * (across + SIDE) + across / 2.0, width)
    ]
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            opening(width, depth, name="pot"),
            f'<title id="pot-title">{escaped(title)}</title>',
            f'<desc id="pot-desc">{escaped(_description(plan, load))}</desc>',
            f'<rect width="{length(width)}" height="{length(depth)}" fill="white"/>',
            heading(title, width),
            *tiers,
            *below,
            "</svg>",
            "",
        ]
    )


def _description(plan: PotPlan, load: PotLoad) -> str:
    pot = plan.pot
    tiers = "; ".join(
        f"tier {number}: {_what(tier)}" for number, tier in enumerate(load.tiers, start=1)
    )
    return (
        f"Load {load.number} of {len(plan.loads)} from above, the back at the head: a pot of"
        f" {length(pot.diameter)} mm inside, {length(pot.margin)} mm kept free along the wall,"
        f" at least {length(pot.spacing)} mm between moulds. On {tiers}. {_left_words(load)}"
    )


def _what(tier: PotTier) -> str:
    numbers = [place.number for place in tier.places if place.number is not None]
    catches = len(tier.places) - len(numbers)
    words = (
        f"mould {numbers[0]}" if len(numbers) == 1 else f"moulds {min(numbers)} to {max(numbers)}"
    )
    if catches:
        words += f" and {catches} catch mould{'s' if catches > 1 else ''}"
    return words


def _left_words(load: PotLoad) -> str:
    return f"{length(round(load.left_mm, 1))} mm of the height are left over."


def _tier(plan: PotPlan, tier: PotTier, middle: float, width: float) -> list[str]:
    """The wall, dashed its margin, and what stands on one tier."""
    radius, margin = plan.pot.diameter / 2.0, plan.pot.margin
    y = head_mm(width) + radius
    lines = [circle(middle, y, radius, 'fill="none" stroke="black" stroke-width="0.8"')]
    if margin > 0:
        lines.append(circle(middle, y, radius - margin, DASHED))
    for place in tier.places:
        lines += _place(place, middle + place.x_mm, y - place.y_mm, type_mm(width))
    return lines


def _place(place: PotPlace, x: float, y: float, type_: float) -> list[str]:
    """A mould's outline with its number; a catch mould is left white, with a C."""
    fill = "white" if place.number is None else "#eeeeee"
    look = f'fill="{fill}" stroke="black" stroke-width="0.5"'
    shape = place.shape
    if isinstance(shape, Disc):
        half_x = half_y = shape.radius_mm
        lines = [circle(x, y, shape.radius_mm, look)]
    elif isinstance(shape, Polygon):
        shape = shape.turned(place.turned)
        half_x, half_y = shape.width_mm / 2.0, shape.depth_mm / 2.0
        lines = [outline([(x + a, y - b) for a, b in shape.corners_mm], look)]
    else:
        half_x, half_y = shape.width_mm / 2.0, shape.depth_mm / 2.0
        if place.turned % 2:
            half_x, half_y = half_y, half_x
        corner = shape.corner_mm if isinstance(shape, RoundedRectangle) else 0.0
        side = f'width="{length(2 * half_x)}" height="{length(2 * half_y)}"'
        at = f'x="{length(x - half_x)}" y="{length(y - half_y)}"'
        lines = [f'<rect {at} {side} rx="{length(corner)}" {look}/>']
    mark = "C" if place.number is None else str(place.number)
    size = min(2.25 * type_, 0.9 * half_y, 1.3 * half_x / (len(mark) * WIDTH_OF_LETTER))
    if size >= SMALLEST_TEXT:
        lines.append(text(x, y + 0.36 * size, size, mark, anchor="middle", weight="bold"))
    return lines


def _below(plan: PotPlan, load: PotLoad) -> tuple[str, str]:
    """Which tier is which, and what is left over."""
    holds = "; ".join(
        f"tier {number}, {length(round(tier.stands_mm, 1))} mm over the floor: {_what(tier)}"
        for number, tier in enumerate(load.tiers, start=1)
    )
    pot = plan.pot
    apart = (
        f"{length(pot.diameter)} mm inside, {length(pot.margin)} mm to the wall,"
        f" {length(pot.spacing)} mm between moulds. {_left_words(load)}"
    )
    return holds, apart
