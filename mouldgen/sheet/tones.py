"""The colours of a set's parts in still pictures, on light paper and on dark.

Every part has three: of its faces in full light, and the ground and the lines of its hatching
where it is cut open.  Faces of parts that stand together differ in grey as well, so that a
print in black still tells them apart; grounds are paler than any face (darker, on dark), so
that what is cut is told from what is seen behind it.  Hatching leans one way or the other, so
that parts that touch do not run into one another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from mouldgen.sheet.stage import RGB

Role = Literal["body", "lid", "insert", "rubber"]
"""What a mesh is in its set; `rubber` is a body that is cast."""


@dataclass(frozen=True, eq=False)
class Tone:
    """How one part looks.

    face : of its outside in full light.
    ground : of its section.
    hatch : of the lines over that ground.
    leans : which way those lines rise: 1 to the right, -1 to the left.
    apart : between two of those lines, as a share of the usual distance.
    """

    face: RGB
    ground: RGB
    hatch: RGB
    leans: int
    apart: float


@dataclass(frozen=True, eq=False)
class Palette:
    """All colours of a picture.

    paper : behind the parts.
    ink : of edges and outlines.
    tones : of the parts, by role.
    """

    paper: RGB
    ink: RGB
    tones: Mapping[Role, Tone]


LIGHT = Palette(
    paper=(255, 255, 255),
    ink=(34, 38, 44),
    tones=MappingProxyType(
        {
            "body": Tone((122, 160, 198), (226, 235, 243), (58, 96, 134), leans=1, apart=1.0),
            "lid": Tone((184, 208, 166), (238, 243, 228), (92, 120, 70), leans=-1, apart=1.0),
            "insert": Tone((164, 96, 50), (246, 226, 200), (150, 84, 36), leans=-1, apart=2.0),
            "rubber": Tone((196, 132, 146), (247, 228, 233), (140, 70, 88), leans=1, apart=1.0),
        }
    ),
)

DARK = Palette(
    paper=(24, 27, 32),
    ink=(206, 211, 216),
    tones=MappingProxyType(
        {
            "body": Tone((76, 112, 150), (30, 44, 60), (122, 164, 206), leans=1, apart=1.0),
            "lid": Tone((124, 158, 106), (38, 50, 34), (160, 196, 140), leans=-1, apart=1.0),
            "insert": Tone((116, 60, 28), (62, 38, 21), (224, 150, 92), leans=-1, apart=2.0),
            "rubber": Tone((146, 82, 98), (62, 36, 44), (214, 140, 158), leans=1, apart=1.0),
        }
    ),
)
