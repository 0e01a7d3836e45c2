"""Inserts of every shape as settings of the bare job, all of them 50 mm long."""

from __future__ import annotations

MEMBERS = (
    'insert.member=[{shape="rod", diameter="12 mm", at=["7 mm", "0 mm"]},'
    ' {shape="rod", diameter="12 mm", at=["-7 mm", "0 mm"]},'
    ' {shape="taper", diameter="10 mm", small="8 mm", at=["0 mm", "10 mm"]},'
    ' {shape="bar", width="9 mm", thickness="8 mm", at=["0 mm", "-10 mm"], turn="20 deg"}]'
)
PROFILE = (
    'insert.profile=[["0 mm", "9 mm"], ["20 mm", "12 mm"], ["20 mm", "11 mm"], ["50 mm", "10 mm"]]'
)
SHAPES: dict[str, tuple[str, ...]] = {
    "tube": ("shape=tube", "diameter=22 mm", "inside=14 mm"),
    "plugged": ("shape=tube", "diameter=22 mm", "inside=14 mm", "plugged=true"),
    "thin tube": ("shape=tube", "diameter=9 mm", "inside=8 mm", "density=8.5 g/ml"),
    "taper up": ("shape=taper", "diameter=26 mm", "small=14 mm"),
    "taper down": ("shape=taper", "diameter=26 mm", "small=14 mm", "point=down", "hole=4 mm"),
    "twist": ("shape=twist", "width=20 mm", "thickness=18 mm", "turn_length=60 mm"),
    "left twist": ("shape=twist", "width=20 mm", "thickness=18 mm", "turn_length=60 mm",
                   "hand=left", "hole=6 mm"),
    "coil": ("shape=coil", "diameter=22 mm", "wire=5 mm", "pitch=8 mm"),
    "outline": ("shape=outline", PROFILE.removeprefix("insert.")),
    "members": ("shape=bundle", MEMBERS.removeprefix("insert.")),
    "honeycomb": ("shape=bundle", "cell=6 mm", "cell_wall=1.5 mm", "width=18 mm",
                  "thickness=14 mm"),
    "heap": ("shape=bundle", "diameter=26 mm", "weight=12 g"),
}  # fmt: skip
