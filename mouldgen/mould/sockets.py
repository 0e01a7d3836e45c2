"""What centres the insert at either end: ribs on the wall, or fingers of the lid.

A socket holds the insert's end all round, so it belongs in the waste: where the finished piece
is wider than the sockets' inner radius, none may reach to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from mouldgen.finding import Finding
from mouldgen.insert.facts import End
from mouldgen.job.model import Piece
from mouldgen.job.outline import free_ends_mm, outline_of
from mouldgen.mould.label import Round
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.round import DEEPEST_MM

# Our own choices, no source.
DEEPEST = DEEPEST_MM
SHALLOWEST = 1.0
LEAST_RELIEF = 0.2  # of a rib on its wall: less than that a nozzle does not show
FINGER_LINES = 3  # a finger stands free: fewer lines would snap off
THICKEST_FINGER = 3.0
WIDEST_RIB = 6.0  # of one at the lower end: beyond it a rib is a wall
APART = 0.3  # between a socket and the finished piece
WEB = 1.0  # between a rib and a groove
FINGER_ANGLES = (90.0, 210.0, 330.0)  # over the legs, away from the vents


@dataclass(frozen=True, eq=False)
class Sockets:
    """The sockets of one cup.

    angles : of ribs, midway between grooves [degrees].
    inner_mm : radius that they leave free; the thickest expected insert slides in [mm].
    width_mm : of each along its circle, wider than any opening of the insert [mm].
    depth_mm : how much of the insert's end they hold [mm].
    foot_inner_mm, foot_width_mm, foot_depth_mm : the same of those round the lower end [mm].
    lower : whether there are ribs round the lower end.
    upper : ``wall`` for ribs on the bore, ``lid`` for fingers of the lid, ``none``.
    finger_mm : thickness of a finger [mm].
    """

    angles: tuple[float, ...]
    inner_mm: float
    width_mm: float
    depth_mm: float
    lower: bool
    upper: Literal["wall", "lid", "none"]
    finger_mm: float
    foot_inner_mm: float
    foot_width_mm: float
    foot_depth_mm: float

    def clears(self, hole: Round, web_mm: float) -> bool:
        """Whether a hole of the lid keeps a web to every finger.

        hole : x, y and radius [mm].
        web_mm : least distance between hole and finger [mm].
        """
        if self.upper != "lid":
            return True
        x, y, radius = hole
        reach, turn = math.hypot(x, y), math.atan2(y, x)
        half = self.width_mm / (2.0 * self.inner_mm)
        nearest = min(max(reach, self.inner_mm), self.inner_mm + self.finger_mm)
        for angle in FINGER_ANGLES:
            off = abs(math.remainder(turn - math.radians(angle), 2.0 * math.pi))
            beside = max(0.0, off - half)
            # From the hole's centre to the finger's nearest side, by the law of cosines.
            apart = math.sqrt(
                max(0.0, reach**2 + nearest**2 - 2.0 * reach * nearest * math.cos(beside))
            )
            if apart < radius + web_mm:
                return False
        return True


def place_sockets(
    question: SizeQuestion,
    size: Size,
    *,
    angles: tuple[float, ...],
    slide_mm: float,
    piece: Piece,
    grooved: bool,
    lifted: bool = False,
) -> Sockets:
    """The sockets that there is room for.

    angles : where ribs stand [degrees].
    slide_mm : what the thickest expected insert takes up, with its sliding clearance [mm].
    piece : the finished piece, midway along the insert.
    grooved : whether a vent groove stands between two ribs.
    lifted : whether the blank is pushed out upward: a rib on the wall would keep it in.
    """
    insert = question.insert
    foot, top = question.pip_mm, question.pip_mm + insert.length_mm

    def held(near: End, opposite: bool) -> tuple[float, float, float, float]:
        """Inner radius, width, depth and free length at one end."""
        most = min(DEEPEST, insert.length_mm / 3.0)
        low = insert.length_mm - most if opposite else 0.0
        inner = insert.round_mm(low, low + most) + slide_mm
        free = free_ends_mm(outline_of(piece), radius_mm=inner - APART)
        room = (insert.length_mm - piece.length) / 2.0 + free - APART
        width = _width(question, near, inner, ribs=len(angles), grooved=grooved)
        return inner, width, min(DEEPEST, room, insert.length_mm / 3.0), room

    foot_inner, foot_width, foot_depth, _ = held(insert.lower, opposite=False)
    inner, width, depth, room = held(insert.upper, opposite=True)
    relief = size.bore_mm(foot) - foot_inner
    upper_relief = size.bore_mm(top) - inner
    # A finger goes down through all that is over its tip, and the bore may be narrower there.
    narrowest = size.bore.narrowest_mm(top - max(depth, 0.0), size.rim_mm)
    finger = min(THICKEST_FINGER, narrowest - inner - question.clearance_mm)
    fits = width > 0.0 and depth >= SHALLOWEST
    # What is wider below could not go in past ribs on the wall.
    passes = inner >= insert.envelope_mm + slide_mm
    # Where the bore is wider below, the ramp would leave the wall and hang in the air.
    straight = size.bore.widest_mm(top - depth - upper_relief, top) <= size.bore_mm(top) + 1e-9
    upper: Literal["wall", "lid", "none"] = "none"
    # A rib's ramp rises at 45 degrees, so it takes as much height as it stands out.
    if (
        fits
        and passes
        and straight
        and not lifted
        and upper_relief >= LEAST_RELIEF
        and depth + upper_relief <= room
    ):
        upper = "wall"
    elif fits and finger >= FINGER_LINES * question.line_mm:
        upper = "lid"
    return Sockets(
        angles=angles,
        inner_mm=inner,
        width_mm=width,
        depth_mm=depth,
        lower=foot_width > 0.0 and foot_depth >= SHALLOWEST and relief >= LEAST_RELIEF,
        upper=upper,
        finger_mm=finger if upper == "lid" else 0.0,
        foot_inner_mm=foot_inner,
        foot_width_mm=foot_width,
        foot_depth_mm=foot_depth,
    )


def _width(q: SizeQuestion, end: End, inner_mm: float, *, ribs: int, grooved: bool) -> float:
    """Wider than what the insert's end leaves open; 0 where that does not fit between grooves."""
    pitch = 2.0 * math.pi * inner_mm / ribs
    room = pitch - (2.0 * q.groove_mm + WEB if grooved else pitch / 2.0)
    wanted = max(4.0, end.opening_mm + 2.0)
    return wanted if wanted <= room and wanted < 1.4 * inner_mm else 0.0


def socket_remarks(sockets: Sockets, size: Size, question: SizeQuestion) -> tuple[Finding, ...]:
    """A note for each end of the insert that no socket centres."""
    missing = [
        name
        for name, there in (("lower", sockets.lower), ("upper", sockets.upper != "none"))
        if not there
    ]
    if not missing:
        return ()
    insert = question.insert
    ends = [insert.round_mm(0.0, 0.0)] * (not sockets.lower)
    ends += [insert.round_mm(*(insert.length_mm,) * 2)] * (sockets.upper == "none")
    off = size.gap_mm + (insert.envelope_mm - min(ends))
    return (
        Finding(
            id="cup.no-sockets",
            rule="cup",
            severity="note",
            message=(
                f"There is no room to centre the insert's {' and '.join(missing)} end between"
                f" insert, wall and finished piece: there it may lie"
                f" {off:.2f} mm off centre."
            ),
            measured=off,
            limit=sockets.inner_mm - insert.envelope_mm,
            place="body",
        ),
    )
