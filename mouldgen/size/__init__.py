"""Closed forms: bore, wall, heights, volumes and footprint as functions of the gap.

A family of moulds is one file here with a function `bore`; adding one means adding that file, by
the name that the family has in the job file.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.size.profile import Profile
from mouldgen.size.question import size_question
from mouldgen.size.round import Size, SizeQuestion, around_bore

if TYPE_CHECKING:
    from mouldgen.size.mould_size import MouldSize

DRAWN_BY = {"block": "cup"}  # a family whose bore is that of another

__all__ = [
    "Size",
    "SizeQuestion",
    "bore_of",
    "mould_size_of",
    "size_of",
    "size_question",
]


def bore_of(family: str) -> Callable[[SizeQuestion, float], Profile]:
    """The function that draws the bore of a family's moulds; only its own file is loaded.

    family : its name in the job file.
    """
    module = import_module(f"{__name__}.{DRAWN_BY.get(family, family)}")
    draws: Callable[[SizeQuestion, float], Profile] = module.bore
    return draws


def mould_size_of(question: SizeQuestion, gap_mm: float) -> MouldSize:
    """A mould and its lid at one gap, its insert standing or lying [mm].

    Raises JobError as `size_of` does, and where a fill height leaves a lying insert bare.
    """
    if not question.lies:
        return size_of(question, gap_mm)
    from mouldgen.size.tray import TrayQuestion, tray_size_of  # late: most moulds are cups

    if not isinstance(question, TrayQuestion):
        raise InternalError(f"no size for a lying insert in a {question.family}")
    return tray_size_of(question, gap_mm)


def size_of(question: SizeQuestion, gap_mm: float) -> Size:
    """A mould round a bore, and its lid, at one gap [mm].

    Raises JobError where a given fill height leaves the insert's foot in the air or the draft
    closes the bore below the insert.
    """
    return question.whole(around_bore(question, gap_mm, bore_of(question.family)(question, gap_mm)))
