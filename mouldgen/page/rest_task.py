"""What takes longer after an edit: checks, resin, beds, pot, calendar, purchase and the drawings.

The parts are the sheet's own, rendered as on paper, so that page and paper cannot differ.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet
    from mouldgen.page.work import Shop
    from mouldgen.sheet.parts.work import SheetWork
    from mouldgen.sheet.sheet_data import Part, Value

Line = dict[str, Any]


def rest(shop: Shop, values: Mapping[str, Any]) -> Iterator[Line]:
    """Line by line as it is known, what is quickly known first.

    shop : of the process.
    values : ``text``, ``today`` as a date is written, and ``stills``, whether pictures of the
        parts are wanted.
    """
    from mouldgen.build import build_moulds
    from mouldgen.sheet.compose_sheet import sheet_of, sheet_work

    read = shop.loaded(values["text"])
    loaded = shop.lessons.taught(read)
    yield _step("Making the moulds and looking at them")
    found = build_moulds(loaded.job, learned=loaded.learned, memo=shop.memo, given=loaded.given)
    yield _step("Mixing the resin, filling the pot, planning the days")
    loads, tuned = shop.lessons.log(read)
    work = sheet_work(
        found,
        today=dt.date.fromisoformat(values["today"]),
        given=loaded.given,
        loads=loads,
        tuned=tuned,
    )
    sheet = sheet_of(replace(work, stills=False))
    yield {
        "lead": _told(sheet.lead),
        "stops": [_told(stop) for stop in sheet.stops],
        "values": [_told(value) for value in (sheet.name, *sheet.made)],
    }
    order: list[str] = []
    for part in _without_stills(work):
        if part is not None:
            order.append(part.id)
            yield _part(part)
    for card in sheet.cards:
        order.append(card.id)
        yield _part(card, card=True)
    yield {"order": order}
    yield from _air(found)
    if values.get("stills") and found.parts is not None:
        yield _step("Drawing the pictures")
        yield from _with_stills(work)
    yield {"done": {"state": _state(found, len(sheet.stops)), "must_fix": len(sheet.stops)}}


def _without_stills(work: SheetWork) -> Iterator[Part | None]:
    from mouldgen.sheet.compose_sheet import parts_of

    yield from parts_of(replace(work, stills=False))


def _with_stills(work: SheetWork) -> Iterator[Line]:
    from mouldgen.sheet.parts.mould import mould_part

    part = mould_part(work)
    if part is not None:
        yield _part(part)


def _air(found: MouldSet) -> Iterator[Line]:
    """The air that the pour shuts in, as solids to show in the mould."""
    from mouldgen.page.solids import air_of

    yield {"air": air_of(found)}


def _part(part: Part, *, card: bool = False) -> Line:
    from mouldgen.sheet.sheet_page import part_html

    return {"part": {"id": part.id, "html": part_html(part, card=card)}}


def _step(words: str) -> Line:
    return {"step": words}


def _told(value: Value) -> dict[str, str]:
    return {"id": value.id, "text": value.text}


def _state(found: MouldSet, stops: int) -> str:
    if found.parts is None:
        return "conflict"
    return "not ready" if stops else "ready"
