"""The job sheet as plain tables and texts, in the order in which they go onto paper.

Lays out nothing: it says only what stands beside what, and which column of a table is to be wide.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from mouldgen.errors import InternalError
from mouldgen.markup import escaped
from mouldgen.sheet.sheet_data import (
    Big,
    Boxes,
    Cell,
    Drawing,
    Facts,
    Found,
    Grid,
    Heading,
    Item,
    Part,
    Pencil,
    SheetData,
    Slot,
    Told,
    Value,
)

Plain = dict[str, Any]

_LONG_WORD = 22  # letters; a longer one may have to be broken
_BREAK = "\u200b"  # where a line may end without a mark
_WIDE = 26  # letters; a column with longer texts takes what the others leave
_SPARE = 4.0  # letters, by which every column of a narrow table grows before they share the rest
_WIDEST = 60.0  # letters, beyond which a longer text gives a column no more room
_FOOT = 30  # letters of a name at the foot of a page
_WHOLE = 900  # letters; a longer text may go on over the page
_ROWS = 30  # facts that are kept together
_BESIDE_MM = {False: 42.0, True: 74.0}  # a card's picture: narrow, wide
_STILL_MM = 78.0  # a still picture's width
_TALLEST_MM = {1: 240.0, 2: 114.0, 3: 90.0}  # by how many stand side by side


def sheet_flow(data: SheetData) -> Plain:
    """What the sheet shows as strings, numbers, lists and dictionaries.

    data : the sheet.

    Raises InternalError for a drawing that does not tell its size.
    """
    return {
        "title": f"{data.name.text}: job sheet",
        "name": breakable(data.name.text),
        "lead": breakable(data.lead.text),
        "stops": [breakable(stop.text) for stop in data.stops],
        "made": [breakable(made.text) for made in data.made],
        "foot": [_short(text.text) for text in (data.name, *data.made)],
        "parts": [_part(part, card=False) for part in data.parts],
        "cards": [_part(part, card=True) for part in data.cards],
    }


def breakable(text: str) -> str:
    """A text whose long words may end a line anywhere: a column has no room for them.

    text : any.
    """
    return re.sub(rf"\S{{{_LONG_WORD},}}", lambda found: _BREAK.join(found[0]), text)


def _short(text: str) -> str:
    """What fits beside the page's number."""
    return text if len(text) <= _FOOT else f"{text[: _FOOT - 1]}\u2026"


def _part(part: Part, *, card: bool) -> Plain:
    return {"title": breakable(part.title.text), "items": list(_items(part.items, card=card))}


def _items(items: Sequence[Item], *, card: bool) -> Iterator[Plain]:
    """In order; narrow drawings side by side, on a card a drawing beside the facts after it."""
    waiting: Drawing | None = None
    for alike, group in groupby(items, key=_narrow):
        run = list(group)
        if alike and not card:
            yield from _pictures([one for one in run if isinstance(one, Drawing)])
            continue
        for one in run:
            if card and isinstance(one, Drawing):
                waiting = one
            elif waiting is not None and isinstance(one, Facts):
                room = _BESIDE_MM[waiting.wide]
                drawing = _drawing(waiting)
                yield {"kind": "beside", "facts": _facts(one), "drawing": drawing, "room": room}
                waiting = None
            else:
                yield from _item(one)
    if waiting is not None:
        yield from _pictures([waiting])


def _narrow(item: Item) -> bool:
    return isinstance(item, Drawing) and not item.wide


