"""A bed seen from above, as SVG: what lies where, true to scale.

Black on white, so that it prints well; lengths in the file are millimetres.  The front of the
bed is at the foot of the picture.
"""

from __future__ import annotations

from collections import Counter

from mouldgen.job.model import Printer
from mouldgen.layout.beds import BedPlace, BedPlan
from mouldgen.markup import escaped
from mouldgen.packing.shapes import Disc, RectBed

_NARROWEST = 120.0  # page, so that the words under a small bed stay legible [mm]
_SIDE = 6.0  # white left and right of the bed, at least [mm]
_HEAD = 16.0  # above it, for the title
_FOOT = 32.0  # below it, for the scale bar and what it says
_BAR = 50.0  # length of the scale bar
_SMALLEST_TEXT = 2.2  # a label smaller than this cannot be read from a print, so it is left out
_WIDTH_OF_LETTER = 0.65  # of the height of the type, on the generous side for bold sans-serif


def bed_svg(plan: BedPlan, printer: Printer, *, title: str) -> str:
    """One bed as a whole SVG document, the same text for the same plan.

    plan : the bed; its margin and outline are drawn from it.
    printer : whose spacing is told under the picture.
    title : above the picture and for screen readers; any text.
    """
    width, depth = _bed_size(plan)
    page_width, page_depth = max(width + 2 * _SIDE, _NARROWEST), _HEAD + depth + _FOOT
    parts = [
        line
        for number, place in enumerate(plan.items, start=1)
        for line in _part(place, number, depth)
    ]
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            _opening(page_width, page_depth),
            f'<title id="bed-title">{escaped(title)}</title>',
            f'<desc id="bed-desc">{escaped(_description(plan, printer))}</desc>',
            f'<rect width="{_n(page_width)}" height="{_n(page_depth)}" fill="white"/>',
            _heading(title, page_width),
            f'<g transform="translate({_n((page_width - width) / 2)} {_n(_HEAD)})">',
            *_bed_outline(plan),
            *parts,
            "</g>",
            *_foot(plan, printer, page_width, _HEAD + depth),
            "</svg>",
            "",
        ]
    )


def _opening(width: float, depth: float) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}mm" '
        f'height="{_n(depth)}mm" viewBox="0 0 {_n(width)} {_n(depth)}" '
        'role="img" aria-labelledby="bed-title bed-desc" '
        'font-family="Helvetica, Arial, sans-serif" fill="black">'
    )


def _bed_size(plan: BedPlan) -> tuple[float, float]:
    if isinstance(plan.bed, RectBed):
        return plan.bed.width_mm, plan.bed.depth_mm
    return plan.bed.diameter_mm, plan.bed.diameter_mm


def _description(plan: BedPlan, printer: Printer) -> str:
    return (
        f"Bed {plan.number} from above, front at the foot: {_bed_words(plan)}, "
        f"{_n(plan.margin_mm)} mm kept free along the edge, at least {_n(printer.spacing)} mm "
        f"between parts. On it: {_count_words(plan)}. Parts cover "
        f"{100 * plan.used_fraction:.0f} % of it."
    )


def _bed_words(plan: BedPlan) -> str:
    if isinstance(plan.bed, RectBed):
        return f"{_n(plan.bed.width_mm)} × {_n(plan.bed.depth_mm)} mm"
    return f"round, {_n(plan.bed.diameter_mm)} mm across"


def _count_words(plan: BedPlan) -> str:
    counts = Counter(place.part for place in plan.items)
    return ", ".join(f"{count} × {part}" for part, count in counts.items())


def _heading(title: str, width: float) -> str:
    size = min(6.0, (width - 2 * _SIDE) / max(len(title) * _WIDTH_OF_LETTER, 1))
    return _text(_SIDE, 10.0, size, title, anchor="start", weight="bold")


def _bed_outline(plan: BedPlan) -> list[str]:
    """The edge of the bed and, dashed, its margin; the bed's back left corner is at 0, 0."""
    width, depth = _bed_size(plan)
    margin = plan.margin_mm
    edge = 'fill="none" stroke="black" stroke-width="0.8"'
    dashed = 'fill="none" stroke="black" stroke-width="0.3" stroke-dasharray="3 2"'
    if isinstance(plan.bed, RectBed):
        outline = _rect(0, 0, width, depth, edge)
        inner = _rect(margin, margin, width - 2 * margin, depth - 2 * margin, dashed)
    else:
        outline = _circle(width / 2, depth / 2, width / 2, edge)
        inner = _circle(width / 2, depth / 2, width / 2 - margin, dashed)
    return [outline, inner] if margin > 0 else [outline]


def _part(place: BedPlace, number: int, depth: float) -> list[str]:
    """A part's outline with its number, and its name where there is room to read it."""
    x, y = place.x_mm, depth - place.y_mm
    half_x, half_y = place.half_mm
    look = 'fill="#eeeeee" stroke="black" stroke-width="0.5"'
    if isinstance(place.shape, Disc):
        lines = [_circle(x, y, half_x, look)]
    else:
        lines = [_rect(x - half_x, y - half_y, 2 * half_x, 2 * half_y, look)]
    room = 1.5 * half_x  # a line of text this wide clears a circle above and below
    name = min(5.0, 0.4 * half_y, room / (max(len(place.part), 1) * _WIDTH_OF_LETTER))
    count = min(5.0, 0.6 * half_y, room / (len(str(number)) * _WIDTH_OF_LETTER))
    if name >= _SMALLEST_TEXT:
        lines.append(_text(x, y - 0.25 * name, name, place.part, anchor="middle"))
        lines.append(_text(x, y + 1.0 * count, count, str(number), anchor="middle", weight="bold"))
    elif count >= _SMALLEST_TEXT:
        lines.append(_text(x, y + 0.36 * count, count, str(number), anchor="middle", weight="bold"))
    return lines


def _foot(plan: BedPlan, printer: Printer, page_width: float, top: float) -> list[str]:
    """Where the front is, a bar of known length, and what the bed holds."""
    bar = top + 10.0
    thin = 'stroke="black" stroke-width="0.5"'
    holds = f"{_bed_words(plan)}: {_count_words(plan)}"
    apart = f"{100 * plan.used_fraction:.0f} % covered, {_n(printer.spacing)} mm between parts"
    size = min(4.0, (page_width - 2 * _SIDE) / (len(holds) * _WIDTH_OF_LETTER))
    return [
        _text(page_width / 2, top + 5.0, 4.0, "front", anchor="middle"),
        (
            f'<path d="M{_n(_SIDE)} {_n(bar - 1.5)}v3M{_n(_SIDE)} {_n(bar)}h{_n(_BAR)}'
            f'M{_n(_SIDE + _BAR)} {_n(bar - 1.5)}v3" fill="none" {thin}/>'
        ),
        _text(_SIDE + _BAR / 2, bar + 5.5, 4.0, f"{_n(_BAR)} mm", anchor="middle"),
        _text(_SIDE, top + 22.0, size, holds, anchor="start"),
        _text(_SIDE, top + 27.5, 4.0, apart, anchor="start"),
    ]


def _text(
    x: float, y: float, size: float, words: str, *, anchor: str, weight: str = "normal"
) -> str:
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}" '
        f'font-weight="{weight}">{escaped(words)}</text>'
    )


def _rect(x: float, y: float, width: float, depth: float, look: str) -> str:
    return f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(depth)}" {look}/>'


def _circle(x: float, y: float, radius: float, look: str) -> str:
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" {look}/>'


def _n(value: float) -> str:
    """A length with at most four decimals, which holds multiples of 1/16 exactly."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
