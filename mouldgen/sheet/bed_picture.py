"""A bed seen from above, as SVG: what lies where, true to scale.

Black on white, so that it prints well; lengths in the file are millimetres.  The front of the
bed is at the foot of the picture.
"""

from __future__ import annotations

from collections import Counter

from mouldgen.job.shop_tables import Printer
from mouldgen.layout.beds import BedPlace, BedPlan
from mouldgen.markup import escaped
from mouldgen.packing.shapes import Disc, KeepOut, Polygon, RectBed, RoundedRectangle
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


def bed_svg(plan: BedPlan, printer: Printer, *, title: str) -> str:
    """One bed as a whole SVG document, the same text for the same plan.

    plan : the bed; its margin and outline are drawn from it.
    printer : whose spacing is told under the picture.
    title : above the picture and for screen readers; any text.
    """
    width, depth = _bed_size(plan)
    page_width = max(width + 2 * SIDE, NARROWEST)
    head = head_mm(page_width)
    below, page_depth = foot(_below(plan, printer), width=page_width, top=head + depth)
    parts = [
        line
        for number, place in enumerate(plan.items, start=1)
        for line in _part(place, number, depth, type_mm(page_width))
    ]
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            opening(page_width, page_depth, name="bed"),
            f'<title id="bed-title">{escaped(title)}</title>',
            f'<desc id="bed-desc">{escaped(_description(plan, printer))}</desc>',
            f'<rect width="{length(page_width)}" height="{length(page_depth)}" fill="white"/>',
            heading(title, page_width),
            f'<g transform="translate({length((page_width - width) / 2)} {length(head)})">',
            *_bed_outline(plan),
            *(_keep_out(zone, _bed_size(plan)[1]) for zone in plan.keep_outs),
            *parts,
            "</g>",
            *below,
            "</svg>",
            "",
        ]
    )


def _bed_size(plan: BedPlan) -> tuple[float, float]:
    if isinstance(plan.bed, RectBed):
        return plan.bed.width_mm, plan.bed.depth_mm
    return plan.bed.diameter_mm, plan.bed.diameter_mm


def _description(plan: BedPlan, printer: Printer) -> str:
    return (
        f"Bed {plan.number} from above, front at the foot: {_bed_words(plan)}, "
        f"{length(plan.margin_mm)} mm kept free along the edge, at least "
        f"{length(printer.spacing)} mm between parts{_keep_out_words(plan)}. "
        f"On it: {_count_words(plan)}. Parts cover {100 * plan.used_fraction:.0f} % of it."
    )


def _keep_out_words(plan: BedPlan) -> str:
    if not plan.keep_outs:
        return ""
    zones = "1 zone" if len(plan.keep_outs) == 1 else f"{len(plan.keep_outs)} zones"
    return f", nothing on {zones} drawn dark"


def _bed_words(plan: BedPlan) -> str:
    if isinstance(plan.bed, RectBed):
        return f"{length(plan.bed.width_mm)} × {length(plan.bed.depth_mm)} mm"
    return f"round, {length(plan.bed.diameter_mm)} mm across"


def _count_words(plan: BedPlan) -> str:
    counts = Counter(place.part for place in plan.items)
    return ", ".join(f"{count} × {part}" for part, count in counts.items())


def _bed_outline(plan: BedPlan) -> list[str]:
    """The edge of the bed and, dashed, its margin; the bed's back left corner is at 0, 0."""
    width, depth = _bed_size(plan)
    margin = plan.margin_mm
    edge = 'fill="none" stroke="black" stroke-width="0.8"'
    if isinstance(plan.bed, RectBed):
        edge_line = _rect(0, 0, width, depth, edge)
        inner = _rect(margin, margin, width - 2 * margin, depth - 2 * margin, DASHED)
    else:
        edge_line = circle(width / 2, depth / 2, width / 2, edge)
        inner = circle(width / 2, depth / 2, width / 2 - margin, DASHED)
    return [edge_line, inner] if margin > 0 else [edge_line]


def _keep_out(zone: KeepOut, depth: float) -> str:
    """A part of the bed on which nothing may lie, darker than the parts."""
    return outline(
        [(x, depth - y) for x, y in zone.corners_mm],
        'fill="#999999" stroke="black" stroke-width="0.3"',
    )


def _part(place: BedPlace, number: int, depth: float, type_: float) -> list[str]:
    """A part's outline with its number, and its name where there is room to read it."""
    x, y = place.x_mm, depth - place.y_mm
    half_x, half_y = place.half_mm
    look = 'fill="#eeeeee" stroke="black" stroke-width="0.5"'
    if isinstance(place.shape, Disc):
        lines = [circle(x, y, half_x, look)]
    elif isinstance(place.shape, Polygon):
        corners = place.shape.turned(place.turned).corners_mm
        lines = [outline([(x + a, y - b) for a, b in corners], look)]
    elif isinstance(place.shape, RoundedRectangle):
        corner = f'rx="{length(place.shape.corner_mm)}" {look}'
        lines = [_rect(x - half_x, y - half_y, 2 * half_x, 2 * half_y, corner)]
    else:
        lines = [_rect(x - half_x, y - half_y, 2 * half_x, 2 * half_y, look)]
    room = 1.5 * half_x  # a line of text this wide clears a circle above and below
    most = 1.25 * type_
    name = min(most, 0.4 * half_y, room / (max(len(place.part), 1) * WIDTH_OF_LETTER))
    count = min(most, 0.6 * half_y, room / (len(str(number)) * WIDTH_OF_LETTER))
    if name >= SMALLEST_TEXT:
        lines.append(text(x, y - 0.25 * name, name, place.part, anchor="middle"))
        lines.append(text(x, y + 1.0 * count, count, str(number), anchor="middle", weight="bold"))
    elif count >= SMALLEST_TEXT:
        lines.append(text(x, y + 0.36 * count, count, str(number), anchor="middle", weight="bold"))
    return lines


def _below(plan: BedPlan, printer: Printer) -> tuple[str, str]:
    """What the bed holds, and how closely."""
    return (
        f"{_bed_words(plan)}: {_count_words(plan)}",
        f"{100 * plan.used_fraction:.0f} % covered, {length(printer.spacing)} mm between parts",
    )


def _rect(x: float, y: float, width: float, depth: float, look: str) -> str:
    sides = f'width="{length(width)}" height="{length(depth)}"'
    return f'<rect x="{length(x)}" y="{length(y)}" {sides} {look}/>'
