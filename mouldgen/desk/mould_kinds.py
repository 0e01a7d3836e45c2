"""The families of moulds as ``mouldgen new`` offers them: those that take the insert."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from mouldgen.desk.answers import BETWEEN, read_choice
from mouldgen.desk.insert_kinds import Kind
from mouldgen.errors import UsageError

SEVERAL = ("block", "tray")  # families with rows and columns
MOST_CELLS = 12
RUBBER = "tin-cure-silicone"
_CELLS = re.compile(
    rf"[,;]?\s*\b([0-9]{{1,3}})\s*(?:{BETWEEN.pattern})\s*([0-9]{{1,3}})$", re.IGNORECASE
)
_MORE = {
    "master": ("up = 4", "cavities in one rubber mould"),
    "split": ("sets = 2", "moulds printed; each is used again"),
    "tray": ("sets = 2", "trays printed; each is used again"),
}


@dataclass(frozen=True, eq=False)
class MouldTold:
    """A family and how many cavities it has.

    family : in the job file.
    cells : rows and columns of a block or a tray, or None.
    """

    family: str
    cells: tuple[int, int] | None = None

    @property
    def values(self) -> Mapping[str, Any]:
        """Keys of ``[mould]``, as they are written."""
        cells = {} if self.cells is None else {"cells": list(self.cells)}
        return {"family": self.family, **cells}

    @property
    def more(self) -> tuple[str, str] | None:
        """A line that may be added, and what it is for."""
        return _MORE.get(self.family)

    @property
    def words(self) -> str:
        """As it is typed."""
        return self.family + (f" {self.cells[0]} x {self.cells[1]}" if self.cells else "")


def suited(kind: Kind) -> list[tuple[str, str]]:
    """Name and title of the families that take an insert, the usual one first.

    kind : of the insert.
    """
    from mouldgen.mould.families import NAMES, family_of

    families = [family for name in NAMES if kind.shape not in (family := family_of(name)).against]
    families.sort(key=lambda family: family.name != kind.mould)
    return [(family.name, family.title) for family in families]


def usual_mould(kind: Kind, *, pieces: int) -> MouldTold:
    """What an insert is usually cast in.

    pieces : how many good ones are wanted.
    """
    return MouldTold(kind.mould, usual_cells(kind.mould, pieces=pieces))


def usual_cells(family: str, *, pieces: int) -> tuple[int, int] | None:
    """Rows and columns for one who does not say, or None for a family that has none."""
    if family == "block":
        return (2, 2) if pieces > 2 else (1, 2)
    return (1, min(pieces, 4)) if family == "tray" else None


def read_mould(text: str, *, names: Sequence[str], kind: Kind, pieces: int) -> MouldTold:
    """A family by its number or name, with ``2 x 3`` behind a block or a tray.

    names : of those offered.
    kind : of the insert.
    pieces : how many good ones are wanted.
    """
    found = _CELLS.search(text)
    named = text[: found.start()].strip() if found else text.strip()
    family = _family(named, names=names, kind=kind)
    if found is None:
        return MouldTold(family, usual_cells(family, pieces=pieces))
    if family not in SEVERAL:
        raise UsageError(
            f"a {family} mould is not told rows and columns",
            allowed=" or ".join(name for name in SEVERAL if name in names),
        )
    cells = int(found[1]), int(found[2])
    if not 1 <= min(cells) <= max(cells) <= MOST_CELLS:
        raise UsageError(
            f"a {family} cannot be of {cells[0]} x {cells[1]}",
            allowed=f"1 to {MOST_CELLS} rows and as many columns",
        )
    return MouldTold(family, cells)


def _family(text: str, *, names: Sequence[str], kind: Kind) -> str:
    from mouldgen.mould.families import NAMES, family_of

    name = text.casefold().removesuffix(" mould")
    name = "master" if name in ("rubber", "rubber mould", "silicone") else name
    if name in NAMES and name not in names:
        raise UsageError(
            f"a {name} does not take a {kind.name}: {family_of(name).against[kind.shape]}",
            allowed=", ".join(names),
        )
    return read_choice(name, names=names, what="mould")
