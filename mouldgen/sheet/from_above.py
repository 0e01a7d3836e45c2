"""Marks that drawings seen from above share: words, circles, outlines, a scale bar, as SVG.

Lengths are millimetres, those of the page as well; y runs down it.
"""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.markup import escaped

SIDE = 6.0  # white left and right of what is drawn, at least [mm]
NARROWEST = 120.0  # page, so that the words under a small drawing stay legible [mm]
SMALLEST_TEXT = 2.2  # words smaller than this cannot be read from a print, so they are left out
LEAST_TYPE, LARGEST_TYPE = 4.0, 8.0  # under a drawing [mm]
_WIDTHS = 32.0  # of the type across a page: on half a sheet of A4 it is 2.8 mm high
WIDTH_OF_LETTER = 0.65  # of the height of the type, on the generous side for bold sans-serif
DASHED = 'fill="none" stroke="black" stroke-width="0.3" stroke-dasharray="3 2"'
_BAR = 50.0  # length of the scale bar [mm]


def opening(width: float, depth: float, *, name: str) -> str:
    """The first tag of a page.

    width, depth : of the page [mm].
    name : what the ids of its title and its description begin with.
    """
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{length(width)}mm" '
        f'height="{length(depth)}mm" viewBox="0 0 {length(width)} {length(depth)}" '
        f'role="img" aria-labelledby="{name}-title {name}-desc" '
        'font-family="Helvetica, Arial, sans-serif" fill="black">'
    )


def type_mm(width: float) -> float:
    """Height of the type on a page of this width [mm]: it is still read where the page is small."""
    return min(max(LEAST_TYPE, width / _WIDTHS), LARGEST_TYPE)


def head_mm(width: float) -> float:
    """Height that the title takes on a page of this width [mm]."""
    return 4.0 * type_mm(width)


def heading(title: str, width: float) -> str:
    """The title at the head of a page of this width [mm], smaller where it is long."""
    type_ = type_mm(width)
    size = min(1.5 * type_, (width - 2 * SIDE) / max(len(title) * WIDTH_OF_LETTER, 1))
    return text(SIDE, 2.5 * type_, size, title, anchor="start", weight="bold")


def foot(sentences: Sequence[str], *, width: float, top: float) -> tuple[list[str], float]:
    """Where the front is, a bar of known length, and sentences; and where the page ends [mm].

    sentences : each begins a line.
    width : of the page [mm].
    top : where what is drawn ends [mm].
    """
    type_ = type_mm(width)
    y = top + 5.5 * type_
    lines = [
        text(width / 2.0, top + 1.25 * type_, type_, "front", anchor="middle"),
        *_scale_bar(top + 2.5 * type_, type_),
    ]
    for sentence in sentences:
        for words in _wrapped(sentence, (width - 2.0 * SIDE) / (type_ * WIDTH_OF_LETTER)):
            lines.append(text(SIDE, y, type_, words, anchor="start"))
            y += 1.375 * type_
    return lines, y - 0.25 * type_


def _wrapped(sentence: str, letters: float) -> list[str]:
    rows = [""]
    for word in sentence.split():
        if rows[-1] and len(rows[-1]) + 1 + len(word) > letters:
            rows.append(word)
        else:
            rows[-1] = f"{rows[-1]} {word}".lstrip()
    return rows


def _scale_bar(y: float, size: float) -> tuple[str, str]:
    """A bar of known length at this height of the page [mm], and what it says."""
    return (
        (
            f'<path d="M{length(SIDE)} {length(y - 1.5)}v3M{length(SIDE)} {length(y)}'
            f'h{length(_BAR)}M{length(SIDE + _BAR)} {length(y - 1.5)}v3" fill="none"'
            ' stroke="black" stroke-width="0.5"/>'
        ),
        text(SIDE + _BAR / 2, y + 1.375 * size, size, f"{length(_BAR)} mm", anchor="middle"),
    )


def text(
    x: float, y: float, size: float, words: str, *, anchor: str, weight: str = "normal"
) -> str:
    """Words of this height [mm]; x, y is the foot of their start or middle, as `anchor` says."""
    return (
        f'<text x="{length(x)}" y="{length(y)}" font-size="{length(size)}" '
        f'text-anchor="{anchor}" font-weight="{weight}">{escaped(words)}</text>'
    )


def circle(x: float, y: float, radius: float, look: str) -> str:
    """A circle about x, y [mm]; `look` is its paint."""
    return f'<circle cx="{length(x)}" cy="{length(y)}" r="{length(radius)}" {look}/>'


def outline(corners: Sequence[tuple[float, float]], look: str) -> str:
    """A closed outline with straight edges [mm]; `look` is its paint."""
    points = " ".join(f"{length(x)},{length(y)}" for x, y in corners)
    return f'<polygon points="{points}" {look}/>'


def length(value: float) -> str:
    """A length [mm] with at most four decimals, which holds multiples of 1/16 exactly."""
    told = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if told == "-0" else told
