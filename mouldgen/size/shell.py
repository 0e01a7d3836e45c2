"""A shell: its cavity follows a scan at the gap, open upward, and ends in a round neck for the lid.

There is no closed form.  For the rules a profile of rounds of the same area stands in, reckoned
from the scan's sections at a few gaps and straight between them; the true volumes of the gap that
is chosen are measured on the mesh (`mouldgen.cavity.shell`).

The neck is full some way below the insert's upper end and closes below that by 45 degrees, which
is also how the outside prints.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from itertools import pairwise
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.size.profile import LEAST_MM, Profile
from mouldgen.size.round import Size, SizeQuestion

if TYPE_CHECKING:
    from mouldgen.insert.shadow import Shadow
    from mouldgen.solid.mesh import Mesh

NECK_MM = 4.0  # below the insert's top the bore is a full round: room for what hangs from the lid
# Gaps that areas are reckoned at; between two the radius is straight, beyond the last it grows.
GAPS_MM = (0.01, 0.5, 1.0, 2.0, 3.0, 5.0, 8.0, 13.0, 21.0)


@dataclass(frozen=True, eq=False)
class ShellQuestion(SizeQuestion):
    """What the sizes of a shell depend on besides the gap.

    shadow : the sections of the scan; None only while it is being made.
    allowed_mm : height over the insert's lower end and radius of the finished piece with its
        turning allowance, rising: the cavity holds it [mm].
    """

    shadow: Shadow | None = None
    allowed_mm: tuple[tuple[float, float], ...] = ()

    def whole(self, size: Size) -> Size:
        """The same as a shell, its cavity not made yet."""
        known = {one.name: getattr(size, one.name) for one in fields(Size)}
        return ShellSize(**known, neck_mm=self.neck_mm)

    @property
    def neck_mm(self) -> float:
        """Height over the inside floor from which the bore is a full round [mm]."""
        return self.pip_mm + max(0.0, self.insert.length_mm - NECK_MM)

    def round_mm(self, height_mm: float, gap_mm: float) -> float:
        """Radius of the round about the axis that the cavity holds at a height; 0 for none [mm].

        The neck, and below it the cone that it closes by; and the finished piece.

        height_mm : over the inside floor [mm].
        gap_mm : round the insert [mm].
        """
        neck = self.insert.envelope_mm + gap_mm - max(0.0, self.neck_mm - height_mm)
        return max(0.0, neck, self.piece_mm(height_mm))

    def piece_mm(self, height_mm: float) -> float:
        """Radius of the finished piece with its allowance at or below a height; 0 for none [mm].

        Like the insert's, its widest place below counts: nothing hangs over.

        height_mm : over the inside floor [mm].
        """
        at = height_mm - self.pip_mm
        radii = [radius for along, radius in self.allowed_mm if along <= at]
        for (low, first), (high, last) in pairwise(self.allowed_mm):
            if low <= at < high:
                radii.append(first + (last - first) * (at - low) / (high - low))
        return max(radii, default=0.0)


@dataclass(frozen=True, eq=False)
class ShellSize(Size):
    """A shell at one gap; its bore is of rounds with the area of its sections.

    neck_mm : height from which it is a round [mm].
    grown : the scan grown by the gap and open upward, its lower end where the insert stands; None
        where only the rules have asked.
    opened_ml : what being open upward adds to the gap all round the insert [ml].
    pockets : of the scan that no outside reaches at the gap, so that the cavity has them whole.
    pockets_ml : of them, beyond the gap [ml].
    between_ml : between the axis and the cavity's farthest place at each turn, and none of the
        cavity: printed solid [ml].
    """

    neck_mm: float = 0.0
    grown: Mesh | None = field(default=None)
    opened_ml: float = 0.0
    pockets: int = 0
    pockets_ml: float = 0.0
    between_ml: float = 0.0

    @property
    def follows(self) -> bool:
        """Whether the bore follows the insert; a shell's does."""
        return True


def bore(question: SizeQuestion, gap_mm: float) -> Profile:
    """Rounds with the area of the cavity's sections [mm].

    question : of a shell.
    gap_mm : round the scan [mm].
    """
    q = as_shell(question)
    low, high = _around(gap_mm)
    first, last = _radii(q, low), _radii(q, high)
    share = (gap_mm - low) / (high - low)
    radii = [a + (b - a) * share for a, b in zip(first, last, strict=True)]
    heights = [q.pip_mm + along for along in _shadow(q).heights_mm]
    points = [(0.0, radii[0]), *zip(heights, radii, strict=True)]
    neck = q.insert.envelope_mm + gap_mm
    points = [(z, min(r, neck)) for z, r in points if z < q.neck_mm - LEAST_MM]
    return Profile((*points, (q.neck_mm, neck), (q.neck_mm + 1.0, neck)))


def as_shell(question: SizeQuestion) -> ShellQuestion:
    """The question of a shell; any other is a fault of ours."""
    if not isinstance(question, ShellQuestion):
        raise InternalError("a shell was asked for its size without a scan")
    return question


def with_shadow(
    question: SizeQuestion, shadow: Shadow, *, allowed_mm: tuple[tuple[float, float], ...]
) -> ShellQuestion:
    """The question of a shell round a scan.

    question : of the plain sizes.
    shadow : of the scan.
    allowed_mm : the finished piece with its turning allowance [mm].
    """
    known = {one.name: getattr(question, one.name) for one in fields(SizeQuestion)}
    return ShellQuestion(**known, shadow=shadow, allowed_mm=allowed_mm)


def _shadow(question: ShellQuestion) -> Shadow:
    if question.shadow is None:
        raise InternalError("a shell was asked for its size without a scan")
    return question.shadow


def _radii(question: ShellQuestion, gap_mm: float) -> list[float]:
    shadow = _shadow(question)
    rounds = [question.round_mm(question.pip_mm + z, gap_mm) for z in shadow.heights_mm]
    return [math.sqrt(a / math.pi) for a in shadow.areas_mm2(gap_mm, rounds_mm=rounds)]


def _around(gap_mm: float) -> tuple[float, float]:
    """The two gaps that areas are reckoned at for one between them, or next to it."""
    pairs = list(pairwise(GAPS_MM))
    return next((pair for pair in pairs if gap_mm <= pair[1]), pairs[-1])
