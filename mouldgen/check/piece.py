"""The finished piece where it stands in the mould: what of it is resin, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from mouldgen.check.finished import finished_of, thread_sleeve
from mouldgen.check.hole import SKIN_MM, hole_findings, pocket_findings
from mouldgen.check.lengths import length_findings
from mouldgen.finding import Finding
from mouldgen.job.lathe import Lathe
from mouldgen.job.model import Piece
from mouldgen.job.outline import outline_of, volume_mm3
from mouldgen.mould.parts import MouldParts
from mouldgen.mould.plan import CupPlan
from mouldgen.pour.pour import Pour
from mouldgen.size.hole import Hole
from mouldgen.size.stack_up import StackUp
from mouldgen.solid.kernel import Solid

if TYPE_CHECKING:
    from mouldgen.mould.any_plan import AnyPlan
    from mouldgen.mould.tray import TrayPlan

CHORD_MM = 0.05  # of the finished piece, whose volume no facet changes
SLEEVE_CHORD_MM = 0.01  # of the wall of a hole, whose share in wood facets do change


@dataclass(frozen=True, eq=False)
class PieceMeasure:
    """What was measured on the solids of one finished piece.

    volume_ml : inside its outline, the hole not taken off [ml].
    resin_ml : of it that is no insert [ml].
    thread_wood : share of the wall of the hole, along its usable depth, that lies in the insert;
        None without a hole.
    count : pieces that come out of one mould; volumes and shares are the mean of those of a blank.
    """

    volume_ml: float
    resin_ml: float
    thread_wood: float | None
    count: int = 1

    @property
    def wood_ml(self) -> float:
        """Insert in it [ml]."""
        return self.volume_ml - self.resin_ml

    @property
    def resin_share(self) -> float:
        """Share of it that is resin."""
        return self.resin_ml / self.volume_ml

    def ribbons_ml(self, poured_ml: float) -> float:
        """Resin of one mould that does not stay in the piece: turned, faced and sawn away [ml].

        poured_ml : into one mould, without what stays in the cup [ml].
        """
        return max(0.0, poured_ml - self.count * self.resin_ml)


def measure_piece(
    parts: MouldParts, plan: AnyPlan, *, piece: Piece, hole: Hole | None
) -> PieceMeasure:
    """Measure the finished piece against the insert where it stands.

    parts, plan : a mould set.
    piece : the finished piece, standing midway along the insert.
    hole : on its axis, or None.
    """
    whole_ml = volume_mm3(outline_of(piece)) / 1000.0
    if not isinstance(plan, CupPlan) and plan.spread:
        return _spread(plan, whole_ml, hole)
    insert = Solid.of_mesh(parts.displacing)
    found = finished_of(piece, plan, chord_mm=CHORD_MM, same_volume=True)
    resin_ml = fmean((one - insert).volume_mm3() for one in found) / 1000.0
    in_wood = None
    if hole is not None:
        sleeves = _sleeves(hole, plan, piece)
        in_wood = fmean((one ^ insert).volume_mm3() / one.volume_mm3() for one in sleeves)
    return PieceMeasure(whole_ml, resin_ml, in_wood, count=len(found) * len(parts.places))


def _spread(plan: TrayPlan, whole_ml: float, hole: Hole | None) -> PieceMeasure:
    """Of what fills its pocket evenly each piece has its share, wherever its lumps lie."""
    share = plan.size.net_ml / plan.size.cavity_ml
    count = len(plan.poses) * plan.size.blanks
    in_wood = None if hole is None else 1.0 - share
    return PieceMeasure(whole_ml, share * whole_ml, in_wood, count=count)


def _sleeves(hole: Hole, plan: AnyPlan, piece: Piece) -> list[Solid]:
    """The wall of the hole in every piece of one blank."""
    if isinstance(plan, CupPlan):
        foot = foot_mm(plan, piece)
        return [thread_sleeve(hole, foot_mm=foot, thick_mm=SKIN_MM, chord_mm=SLEEVE_CHORD_MM)]
    foot = -piece.length / 2.0
    one = thread_sleeve(hole, foot_mm=foot, thick_mm=SKIN_MM, chord_mm=SLEEVE_CHORD_MM)
    return [one.placed(pose.matrix) for pose in plan.poses]


def foot_mm(plan: CupPlan, piece: Piece) -> float:
    """Height of the finished piece's lower end [mm].

    plan : of the mould.
    piece : the finished piece, standing midway along the insert.
    """
    return plan.insert_middle_mm - piece.length / 2.0


def ends_mm(plan: AnyPlan, piece: Piece, *, from_top: bool) -> tuple[float, float]:
    """What of the blank lies beyond the piece: at the end faced first, at the other [mm].

    plan : of the mould.
    piece : the finished piece, standing midway along the insert.
    from_top : whether the end that is cast at the top is faced and drilled first.
    """
    if not isinstance(plan, CupPlan):
        return plan.ends_mm(piece)
    foot = foot_mm(plan, piece)
    top = plan.size.fill_mm - foot - piece.length
    return (top, foot) if from_top else (foot, top)


def piece_findings(
    measure: PieceMeasure,
    *,
    piece: Piece,
    hole: Hole | None,
    plan: AnyPlan,
    poured: Pour,
    stack: StackUp,
    lathe: Lathe,
) -> tuple[Finding, ...]:
    """Is the blank long enough, and is the hole sound?

    measure : of the piece on the solids.
    piece, hole : the finished piece and the hole on its axis, or None.
    plan : of the mould.
    poured : the virtual pour in the attitude that is proposed.
    stack : what takes length of the blank.
    lathe : habits of drilling.
    """
    ends = ends_mm(plan, piece, from_top=piece.hole_from == "top")
    lengths = length_findings(stack, ends)
    if hole is None:
        return lengths
    return (
        *lengths,
        *hole_findings(hole, in_wood=measure.thread_wood, piece=piece, lathe=lathe),
        *_in_pockets(hole, poured, plan, piece),
    )


def _in_pockets(hole: Hole, poured: Pour, plan: AnyPlan, piece: Piece) -> tuple[Finding, ...]:
    if isinstance(plan, CupPlan):
        return pocket_findings(hole, poured, foot_mm=foot_mm(plan, piece))
    foot = -piece.length / 2.0
    found = [pocket_findings(hole, poured, foot_mm=foot, pose=pose) for pose in plan.poses]
    return tuple(finding for one in found for finding in one)
