"""The cut list: what is done to a blank at saw and lathe.  Numbers only."""

from __future__ import annotations

from dataclasses import dataclass

from mouldgen.physics.threads import percent_of_thread
from mouldgen.size.hole import Hole
from mouldgen.size.stack_up import StackUp
from mouldgen.units import Inches, in_inches


@dataclass(frozen=True, eq=False)
class CutList:
    """One blank, from the mould to the finished length.

    stack : the length of the blank and what is taken of it.
    from_top : whether the end that is cast at the top is faced and drilled first.
    first_mm : faced away at that end [mm].
    other_mm : beyond the last piece at the other end, all of it waste [mm].
    marks_mm : where each saw cut begins, from the end faced first, as cast [mm].
    hole : in each piece, or None.
    drill : the drill as the nearest sixty-fourth of an inch, with what that leaves out; or None.
    percent : of a full thread that the drill leaves; None without a thread.
    """

    stack: StackUp
    from_top: bool
    first_mm: float
    other_mm: float
    marks_mm: tuple[float, ...]
    hole: Hole | None
    drill: Inches | None
    percent: float | None


def cut_list(
    stack: StackUp, *, ends_mm: tuple[float, float], from_top: bool, hole: Hole | None
) -> CutList:
    """The cut list of one blank.

    stack : the length of the blank and what is taken of it.
    ends_mm : what lies beyond the pieces at the end faced first, and at the other [mm].
    from_top : whether that first end is the one that is cast at the top.
    hole : in each piece, or None.
    """
    thread = hole.thread if hole else None
    return CutList(
        stack=stack,
        from_top=from_top,
        first_mm=ends_mm[0],
        other_mm=ends_mm[1],
        marks_mm=stack.marks_mm(ends_mm[0]),
        hole=hole,
        drill=in_inches(hole.drill_mm) if hole else None,
        percent=percent_of_thread(
            thread.major_mm / 1000.0, thread.pitch_mm / 1000.0, drill=thread.drill_mm / 1000.0
        )
        if thread
        else None,
    )
