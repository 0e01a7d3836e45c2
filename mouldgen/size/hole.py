"""The hole on the axis of the finished piece: how it is drilled and tapped, in closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.job.lathe import Lathe
from mouldgen.job.model import Piece
from mouldgen.job.outline import Outline, least_mm
from mouldgen.job.threads import Thread, thread_of


@dataclass(frozen=True, eq=False)
class Hole:
    """A hole on the piece's axis.

    thread : that is cut into it, or None for a plain one.
    largest_mm : diameter of the thread's roots in the piece, or of the plain hole [mm].
    drill_mm : diameter of the drill [mm].
    depth_mm : usable depth of the thread, or depth of the plain hole [mm].
    drilled_mm : depth to the full width of the drill [mm].
    point_mm : the drill's point beyond that, 0 in a hole that goes through [mm].
    through : whether it comes out at the other end.
    bottoming : whether the taper tap leaves so little that a bottoming tap must follow.
    from_top : whether it enters at the end that is cast at the top.
    length_mm : of the piece [mm].
    """

    thread: Thread | None
    largest_mm: float
    drill_mm: float
    depth_mm: float
    drilled_mm: float
    point_mm: float
    through: bool
    bottoming: bool
    from_top: bool
    length_mm: float

    @property
    def floor_mm(self) -> float:
        """What is left between the drill's point and the other end [mm]; below 0 it comes out."""
        return math.inf if self.through else self.length_mm - self.drilled_mm - self.point_mm

    @property
    def stop_mm(self) -> float:
        """Where the drill's stop is set, from where its point touches the faced end [mm]."""
        return self.drilled_mm + self.point_mm

    def zone_mm(self, depth_mm: float) -> tuple[float, float]:
        """From where to where along the piece's axis a depth reaches [mm].

        depth_mm : from the hole's mouth [mm].
        """
        deep = min(depth_mm, self.length_mm)
        return (self.length_mm - deep, self.length_mm) if self.from_top else (0.0, deep)


def hole_of(piece: Piece, lathe: Lathe) -> Hole | None:
    """The hole that a piece asks for, or None.

    piece : the table of the job file; the loader has seen to it that a hole has its depth.
    lathe : habits of drilling.

    Raises PresetError for a thread that no card describes.
    """
    depth = piece.hole_depth
    if depth is None or (piece.thread is None and piece.hole is None):
        return None
    thread = None if piece.thread is None else thread_of(piece.thread)
    through = depth >= piece.length - 1e-9
    drill = thread.drill_mm if thread else piece.hole or 0.0
    drilled = piece.length if through else depth * (lathe.deeper if thread else 1.0)
    point = drill / 2.0 / math.tan(math.radians(lathe.point_deg) / 2.0)
    return Hole(
        thread=thread,
        largest_mm=thread.major_mm if thread else drill,
        drill_mm=drill,
        depth_mm=depth,
        drilled_mm=drilled,
        point_mm=0.0 if through else point,
        through=through,
        bottoming=thread is not None
        and not through
        and drilled - depth < lathe.lead * thread.pitch_mm,
        from_top=piece.hole_from == "top",
        length_mm=piece.length,
    )


def wall_mm(hole: Hole, outline: Outline) -> float:
    """Least wall round the hole, out to the finished outline [mm]; below 0 it breaks out.

    Round the thread it is counted from the thread's largest diameter, below it from the drill.

    hole : of the piece.
    outline : of the piece, pairs along the axis and radius [mm].
    """
    thread, drilled = hole.zone_mm(hole.depth_mm), hole.zone_mm(hole.drilled_mm)
    return min(
        least_mm(outline, start_mm=thread[0], end_mm=thread[1]) - hole.largest_mm / 2.0,
        least_mm(outline, start_mm=drilled[0], end_mm=drilled[1]) - hole.drill_mm / 2.0,
    )


def deepest_mm(hole: Hole, lathe: Lathe) -> float:
    """The greatest depth of a blind hole of this width that keeps its floor, at least 0 [mm].

    hole : of the piece.
    lathe : habits of drilling.
    """
    room = hole.length_mm - hole.point_mm - lathe.floor_mm
    return max(0.0, room / (lathe.deeper if hole.thread else 1.0))
