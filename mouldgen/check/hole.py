"""The hole of the finished piece: what is round it, what is below it, what it runs into."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.job.lathe import Lathe
from mouldgen.job.model import Piece
from mouldgen.job.outline import outline_of
from mouldgen.pour.attitudes import WORTH_IT_ML
from mouldgen.pour.in_zone import pockets_in
from mouldgen.pour.pour import Pour
from mouldgen.size.hole import Hole, deepest_mm, wall_mm

if TYPE_CHECKING:
    from mouldgen.mould.pose import Pose

SKIN_MM = 0.5  # of a plain hole's wall, enough to be measured
# Facets of insert and sleeve leave this much of a sleeve that lies wholly in one of the two.
ALL_OF_IT = 0.005


def hole_findings(
    hole: Hole, *, in_wood: float | None, piece: Piece, lathe: Lathe
) -> tuple[Finding, ...]:
    """Is there enough round the hole and below it, and what is its thread cut into?

    hole : of the piece.
    in_wood : share of the wall of the hole that lies in the insert, or None where not measured.
    piece : with its outline.
    lathe : habits of drilling.
    """
    return (
        *_wall(hole, piece, lathe),
        *_floor(hole, lathe),
        *_mixed(hole, in_wood),
        *_short(hole, lathe),
    )


def pocket_findings(
    hole: Hole, poured: Pour, *, foot_mm: float, pose: Pose | None = None, number: int = 0
) -> tuple[Finding, ...]:
    """Does the thread, or the wall of a plain hole, run into shut-in air?

    hole : of the piece.
    poured : the virtual pour in the attitude that is proposed.
    foot_mm : height of the piece's lower end over the mould's floor, or over its own middle [mm].
    pose : where that middle is; None for a piece on the mould's axis.
    number : of the piece, where several come out of a blank; one pocket may reach into two.
    """
    low, high = (foot_mm + along for along in hole.zone_mm(hole.depth_mm))
    # Air inside the drill goes with the chips; what lies in the wall of the hole stays a hole.
    outer = hole.largest_mm / 2.0 + (0.0 if hole.thread else SKIN_MM)
    found = []
    for pocket, shared_ml in pockets_in(
        poured,
        between_mm=(hole.drill_mm / 2.0, outer),
        heights_mm=(low, high),
        about=None if pose is None else pose.matrix,
    ):
        if pocket.volume_ml < WORTH_IT_ML:
            continue
        x, y, z = map(round, pocket.place_mm)
        place = f"z {low:.1f} to {high:.1f} mm" if pose is None else f"x {x}, y {y}, z {z} mm"
        found.append(
            Finding(
                id=f"piece.thread-in-pocket.{pocket.number}{f'.{number}' if number else ''}",
                rule="piece",
                severity="stop",
                message=(
                    f"{_first_up(_thread_words(hole))} runs into shut-in air: a pocket of"
                    f" {pocket.volume_ml:.2f} ml round x {x}, y {y}, z {z} mm reaches"
                    f" into it. Drill from the other end with [piece] hole_from, make the hole"
                    " less deep, or pour so that the air leaves."
                ),
                measured=shared_ml,
                limit=0.0,
                place=place,
            )
        )
    return tuple(found)


def _wall(hole: Hole, piece: Piece, lathe: Lathe) -> Iterator[Finding]:
    wall = wall_mm(hole, outline_of(piece))
    told = f"{_thread_words(hole)} leaves {_mm(wall)} of wall to the finished outline"
    if wall <= 0.0:
        told = f"{_thread_words(hole)} breaks out of the finished outline"
    if wall < lathe.wall_mm - 1e-9:
        yield Finding(
            id="piece.wall",
            rule="piece",
            severity="stop",
            message=(
                f"{_first_up(told)}; at least {_mm(lathe.wall_mm)} should stay. Take a thinner"
                f" {'thread' if hole.thread else 'hole'}, a shallower hole or a thicker piece."
            ),
            measured=wall,
            limit=lathe.wall_mm,
            place="[piece] thread" if hole.thread else "[piece] hole",
        )
    elif hole.thread and hole.largest_mm + 2.0 * wall < lathe.boss * hole.largest_mm - 1e-9:
        across = hole.largest_mm + 2.0 * wall
        yield Finding(
            id="piece.wall",
            rule="piece",
            severity="warn",
            message=(
                f"{_first_up(told)}: {_mm(across)} across round a thread of"
                f" {_mm(hole.largest_mm)}, {across / hole.largest_mm:.1f} times. At"
                f" {lathe.boss:g} times and more it does not split when the bolt is driven."
            ),
            measured=across,
            limit=lathe.boss * hole.largest_mm,
            place="[piece] thread",
        )


def _floor(hole: Hole, lathe: Lathe) -> Iterator[Finding]:
    left = hole.floor_mm
    if left >= lathe.floor_mm - 1e-9:
        return
    asks = f"{_mm(hole.drilled_mm)} of drilling and {_mm(hole.point_mm)} of drill point"
    ends = f"come out of a piece {_mm(hole.length_mm)} long" if left <= 0.0 else (
        f"leave {_mm(left)} of a piece {_mm(hole.length_mm)} long"
    )  # fmt: skip
    most = math.floor(10.0 * deepest_mm(hole, lathe)) / 10.0
    less = f"At most {_mm(most)} deep leaves {_mm(lathe.floor_mm)}; or" if most > 0.0 else "Or"
    yield Finding(
        id="piece.too-deep",
        rule="piece",
        severity="stop" if left <= 0.0 else "warn",
        message=(
            f"{_first_up(_thread_words(hole))} asks for {asks}, which {ends}. {less} let it go"
            f" through: hole_depth = {_mm(hole.length_mm)}."
        ),
        measured=left,
        limit=lathe.floor_mm,
        place="[piece] hole_depth",
    )


def _mixed(hole: Hole, wood: float | None) -> Iterator[Finding]:
    if hole.thread is None or wood is None or not ALL_OF_IT < wood < 1.0 - ALL_OF_IT:
        return
    yield Finding(
        id="piece.thread-mixed",
        rule="piece",
        severity="note",
        message=(
            f"{_first_up(_thread_words(hole))} is cut {100.0 * wood:.0f} % into the insert and"
            f" {100.0 * (1.0 - wood):.0f} % into resin: the tap cuts them differently, so clear"
            " the chips often."
        ),
        measured=wood,
        place="[piece] thread",
    )


def _short(hole: Hole, lathe: Lathe) -> Iterator[Finding]:
    if hole.thread is None or hole.depth_mm >= lathe.engaged * hole.largest_mm - 1e-9:
        return
    yield Finding(
        id="piece.thread-short",
        rule="piece",
        severity="note",
        message=(
            f"{_first_up(_thread_words(hole))} is {hole.depth_mm / hole.largest_mm:.1f} of its"
            f" diameters deep; in wood and resin {lathe.engaged:g} and more hold better, a rule of"
            " thumb."
        ),
        measured=hole.depth_mm,
        limit=lathe.engaged * hole.largest_mm,
        place="[piece] hole_depth",
    )


def _thread_words(hole: Hole) -> str:
    deep = "right through" if hole.through else f"{_mm(hole.depth_mm)} deep"
    name = f"thread {hole.thread.name}" if hole.thread else f"hole of {_mm(hole.drill_mm)}"
    return f"the {name}, {deep}, from the {'top' if hole.from_top else 'bottom'}"


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def _mm(length_mm: float) -> str:
    return f"{round(length_mm, 2):g} mm"
