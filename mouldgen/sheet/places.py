"""Which part of the sheet a key of the job file belongs to, whether that part shows it or not."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mouldgen.job.fields import Field

# By table, and by key where it belongs elsewhere than its table.
_TABLES = {
    "": "order", "order": "order", "piece": "order", "colour": "order", "insert": "insert",
    "pour": "gap", "mould": "mould", "rubber": "mould", "plastic": "mould", "resin": "resin",
    "printer": "beds", "extras": "beds", "pot": "pot", "shop": "calendar", "work": "calendar",
    "cost": "buy",
}  # fmt: skip
_KEYS = {
    "mould.gap": "gap",
    "pour.batch": "resin", "pour.colours": "resin", "pour.reserve": "resin",
    "pour.pressure": "pot",
    "shop.scale": "resin", "shop.wage": "buy",
    "order.start": "calendar", "order.first_article": "calendar", "order.approval": "calendar",
    "order.resin_budget": "buy", "order.fills": "calendar",
    "resin.price": "buy", "resin.packs": "buy", "plastic.price": "buy",
}  # fmt: skip
_LISTS = {"colour": "order", "insert.member": "insert"}


def places_of(fields: Iterable[Field], *, bundle: bool) -> dict[str, list[str]]:
    """The keys of each part, by the id of the part, in the order of the fields.

    fields : of a job.
    bundle : whether its insert may have members.

    A list of tables that may grow stands there by its name too, such as ``colour``.
    """
    found: dict[str, list[str]] = {}
    for field in fields:
        table = field.key.partition(".")[0] if "." in field.key else ""
        found.setdefault(_KEYS.get(field.key, _TABLES[table]), []).append(field.key)
    for name, part in _LISTS.items():
        if name != "insert.member" or bundle:
            found.setdefault(part, []).append(name)
    return found
