"""How a section looks: hatching, lines, light and dark, as SVG.

Ink is the colour of the text round the picture; paper is drawn, so that resin and hatching stand
out by day and by night alike.
"""

from __future__ import annotations

from mouldgen.sheet.chart import n

# Degrees from the x axis and lines apart on the page [mm]; what touches differs in direction.
HATCHES = {
    "body": (45.0, 1.8),
    "front": (45.0, 1.8),
    "back": (135.0, 1.8),
    "disc": (100.0, 1.8),
    "lid": (150.0, 1.8),
    "insert": (90.0, 2.4),  # upright, as the grain mostly runs
}

STYLE = (
    ".section{color:#000}.section-paper{fill:#fff}.section-resin{fill:#d5e2ee}"
    "@media (prefers-color-scheme:dark){.section{color:#e8e8e8}.section-paper{fill:#16181b}"
    ".section-resin{fill:#2a3b4c}}"
    "@media print{.section{color:#000}.section-paper{fill:#fff}.section-resin{fill:#d5e2ee}}"
)

OUTLINE, TURNED, AXIS, ENVELOPE = "3 1.2", "0.6 0.9", "6 1.2 0.8 1.2", "1.6 0.8 0.4 0.8"


def pattern(name: str, *, scale: float, crossed: bool = False) -> str:
    """The hatching of a part, as a pattern in lengths of the part [mm].

    name : of the part.
    scale : of the drawing, page over part.
    crossed : whether lines cross it the other way too, as for rubber.
    """
    angle, apart = HATCHES[name]
    step = apart / scale
    across = f"M{step / 2.0:.4f},0V{step:.4f}" if crossed else ""
    return (
        f'<pattern id="section-{name}" patternUnits="userSpaceOnUse" width="{step:.4f}" '
        f'height="{step:.4f}" patternTransform="rotate({n(angle)})">'
        f'<path d="M0,{step / 2.0:.4f}H{step:.4f}{across}" fill="none" stroke="currentColor" '
        f'stroke-width="{0.15 / scale:.4f}"/></pattern>'
    )


def line(data: str, *, width: float, dashes: str = "", scale: float = 1.0, also: str = "") -> str:
    """A line of ink along a path.

    data : of the path.
    width, dashes : on the page, such as ``3 1.2`` [mm].
    scale : of the group that it is drawn in, page over its own lengths.
    also : more attributes.
    """
    broken = " ".join(f"{float(dash) / scale:.4f}" for dash in dashes.split())
    broken = f' stroke-dasharray="{broken}"' if broken else ""
    return (
        f'<path d="{data}" fill="none" stroke="currentColor" '
        f'stroke-width="{width / scale:.4f}"{broken}{also}/>'
    )
