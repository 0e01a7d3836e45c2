"""The finished piece where it stands in the mould: what of it is resin, and what is left over."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from mouldgen.check.finished import finished_of, thread_sleeve
from mouldgen.check.hole import SKIN_MM, hole_findings, pocket_findings
from mouldgen.check.lengths import length_findings
from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
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
LEAST_RESIN = 0.005  # share of a piece that is told as 0 % (our own choice)
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
    drawn_ml = fmean((one - insert).volume_mm3() for one in found) / 1000.0
    resin_ml = _as_known(drawn_ml, whole_ml, plan.insert)
    in_wood = None
    if hole is not None:
        sleeves = _sleeves(hole, plan, piece)
        in_wood = fmean((one ^ insert).volume_mm3() / one.volume_mm3() for one in sleeves)
    return PieceMeasure(whole_ml, resin_ml, in_wood, count=len(found) * len(parts.places))


def _as_known(resin_ml: float, whole_ml: float, insert: InsertFacts) -> float:
    """The resin of a piece where the maker knows the insert's volume better than its shape does.

    Every section keeps its share of the volume: what the insert lacks is resin all through it; what
    it has more stands in the hollows within the round that encloses it.

    resin_ml : round the insert as drawn [ml].
    whole_ml : of the piece [ml].
    insert : with the volume that counts.
    """
    drawn = insert.drawn_ml
    if drawn is None or math.isclose(insert.volume_ml, drawn, rel_tol=1e-9):
        return resin_ml
    if insert.volume_ml < drawn:
        return whole_ml - insert.volume_ml / drawn * (whole_ml - resin_ml)
    return resin_ml * max(0.0, insert.room_ml - insert.volume_ml) / (insert.room_ml - drawn)


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
    lengths = (*length_findings(stack, ends), *_all_wood(measure))
    if hole is None:
        return lengths
    return (
        *lengths,
        *hole_findings(hole, in_wood=measure.thread_wood, piece=piece, lathe=lathe),
        *_in_pockets(hole, poured, plan, piece),
    )


def _all_wood(measure: PieceMeasure) -> tuple[Finding, ...]:
    """A piece that is turned down to the bare insert."""
    if measure.resin_share >= LEAST_RESIN:
        return ()
    return (
        Finding(
            id="piece.no-resin",
            rule="piece",
            severity="note",
            message=(
                "The finished piece holds next to no resin: all of it is turned away. Where resin"
                " is to be seen, take a thicker piece or a thinner insert."
            ),
            measured=measure.resin_share,
            limit=LEAST_RESIN,
            place="[piece] diameter",
        ),
    )


def _in_pockets(hole: Hole, poured: Pour, plan: AnyPlan, piece: Piece) -> tuple[Finding, ...]:
    if isinstance(plan, CupPlan):
        return pocket_findings(hole, poured, foot_mm=foot_mm(plan, piece))
    foot = -piece.length / 2.0
    several = len(plan.poses) > 1
    found = [
        pocket_findings(hole, poured, foot_mm=foot, pose=pose, number=number if several else 0)
        for number, pose in enumerate(plan.poses, start=1)
    ]
    return tuple(finding for one in found for finding in one)
