"""The specimen of the characters that mouldgen letters its moulds with, for the documents."""

from __future__ import annotations

from mouldgen.mould.lettering import outline, text_width

LINES = ("ABCDEFGHIJKLM", "NOPQRSTUVWXYZ", "0123456789", "-./+#:()Ø°", "0O 1I 5S 8B 2Z 6G")

_HEIGHT_MM = 5.0
_STROKE_MM = 0.84  # two lines of 0.42 mm
_PITCH_MM = 9.0
_MARGIN_MM = 3.0


def specimen_svg() -> str:
    """Every character at its printed size, 5 mm high with a stroke of 0.84 mm, as an SVG."""
    width = max(text_width(line, _HEIGHT_MM) for line in LINES) + 2 * _MARGIN_MM
    height = _PITCH_MM * (len(LINES) - 1) + _HEIGHT_MM + 2 * _MARGIN_MM
    paths = []
    for row, line in enumerate(LINES):
        base = _MARGIN_MM + _HEIGHT_MM + row * _PITCH_MM
        rings = outline(line, height_mm=_HEIGHT_MM, stroke_mm=_STROKE_MM)
        steps = "".join(
            "M" + "L".join(f"{_MARGIN_MM + x:.3f},{base - y:.3f}" for x, y in ring) + "Z"
            for ring in rings
        )
        paths.append(f'<path d="{steps}"/>\n')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm"'
        f' viewBox="0 0 {width:.2f} {height:.2f}" role="img">\n'
        "<title>The characters moulds are lettered with</title>\n"
        f'<rect width="100%" height="100%" fill="#fff"/>\n{"".join(paths)}</svg>\n'
    )
