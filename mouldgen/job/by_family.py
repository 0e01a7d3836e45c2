"""Defaults that depend on the family of moulds or on the shape of the insert."""

from __future__ import annotations

from dataclasses import replace

from mouldgen.job.merge import Merged

# A tray lets go of its blanks, so its sides lean; a cup is turned away (common practice: 0.5 to 2).
DRAFT = {"tray": "1 deg"}
GROOVES = {"shell": 0}  # its wall follows the insert; no groove would run straight up it
MEASURED = "1 mm"  # in the place of a scan's length until that is measured on it


def with_family(merged: Merged) -> Merged:
    """The tables with what family and shape say where the maker says nothing.

    merged : the tables of a job, cards merged in.
    """
    data = dict(merged.data)
    mould, insert = data.get("mould"), data.get("insert")
    if isinstance(mould, dict):
        family = str(mould.get("family"))
        own = {"draft": DRAFT.get(family), "vent_grooves": GROOVES.get(family)}
        data["mould"] = {**{key: v for key, v in own.items() if v is not None}, **mould}
    if isinstance(insert, dict) and insert.get("shape") == "scan":
        data["insert"] = {"length": MEASURED, **insert}
    return replace(merged, data=data)
