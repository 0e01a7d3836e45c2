"""The families of moulds: what each is made of, which inserts it takes, how the blank comes out.

A family is one file here that defines `FAMILY`; adding one means adding that file and its name
here and in `job.model.Mould.family`, and the bore it draws in `mouldgen.size`.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from mouldgen.errors import JobError

if TYPE_CHECKING:
    from mouldgen.mould.families.family import Family

NAMES = ("cup", "contour", "shell", "master", "split", "block", "tray")


def family_of(name: str) -> Family:
    """The family of a name in the job file; only its own file is loaded."""
    family: Family = import_module(f"{__name__}.{name}").FAMILY
    return family


def require_suited(family: Family, shape: str) -> None:
    """See to it that a family takes inserts of a shape.

    Raises JobError with the family's own reason and the shapes that it does take.
    """
    against = family.against.get(shape)
    if against is None:
        return
    takes = [name for name in SHAPE_NAMES if name not in family.against]
    raise JobError(
        f'a {family.name} mould does not take an insert of shape "{shape}": {against}',
        where="[mould] family",
        allowed=f"{', '.join(takes)} in a {family.name} mould",
    )


def require_held(family: Family, hold: str) -> None:
    """See to it that a family is made with a way to hold the insert.

    Raises JobError with the family's own reason and the ways that it is made with.
    """
    if hold in family.holds:
        return
    raise JobError(
        f'a {family.name} mould is not made with hold = "{hold}": {family.no_hold[hold]}',
        where="[mould] hold",
        allowed=f"{', '.join(family.holds)} in a {family.name} mould",
    )


SHAPE_NAMES = (
    "rod", "tube", "bar", "twist", "flute", "coil", "taper", "outline", "scan", "bundle",
)  # fmt: skip
