"""Keys of moulds with several cells, and of blanks that several pieces come out of."""

from __future__ import annotations

from collections.abc import Iterator

from mouldgen.job.model import Insert, Job
from mouldgen.job.objection import Objection
from mouldgen.job.shapes import kind_of_bundle

IN_CELLS = ("block", "tray")


def cell_objections(job: Job) -> Iterator[Objection]:
    """What cannot be meant of cells and of pieces out of one blank."""
    family = job.mould.family
    if family in IN_CELLS:
        yield from _in_cells(job)
    elif job.mould.cells is not None:
        yield (
            "mould", "cells", f"a {family} mould has one cell",
            'cells with family = "block" or "tray"',
            "Leave cells out; up says how many one mould casts." if family == "master"
            else "Leave cells out.",
        )  # fmt: skip
    if family != "tray":
        for key in ("per_blank", "saw"):
            if getattr(job.piece, key) is not None:
                yield (
                    "piece", key, f"one piece comes out of a blank of a {family} mould",
                    f'{key} with family = "tray"', "",
                )  # fmt: skip
    elif job.piece.per_blank is not None and job.piece.saw is not None:
        yield (
            "piece", "saw", "the pieces cannot lie end to end and stand side by side",
            "per_blank for pieces that lie along the insert, saw for pieces that stand", "",
        )  # fmt: skip


def pieces_per_blank(job: Job) -> int:
    """How many finished pieces come out of one blank."""
    if job.piece.saw is not None:
        columns, rows = job.piece.saw
        return columns * rows
    return job.piece.per_blank or 1


def fills_evenly(insert: Insert) -> bool:
    """Whether what is cast in fills its cell evenly, as a honeycomb or a heap does."""
    return insert.shape == "bundle" and kind_of_bundle(insert) != "members"


def _in_cells(job: Job) -> Iterator[Objection]:
    mould = job.mould
    if mould.family == "block" and mould.cells is None:
        yield (
            "mould", "cells", "a block needs its cells",
            "cells = [2, 3]: rows and columns, 1 to 12", 'One cell alone is family = "cup".',
        )  # fmt: skip
    if job.extras is not None and job.extras.pot_rack:
        yield (
            "extras", "pot_rack", f"the seats of a pot rack are round and a {mould.family} is not",
            "a pot rack for cups", "Leave pot_rack out: it stands on its own.",
        )  # fmt: skip
    if job.pour.sequence == "bottom-feed":
        yield (
            "pour", "sequence", f"a {mould.family} has no runner to feed it from the bottom",
            '"auto", "insert-first" or "resin-first"', "",
        )  # fmt: skip