def _item(item: Item) -> Iterator[Plain]:
    if isinstance(item, Told):
        text = breakable(item.value.text)
        yield {"kind": "told", "text": text, "loud": item.loud, "whole": _fits([[text]])}
    elif isinstance(item, Heading):
        yield {"kind": "heading", "text": breakable(item.value.text)}
    elif isinstance(item, Facts):
        yield _facts(item)
    elif isinstance(item, Grid):
        yield _grid(item)
    elif isinstance(item, Drawing):
        yield from _pictures([item])
    elif isinstance(item, Slot):
        for _, group in groupby(item.drawings, key=_narrow):
            yield from _pictures(list(group))
    elif isinstance(item, Big):
        rows = [[name, breakable(value.text)] for name, value in item.rows]
        yield {"kind": "big", "rows": rows, "boxed": item.boxed}
    elif isinstance(item, Boxes):
        yield {"kind": "boxes", "texts": [breakable(value.text) for value in item.values]}
    elif isinstance(item, Pencil):
        yield {"kind": "pencil", "names": list(item.names)}
    elif isinstance(item, Found):
        yield {
            "kind": "found",
            "severity": item.severity,
            "word": item.word,
            "text": breakable(item.value.text),
        }


def _text(cell: Cell) -> str:
    return breakable(cell.text if isinstance(cell, Value) else cell)


def _facts(item: Facts) -> Plain:
    rows = [
        [_text(name), ", ".join(_text(value) for value in values)] for name, values in item.rows
    ]
    return {"kind": "facts", "rows": rows, "whole": len(rows) <= _ROWS and _fits(rows)}


def _fits(rows: Iterable[Sequence[str]]) -> bool:
    """Whether no row is so tall that it cannot be kept on one page."""
    return all(len(text) < _WHOLE for row in rows for text in row)


def _grid(item: Grid) -> Plain:
    rows = [[_text(cell) for cell in row] for row in item.rows]
    return {
        "kind": "grid",
        "caption": item.caption,
        "head": list(item.head),
        "rows": rows,
        "right": list(item.right),
        "boxed": item.boxed,
        "whole": _fits(rows),
        "widths": _widths(item.head, rows),
    }


def _widths(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[float]:
    """Share of each column in the room that is left, 0 for one that takes what it needs.

    Columns of long texts share what the others leave; without them all grow, those without a text
    the most, so that the rules run across the page and there is room to write.
    """
    longest = [max((len(row[at]) for row in rows), default=0) for at in range(len(head))]
    needs = [float(max(length, len(name))) for length, name in zip(longest, head, strict=True)]
    if max(needs) <= _WIDE:
        return [
            need + (_SPARE if length else 2.0 * _SPARE)
            for need, length in zip(needs, longest, strict=True)
        ]
    return [min(need, _WIDEST) if need > _WIDE else 0.0 for need in needs]


# -------------------------------------------------------------------------------- drawings


def _pictures(drawings: Sequence[Drawing]) -> Iterator[Plain]:
    if not drawings:
        return
    across = 1 if drawings[0].wide else 3 if len(drawings) == 3 and _all_stills(drawings) else 2
    yield {
        "kind": "pictures",
        "across": across,
        "most": _TALLEST_MM[across],
        "drawings": [_drawing(one) for one in drawings],
    }


def _all_stills(drawings: Sequence[Drawing]) -> bool:
    return all(one.source.startswith("data:image/png") for one in drawings)


def _drawing(drawing: Drawing) -> Plain:
    """The drawing as SVG; a still picture goes into one, which needs no other way to paper."""
    kind, _, coded = drawing.source.partition(",")
    data = base64.b64decode(coded)
    svg = data.decode() if "svg" in kind else _framed(drawing.source, data)
    found = re.search(r'<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm"', svg)
    if found is None:
        raise InternalError("a drawing of the sheet does not tell its size", where=drawing.alt.id)
    return {
        "svg": svg,
        "alt": drawing.alt.text,
        "caption": breakable(drawing.caption.text),
        "size": [float(found[1]), float(found[2])],
    }


def _framed(source: str, png: bytes) -> str:
    wide, high = (int.from_bytes(png[at : at + 4], "big") for at in (16, 20))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_STILL_MM:g}mm" '
        f'height="{_STILL_MM * high / wide:.2f}mm" viewBox="0 0 {wide} {high}">'
        f'<image width="{wide}" height="{high}" href="{escaped(source)}"/></svg>'
    )
