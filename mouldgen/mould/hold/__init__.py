"""Ways to hold an insert down: one file a way, with what it adds to the mould.

A way is a file here with a function `place` that gives its feature, and its name in
`job.model.Mould.hold`; what it is trusted with stands in ``presets/holding.toml``.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.job.model import Mould, Piece
from mouldgen.mould.label import Round
from mouldgen.mould.sockets import Sockets
from mouldgen.size import Size, SizeQuestion

if TYPE_CHECKING:
    from mouldgen.mould.feature import HoldDown

PLAIN = ("lid", "none")  # the lid's legs alone, and nothing at all


@dataclass(frozen=True, eq=False)
class Site:
    """Where a way of holding finds its place.

    question, size : the closed form.
    mould, piece : the maker's tables.
    sockets, legs : that are placed already.
    layer_mm : height of a printed layer [mm].
    """

    question: SizeQuestion
    size: Size
    mould: Mould
    piece: Piece
    sockets: Sockets
    legs: tuple[Round, ...]
    layer_mm: float


def hold_down(site: Site) -> tuple[HoldDown, tuple[Finding, ...]]:
    """What holds the insert, and what is to be said of it.

    site : of a mould whose hold is none of `PLAIN`.

    Raises JobError where there is no room for it, PresetError for presets that cannot be read.
    """
    placed: tuple[HoldDown, tuple[Finding, ...]] = import_module(
        f"{__name__}.{site.mould.hold}"
    ).place(site)
    return placed
