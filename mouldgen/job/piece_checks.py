"""Keys of the finished piece that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Job, Piece
from mouldgen.job.objection import Objection
from mouldgen.job.outline import objections
from mouldgen.job.threads import nearest_thread, thread_card, thread_names, thread_of
from mouldgen.job.words import one_line


def piece_objections(job: Job) -> Iterator[Objection]:
    """What cannot be meant in [piece].

    Raises PresetError where the card of a thread is broken.
    """
    piece = job.piece
    for what, allowed in objections(piece):
        yield "piece", "outline", what, allowed, "Along is counted from the end cast at the bottom."
    yield from _thread(piece)
    yield from _hole(piece)


def _thread(piece: Piece) -> Iterator[Objection]:
    name = piece.thread
    if name is None:
        return
    if thread_card(name) is None:
        near = nearest_thread(name)
        yield (
            "piece", "thread", f'there is no thread "{one_line(name)}"',
            f'{", ".join(thread_names())}; or hole = "8 mm" for a hole without a thread',
            f"Did you mean {near}?" if near else "A card in your folder threads adds one.",
        )  # fmt: skip
        return
    if piece.hole is not None:
        yield (
            "piece", "hole", "the piece has a thread and a plain hole too",
            "thread, or hole for one without a thread; the thread's card has its drill", "",
        )  # fmt: skip
    across = thread_of(name).major_mm
    if across >= piece.diameter:
        yield (
            "piece", "thread",
            f"the thread is {across:g} mm across and the piece {piece.diameter:g} mm",
            "a thread thinner than the piece", "",
        )  # fmt: skip


def _hole(piece: Piece) -> Iterator[Objection]:
    depth, made = piece.hole_depth, piece.thread is not None or piece.hole is not None
    if piece.hole is not None and piece.hole >= piece.diameter:
        yield (
            "piece", "hole",
            f"the hole is {piece.hole:g} mm across and the piece {piece.diameter:g} mm",
            f"less than {piece.diameter:g} mm", "",
        )  # fmt: skip
    if depth is None and made:
        yield (
            "piece", "thread" if piece.hole is None else "hole", "the hole has no depth",
            'hole_depth, such as hole_depth = "15 mm"',
            "A depth of the piece's whole length is a hole that goes through.",
        )  # fmt: skip
    if depth is not None and depth > piece.length:
        yield (
            "piece", "hole_depth",
            f"the hole is {depth:g} mm deep in a piece {piece.length:g} mm long",
            f"at most {piece.length:g} mm", "",
        )  # fmt: skip
    if depth is not None and not made:
        yield (
            "piece", "hole_depth", "there is a depth and no hole",
            'thread, such as thread = "M6", or hole = "8 mm" for one without a thread', "",
        )  # fmt: skip
