"""The job file that ``mouldgen new`` writes: its lines, with a comment where one helps."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from mouldgen.cli.answers import SIDES, InsertSize, Measure, Tint, Title
from mouldgen.cli.ask import Answer

_COMMENT_AT = 33  # column


@dataclass(frozen=True, eq=False)
class Told:
    """The answers to the ten questions, in their order.

    title : what is made.
    pieces : how many good ones.
    due : the day, or None.
    piece : diameter and length of the finished piece.
    shape : of the insert.
    insert : its lengths and flutes.
    readings : of the calliper.
    wood : ``wood`` or ``density``, and what it is.
    resin : the card.
    tints : the colours.
    """

    title: Answer[Title]
    pieces: Answer[int]
    due: Answer[dt.date | None]
    piece: Answer[tuple[Measure, ...]]
    shape: Answer[str]
    insert: Answer[InsertSize]
    readings: Answer[tuple[Measure, ...]]
    wood: Answer[tuple[str, str]]
    resin: Answer[str]
    tints: Answer[tuple[Tint, ...]]


FLUTE_AREA = 0.20


def job_text(told: Told, *, shop_has: Sequence[str] = ()) -> str:
    """The whole file.

    shop_has : tables that the shop file gives, which this file then leaves out.
    """
    return "\n".join(_lines(told, shop_has)) + "\n"


def _lines(told: Told, shop_has: Sequence[str]) -> Iterator[str]:
    yield f"# {told.title.value.told}"
    yield "# Written by `mouldgen new`; change what you like.  Lengths carry a unit: 22 mm, 7/8 in."
    yield "format = 1"
    yield _key("name", told.title.value.name)
    if any(measure.text.endswith(("in", '"', "inch", "inches")) for measure in told.piece.value):
        yield _key("unit", "in", note="inches beside mm in what is printed")
    yield from _order(told)
    yield from _insert(told)
    yield ""
    yield "[piece]"
    for key, measure in zip(("diameter", "length"), told.piece.value, strict=True):
        yield _key(key, measure.text, note=_unknown(told.piece))
    yield '# turning = "2 mm"               # to turn off a side; without it the habit of the trade'
    yield ""
    yield "[mould]"
    yield _key("gap", "auto", note="or a length of your own")
    yield from _pour(shop_has)
    for tint in told.tints.value:
        yield ""
        yield "[[colour]]"
        yield _key("name", tint.name)
        yield _key("share", tint.share)
    yield from _cards(told, shop_has)


def _order(told: Told) -> Iterator[str]:
    yield ""
    yield "[order]"
    yield _key("pieces", told.pieces.value, note=_unknown(told.pieces))
    if told.due.value is not None:
        yield _key("due", told.due.value)
    yield "# confidence = 0.95              # of having enough good pieces"
    yield "# yield = 0.9                    # share of castings that come out good, a belief"


def _insert(told: Told) -> Iterator[str]:
    shape = told.shape.value
    yield ""
    yield "[insert]"
    yield _key("shape", shape, note=_unknown(told.shape))
    for key, measure in zip(SIDES[shape], told.insert.value.lengths, strict=True):
        yield _key(key, measure.text, note=_unknown(told.insert))
    if shape == "flute":
        yield _key("flutes", told.insert.value.flutes)
        yield _key("flute_area", FLUTE_AREA, note="share of the round section cut away, a guess")
    yield _key(*told.wood.value, note=_unknown(told.wood))
    if told.readings.value:
        yield _key("measured", [reading.text for reading in told.readings.value])
    else:
        yield '# measured = ["29.8 mm", "30.1 mm", "30.0 mm"]   # readings narrow the gap'


def _pour(shop_has: Sequence[str]) -> Iterator[str]:
    if "pour" in shop_has:
        return
    yield ""
    yield "[pour]"
    yield _key("shop", "21 C", note="temperature of shop and resin")
    yield _key("mix", "6 min")
    yield _key("close", "14 min", note="from the start of mixing to pressure")


def _cards(told: Told, shop_has: Sequence[str]) -> Iterator[str]:
    yield ""
    yield "[resin]"
    yield _key(
        "card", told.resin.value, note=_unknown(told.resin) or "see: mouldgen presets resins"
    )
    for table, card in (("plastic", "petg"), ("printer", "square-220")):
        if table not in shop_has:
            yield ""
            yield f"[{table}]"
            yield _key("card", card, note=f"see: mouldgen presets {table}s")
    if "pot" not in shop_has:
        yield ""
        yield "# [pot]"
        yield '# card = "pot-228"               # see: mouldgen presets pots'
        yield '# rating = "60 psi"              # what the plate of your own pot says'


def _key(key: str, value: object, *, note: str = "") -> str:
    line = f"{key} = {_toml(value)}"
    return f"{line:<{_COMMENT_AT - 1}} # {note}" if note else line


def _toml(value: object) -> str:
    """A value as TOML writes it; JSON's escapes in text are TOML's too."""
    if isinstance(value, dt.date):
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False)


def _unknown(answer: Answer[Any]) -> str:
    return "" if answer.known else "not known: taken so that there is a start"
