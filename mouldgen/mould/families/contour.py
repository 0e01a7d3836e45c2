"""The contour mould: a cup whose bore follows the finished outline, turned away as well."""

from __future__ import annotations

from mouldgen.mould.families import cup
from mouldgen.mould.families.family import Family

FAMILY = Family(
    name="contour",
    title="cup that follows the outline",
    release="Turn the cup away with the first cuts; its bulges hold it on the blank until then.",
    make=cup.make,
)
