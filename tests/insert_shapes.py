"""One insert of every shape: tables as a job file has them, for tests of facts, solids, cups."""

from __future__ import annotations

from typing import Any

from mouldgen.job.model import Insert


def insert(**values: Any) -> Insert:
    """An insert 70 mm long of 0.68 g/ml, unless told otherwise."""
    return Insert.model_validate({"length": "70 mm", "density": "0.68 g/ml", **values})


def members(*each: dict[str, Any], **values: Any) -> Insert:
    """A bundle of members."""
    return insert(shape="bundle", member=list(each), **values)


TUBE = insert(shape="tube", diameter="12 mm", inside="8 mm")
PLUGGED = insert(shape="tube", diameter="12 mm", inside="8 mm", plugged=True)
TAPER_UP = insert(shape="taper", diameter="30 mm", small="18 mm")
TAPER_DOWN = insert(shape="taper", diameter="30 mm", small="18 mm", point="down")
TWIST = insert(shape="twist", width="20 mm", thickness="16 mm", turn_length="50 mm")
LEFT = insert(shape="twist", width="20 mm", thickness="16 mm", turn_length="50 mm", hand="left")
COIL = insert(shape="coil", diameter="18 mm", wire="4 mm", pitch="6 mm")
OUTLINE = insert(
    shape="outline",
    profile=[["0 mm", "8 mm"], ["20 mm", "12 mm"], ["20 mm", "9 mm"], ["70 mm", "10 mm"]],
)
MEMBERS = members(
    {"shape": "rod", "diameter": "10 mm", "at": ["6 mm", "0 mm"]},
    {"shape": "taper", "diameter": "10 mm", "small": "6 mm", "at": ["-6 mm", "0 mm"]},
    {
        "shape": "bar",
        "width": "8 mm",
        "thickness": "6 mm",
        "at": ["0 mm", "9 mm"],
        "turn": "30 deg",
    },
    {"shape": "tube", "diameter": "8 mm", "inside": "6 mm", "at": ["0 mm", "-9 mm"]},
)
HONEYCOMB = insert(
    shape="bundle", cell="5 mm", cell_wall="0.5 mm", width="20 mm", thickness="20 mm"
)
HEAP = insert(shape="bundle", diameter="30 mm", weight="22 g")

# The insert, its volume worked by hand [ml], and genus and shells of its mesh.
EVERY: dict[str, tuple[Insert, float, int, int]] = {
    # pi (6^2 - 4^2) 70
    "tube": (TUBE, 4.39823, 1, 1),
    # pi 6^2 70
    "plugged": (PLUGGED, 7.91681, 0, 1),
    # pi 70 (15^2 + 15 9 + 9^2)/3
    "taper up": (TAPER_UP, 32.32699, 0, 1),
    "taper down": (TAPER_DOWN, 32.32699, 0, 1),
    # 20 16 70 (Cavalieri)
    "twist": (TWIST, 22.4, 0, 1),
    "left": (LEFT, 22.4, 0, 1),
    # Pappus: pi 2^2 s, tan a = 6/(2 pi 7), s = (70 - 4 cos a)/sin a
    "coil": (COIL, 6.13940, 0, 1),
    # frusta: pi 20 (64 + 96 + 144)/3 + pi 50 (81 + 90 + 100)/3
    "outline": (OUTLINE, 20.55649, 0, 1),
    # pi 5^2 70 + pi 70 (25 + 15 + 9)/3 + 8 6 70 + pi (4^2 - 3^2) 70
    "members": (MEMBERS, 13.98906, 1, 4),
    # three rows of three cells: sqrt(3)/2 (5.5^2 - 5^2) 9 70
    "honeycomb": (HONEYCOMB, 2.86438, 9, 1),
    # 22/0.68, told by weight; its mesh is the round that it fits in
    "heap": (HEAP, 32.35294, 0, 1),
}
