"""Marks that drawings seen from above share: words, circles, outlines, a scale bar, as SVG.

Lengths are millimetres, those of the page as well; y runs down it.
"""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.markup import escaped

SIDE = 6.0  # white left and right of what is drawn, at least [mm]
HEAD = 16.0  # above it, for the title [mm]
FOOT = 32.0  # below it, for the scale bar and what it says [mm]
NARROWEST = 120.0  # page, so that the words under a small drawing stay legible [mm]
SMALLEST_TEXT = 2.2  # words smaller than this cannot be read from a print, so they are left out
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


def heading(title: str, width: float) -> str:
    """The title at the head of a page of this width [mm], smaller where it is long."""
    size = min(6.0, (width - 2 * SIDE) / max(len(title) * WIDTH_OF_LETTER, 1))
    return text(SIDE, 10.0, size, title, anchor="start", weight="bold")


def scale_bar(y: float) -> tuple[str, str]:
    """A bar of known length at this height of the page [mm], and what it says."""
    return (
        (
            f'<path d="M{length(SIDE)} {length(y - 1.5)}v3M{length(SIDE)} {length(y)}'
            f'h{length(_BAR)}M{length(SIDE + _BAR)} {length(y - 1.5)}v3" fill="none"'
            ' stroke="black" stroke-width="0.5"/>'
        ),
        text(SIDE + _BAR / 2, y + 5.5, 4.0, f"{length(_BAR)} mm", anchor="middle"),
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
