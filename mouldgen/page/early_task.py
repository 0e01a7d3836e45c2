"""What is known at once after an edit: the numbers of closed forms, and the solids to turn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from mouldgen.page.framing import framed

if TYPE_CHECKING:
    from mouldgen.page.work import Shop


def early(shop: Shop, values: Mapping[str, Any]) -> Iterator[bytes]:
    """Two binary answers (`mouldgen.page.framing`): the numbers, then all of it with the solids.

    shop : of the process.
    values : ``text``, and where they are wanted ``change`` and ``known``.
    """
    from mouldgen.job.fields import fields_of
    from mouldgen.page.solids import solids_of
    from mouldgen.sheet.early import early_set, early_values, with_picture
    from mouldgen.sheet.places import places_of

    text = changed(values["text"], values.get("change"))
    made = shop.memo.made
    loaded = shop.lessons.taught(shop.loaded(text))
    found = early_set(loaded, shop.memo)
    told = [{"id": value.id, "text": value.text} for value in early_values(found)]
    # While the solids are made the page puts the numbers into their places.
    yield framed({"first": True, "values": told})
    fields = fields_of(loaded, text)
    solids = solids_of(with_picture(found, shop.memo))
    same = solids is not None and solids.key == values.get("known")
    head: dict[str, Any] = {
        "text": text,
        "name": loaded.job.name,
        "values": told,
        "fields": [field.told() for field in fields],
        "places": places_of(fields, bundle=loaded.job.insert.shape == "bundle"),
        "solids": None if solids is None else solids.head(),
        "air": [],
        "same": same,
        "made": shop.memo.made - made,
    }
    yield framed(head, () if same or solids is None else solids.arrays())


def changed(text: str, change: Mapping[str, Any] | None) -> str:
    """The job's text after one edit.

    text : of a job file.
    change : ``key`` with ``said``, ``add`` or ``drop``; None leaves the text as it is.

    Raises what `mouldgen.job.rewrite` raises.
    """
    from mouldgen.job import rewrite

    if change is None:
        return text
    if change.get("add"):
        return rewrite.added(text, change["key"])
    if change.get("drop"):
        return rewrite.dropped(text, change["key"])
    return rewrite.said_otherwise(text, change["key"], change["said"])


def change(shop: Shop, values: Mapping[str, Any]) -> Iterator[dict[str, str]]:  # noqa: ARG001
    """The job's text with one key said otherwise.

    shop : of the process.
    values : ``text`` and ``change``.
    """
    yield {"text": changed(values["text"], values["change"])}
