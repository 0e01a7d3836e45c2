"""A section through a mould and its insert with every length that a maker checks, as SVG.

True to a plain scale, so that a ruler confirms it; the outlines in the file are in millimetres of
the parts, u to the right and z up, whatever the scale.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.markup import escaped
from mouldgen.sheet.chart import WIDTH_OF_LETTER, n
from mouldgen.sheet.number_words import in_inch_words
from mouldgen.sheet.plane_cut import area_mm2, spans
from mouldgen.sheet.section_layout import ARROW_MM, TEXT_MM, Box, Placed, Words, placed
from mouldgen.sheet.section_sizes import Dimension, sizes_of
from mouldgen.sheet.section_style import (
    AXIS,
    ENVELOPE,
    OUTLINE,
    STYLE,
    TURNED,
    line,
    pattern,
)
from mouldgen.sheet.section_view import section_of
from mouldgen.units import format_length

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.plane_cut import Loops
    from mouldgen.sheet.section_sizes import Place, SectionSizes
    from mouldgen.sheet.section_view import CutPart, SectionView

_SCALES = (5.0, 2.0, 1.0, 0.5, 0.2, 0.1)  # enlargements and reductions of ISO 5455
_ROOM_MM = (110.0, 165.0)  # of a page, for the parts themselves
_EDGE = 6.0  # white round all [mm]
_NARROWEST, _WIDEST = 120.0, 190.0  # page, the wider as on A4 within its margins [mm]
_ROW = 4.4  # from line to line of the words below [mm]
_SWATCH = (6.0, 3.4)
_TITLE = 4.6
_BOLD = 0.68  # width of a bold letter, of its height
_FILLED = 1.005  # an insert whose envelope is no larger in the plane has none to be seen


@dataclass(frozen=True, eq=False)
class _Drawing:
    """What is drawn, where: lengths of the page with the axis at 0, 0 before it is moved [mm].

    cast : whether the bodies are rubber.
    runner : whether the mould is filled through a runner.
    """

    view: SectionView
    sizes: SectionSizes
    scale: float
    dimensions: tuple[Placed, ...]
    box: Box
    inches: bool
    cast: bool
    runner: bool


def section_svg(found: MouldSet, *, title: str) -> str:
    """The section of a mould set as a whole SVG document, the same text for the same set.

    found : the set; a job in inches is told in inches.
    title : above the picture and for screen readers; any text.

    Raises NoAnswerError where no gap fits the job, so that there is no mould to cut.
    """
    view = section_of(found)
    drawing = _drawn(found, view)
    width = max(drawing.box.right - drawing.box.left + 2.0 * _EDGE, _NARROWEST)
    head = _EDGE + _TITLE + 3.0
    x = (width - drawing.box.left - drawing.box.right) / 2.0
    y = head - drawing.box.top
    low = head + drawing.box.foot - drawing.box.top + 6.5
    by = n(drawing.scale)
    below, height = _below(drawing, width, low)
    size = min(_TITLE, (width - 2.0 * _EDGE) / max(1.0, len(title) * _BOLD))
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" width="{n(width)}mm" '
                f'height="{n(height)}mm" viewBox="0 0 {n(width)} {n(height)}" class="section" '
                'role="img" aria-labelledby="section-title section-desc" '
                'font-family="Helvetica, Arial, sans-serif" fill="currentColor">'
            ),
            f'<title id="section-title">{escaped(title)}</title>',
            f'<desc id="section-desc">{escaped(_description(drawing))}</desc>',
            f"<style>{STYLE}</style>",
            *_definitions(drawing),
            f'<rect class="section-paper" width="{n(width)}" height="{n(height)}"/>',
            _text(Words(title, _EDGE, _EDGE + _TITLE, size=size, bold=True)),
            f'<g transform="translate({n(x)} {n(y)}) scale({by} -{by})">',
            *_section(drawing),
            "</g>",
            *(part for one in drawing.dimensions for part in _dimension(one, x, y)),
            *below,
            "</svg>",
            "",
        ]
    )


def size_words(mm: float, *, inches: bool) -> str:
    """A length as the section tells it: ``31.76 mm``, or ``1 1/4 in``, small ones in thousandths.

    mm : any length [mm].
    inches : whether the job is in inches.
    """
    return in_inch_words(mm) if inches else format_length(mm, inches=False)


def _words(dimension: Dimension, *, inches: bool) -> str:
    return f"{dimension.label} {size_words(dimension.value_mm, inches=inches)}"


def _drawn(found: MouldSet, view: SectionView) -> _Drawing:
    """In the largest plain scale in which parts and lengths go onto a page.

    Texts stand outside of a section where that is narrow enough, as it is read more easily.
    """
    sizes = sizes_of(found, view)
    (left, right), (low, high) = view.ends_mm
    fitting = [
        scale
        for scale in _SCALES
        if (right - left) * scale <= _ROOM_MM[0] and (high - low) * scale <= _ROOM_MM[1]
    ] or _SCALES[-1:]
    tried = (
        _at_scale(found, view, sizes, scale, inward=inward)
        for scale in fitting
        for inward in (False, True)
    )
    for drawing in tried:
        if drawing.box.right - drawing.box.left + 2.0 * _EDGE <= _WIDEST:
            break
    return drawing


def _at_scale(
    found: MouldSet, view: SectionView, sizes: SectionSizes, scale: float, *, inward: bool
) -> _Drawing:
    inches = found.answer.job.unit == "in"
    (left, right), (low, high) = view.ends_mm
    section = Box(left * scale, -high * scale, right * scale, -low * scale)

    def page(place: Place) -> Place:
        return place[0] * scale, -place[1] * scale

    dimensions = placed(
        sizes.shown, words=lambda d: _words(d, inches=inches), page=page, section=section,
        inward=inward,
    )  # fmt: skip
    boxes = [section, *(one.words.box for one in dimensions)]
    boxes += [
        Box(min(a, c), min(b, d), max(a, c), max(b, d))
        for one in dimensions
        for (a, b), (c, d) in (one.line, *one.extensions)
    ]
    whole = Box(
        min(b.left for b in boxes), min(b.top for b in boxes),
        max(b.right for b in boxes), max(b.foot for b in boxes),
    )  # fmt: skip
    cast = found.parts is not None and bool(found.parts.cast)
    runner = found.plan is not None and found.plan.size.runner is not None
    return _Drawing(view, sizes, scale, dimensions, whole, inches, cast, runner)


# --------------------------------------------------------------------- the section


def _definitions(drawing: _Drawing) -> Iterator[str]:
    view = drawing.view
    (left, right), (low, _) = view.ends_mm
    yield "<defs>"
    for part in view.parts:
        if part.loops:
            crossed = drawing.cast and part in view.bodies
            yield pattern(part.name, scale=drawing.scale, crossed=crossed)
    yield (
        f'<clipPath id="section-poured"><rect x="{left:.4f}" y="{low:.4f}" '
        f'width="{right - left:.4f}" height="{view.level_mm - low:.4f}"/></clipPath>'
    )
    yield "</defs>"


def _section(drawing: _Drawing) -> Iterator[str]:
    view, scale = drawing.view, drawing.scale
    (_, _), (low, high) = view.ends_mm
    yield (
        f'<path id="section-space" class="section-resin" d="{_path(view.resin)}" '
        'clip-path="url(#section-poured)"/>'
    )
    yield line(_path(view.cavity), width=0.13, scale=scale, also=' id="section-bare"')
    yield from _level(view, scale)
    for part in view.parts:
        if part.loops:
            yield from _hatched(part, scale)
    yield line(
        _path(view.envelope),
        width=0.18,
        dashes=ENVELOPE,
        scale=scale,
        also=' id="section-envelope"',
    )
    for rings, dashes, name in (
        (view.pieces, OUTLINE, "piece"),
        (view.turned, TURNED, "turned"),
    ):
        width = 0.4 if name == "piece" else 0.25
        for ring in rings:
            yield line(
                _ring(ring), width=width, dashes=dashes, scale=scale,
                also=f' class="section-{name}"',
            )  # fmt: skip
    over = 4.0 / scale
    axis = f"M0,{low - over:.4f}V{high + over:.4f}"
    yield line(axis, width=0.13, dashes=AXIS, scale=scale)


def _hatched(part: CutPart, scale: float) -> Iterator[str]:
    data = _path(part.loops)
    edge = (0.18 if part.name == "insert" else 0.35) / scale  # honeycombs are thin
    yield f'<path class="section-paper" d="{data}"/>'
    yield (
        f'<path id="section-cut-{part.name}" d="{data}" fill="url(#section-{part.name})" '
        f'stroke="currentColor" stroke-width="{edge:.4f}"/>'
    )


def _level(view: SectionView, scale: float) -> Iterator[str]:
    """Where resin stands: a line across each bore."""
    z = view.level_mm
    data = "".join(f"M{a:.4f},{z:.4f}H{b:.4f}" for a, b in spans(view.resin, z - 1e-4))
    yield line(data, width=0.35, scale=scale, also=' id="section-level"')


def _path(loops: Loops) -> str:
    return "".join(
        "M" + "L".join(f"{u:.4f},{z:.4f}" for u, z in loop.tolist()) + "Z" for loop in loops
    )


def _ring(ring: Sequence[Place]) -> str:
    return "M" + "L".join(f"{u:.4f},{z:.4f}" for u, z in ring) + "Z"


# ------------------------------------------------------------------- the dimensions


def _dimension(one: Placed, x: float, y: float) -> Iterator[str]:
    ways = "".join(
        f"M{n(a + x)},{n(b + y)}L{n(c + x)},{n(d + y)}"
        for (a, b), (c, d) in (*one.extensions, one.line)
    )
    yield line(ways, width=0.13)
    tips = "".join(_arrow(tip, aim, x, y) for tip, aim in one.arrows)
    yield f'<path d="{tips}"/>'
    w = one.words
    moved = Words(w.text, w.x + x, w.y + y, w.anchor, w.size, upright=w.upright)
    yield _text(moved, name=one.dimension.name)


def _arrow(tip: Place, aim: Place, x: float, y: float) -> str:
    """A slender triangle whose tip touches the line that it points to."""
    (a, b), (c, d) = tip, aim
    back, half = ARROW_MM, ARROW_MM / 6.0
    one = a - back * c - half * d, b - back * d + half * c
    other = a - back * c + half * d, b - back * d - half * c
    return "M" + "L".join(f"{n(p + x)},{n(q + y)}" for p, q in (tip, one, other)) + "Z"


def _text(words: Words, *, name: str = "") -> str:
    turn = f' transform="rotate(-90 {n(words.x)} {n(words.y)})"' if words.upright else ""
    weight = ' font-weight="bold"' if words.bold else ""
    known = f' id="section-size-{name}"' if name else ""
    return (
        f'<text x="{n(words.x)}" y="{n(words.y)}" font-size="{n(words.size)}" '
        f'text-anchor="{words.anchor}"{weight}{turn}{known}>{escaped(words.text)}</text>'
    )


# ------------------------------------------------------------------------ the words


def _below(drawing: _Drawing, width: float, top: float) -> tuple[list[str], float]:
    """What patterns and lines mean, how it is cut and what is not seen; and where that ends."""
    parts: list[str] = []
    x, y = _EDGE, top
    for name, words in _legend(drawing):
        wide = _SWATCH[0] + 1.5 + len(words) * WIDTH_OF_LETTER * TEXT_MM + 4.0
        if x > _EDGE and x + wide > width - _EDGE:
            x, y = _EDGE, y + _ROW
        parts += [*_swatch(name, x, y, drawing.scale)]
        parts.append(_text(Words(words, x + _SWATCH[0] + 1.5, y)))
        x += wide
    y += _ROW + 1.0
    for sentence in _notes(drawing):
        for words in _wrapped(sentence, width - 2.0 * _EDGE):
            parts.append(_text(Words(words, _EDGE, y)))
            y += _ROW
    return parts, y - _ROW + _EDGE


def _legend(drawing: _Drawing) -> Iterator[tuple[str, str]]:
    known = {
        "body": "body, rubber" if drawing.cast else "body",
        "front": "front half",
        "back": "back half",
        "disc": "disc",
        "lid": "lid",
        "insert": "insert",
    }
    yield from ((p.name, known[p.name]) for p in drawing.view.parts if p.loops)
    yield "resin", "resin"
    yield "piece", "finished piece"
    yield "turned", "with what is turned off"
    view = drawing.view
    if abs(area_mm2(view.envelope)) > _FILLED * abs(area_mm2(view.insert)) / view.cells:
        shape = "box" if view.where == "pocket" else "round"
        yield "envelope", f"{shape} that encloses the insert"


def _swatch(name: str, x: float, y: float, scale: float) -> Iterator[str]:
    wide, high = _SWATCH
    dashes = {"piece": (OUTLINE, 0.4), "turned": (TURNED, 0.25), "envelope": (ENVELOPE, 0.18)}
    if name in dashes:
        look, width = dashes[name]
        yield line(f"M{n(x)},{n(y - 1.0)}h{n(wide)}", width=width, dashes=look)
        return
    # Drawn in the scale of the section, whose patterns it shows.
    box = f'width="{wide / scale:.4f}" height="{high / scale:.4f}"'
    look = 'class="section-resin"' if name == "resin" else f'fill="url(#section-{name})"'
    yield (
        f'<g transform="translate({n(x)} {n(y + 0.5)}) scale({n(scale)} {n(-scale)})">'
        f'<rect {box} {look} stroke="currentColor" stroke-width="{0.2 / scale:.4f}"/></g>'
    )


def _notes(drawing: _Drawing) -> Iterator[str]:
    view, scale = drawing.view, drawing.scale
    ratio = f"{n(scale)} : 1" if scale >= 1.0 else f"1 : {n(1.0 / scale)}"
    yield f"Scale {ratio}. {_where(view, inches=drawing.inches)}"
    if drawing.runner:
        yield "The runner that fills it from below stands beside this plane."
    if drawing.sizes.told:
        rest = ", ".join(
            f"{label} {size_words(mm, inches=drawing.inches)}" for label, mm in drawing.sizes.told
        )
        yield f"Not to be seen in this plane: {rest}."


def _where(view: SectionView, *, inches: bool) -> str:
    off = size_words(abs(view.across), inches=inches)
    side = "front" if view.across < 0.0 else "back"
    pocket = f", {off} to the {side} of its middle" if view.across else ""
    words = {
        "axis": "Cut through the axis, where the wall is plain.",
        "parting": "Cut through the axis, across the parting.",
        "row": "Cut through the axes of the first row.",
        "pocket": f"Cut across the first pocket{pocket}.",
    }[view.where]
    by = abs(view.lid_azimuth_deg - view.azimuth_deg)
    if by:
        words += f" The lid is drawn turned by {n(by)} degrees, to show a vent."
    return words


def _wrapped(sentence: str, room: float) -> Iterator[str]:
    most = int(room / (WIDTH_OF_LETTER * TEXT_MM))
    row = ""
    for word in sentence.split(" "):
        if row and len(row) + 1 + len(word) > most:
            yield row
            row = word
        else:
            row = f"{row} {word}" if row else word
    yield row


def _description(drawing: _Drawing) -> str:
    told = "; ".join(
        _words(d, inches=drawing.inches) for d in drawing.sizes.shown if d.name != "gap-right"
    )
    what = ", ".join(words for _, words in _legend(drawing))
    return f"{' '.join(_notes(drawing))} Drawn: {what}. Lengths: {told}."
