"""Answers to the questions of a new job: those that can be meant, and any signs at all."""

from __future__ import annotations

from hypothesis import strategies as st

# Words and signs of right answers in any order, and any signs at all.
PIECES = st.sampled_from(
    ["30", "22.5", "7/8", "1 3/16", "0", ":", "x", "by", ",", ";", " ", "mm", "in", '"', "cm",
     "one turn every", "left", "right", "wire", "pitch", "cell", "wall", "plugged", "open", "up",
     "sticks of", "flutes", "%", "g", "ml", "-", "1½", "×", "mm x", "0:15", "70:9", "block", "tray",
     "white ash", "18 by 2026-12-18", "\u0000", "1e9", "..", "/"]
)  # fmt: skip
GARBAGE = st.one_of(st.lists(PIECES, max_size=12).map(" ".join), st.text(max_size=40))


@st.composite
def sizes(draw: st.DrawFn, kind: str) -> tuple[str, str, int]:
    """Piece, insert and number of pieces: an insert within the sizes of a shop, in mm or inches."""
    across = draw(st.integers(14, 60))
    length = draw(st.integers(40, 150))
    unit = draw(st.sampled_from(["mm", "in"]))

    def told(mm: float) -> str:
        return f"{mm:g} mm" if unit == "mm" else f"{max(1, round(mm / 25.4 * 16))}/16 in"

    share = draw(st.floats(0.4, 0.7))
    thin = told(share * across)
    lines = {
        "rod": f"{told(across)} x {told(length)}",
        "tube": f"{told(across)} x {thin} x {told(length)}, "
        + draw(st.sampled_from(["open", "plugged"])),
        "bar": f"{told(across)} x {thin} x {told(length)}",
        "twist": f"{told(across)} x {thin} x {told(length)}, one turn every {told(length)}, "
        + draw(st.sampled_from(["left", "right"])),
        "flute": f"{told(across)} x {told(length)}, {draw(st.integers(3, 8))} flutes",
        "coil": f"{across} x {length} mm, wire {across / 5:g} mm, pitch {across / 2.5:g} mm",
        "taper": f"{told(across)} x {thin} x {told(length)}, "
        + draw(st.sampled_from(["up", "down"])),
        "outline": f"0:{across / 2:g}, {length / 2:g}:{share * across / 2:g},"
        f" {length}:{across / 2:g} mm",
        "bundle": f"{draw(st.integers(2, 9))} sticks of {told(across / 3)} x {told(length)}",
        "honeycomb": f"{across} x {across} x {length} mm, cell {across / 5:g} mm, wall 0.6 mm",
        "heap": f"{told(across)} x {told(length)}, {share * across**2 * length * 4e-4:.3g} g",
    }
    finished = f"{told(max(6, across - 4))} x {told(length - 12)}"
    return finished, lines[kind], draw(st.integers(1, 40))
