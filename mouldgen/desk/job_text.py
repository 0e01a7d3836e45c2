"""The job file that ``mouldgen new`` writes: its lines, with a comment where one helps."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from mouldgen.desk.answers import Measure, Tint, Title, Wanted
from mouldgen.desk.insert_kinds import Kind
from mouldgen.desk.insert_line import InsertTold
from mouldgen.desk.mould_kinds import RUBBER, MouldTold
from mouldgen.desk.question import Answer

_COMMENT_AT = 33  # column
_INCHES = ("in", '"', "″", "”", "inch", "inches")
_HOLES = ("rod", "bar", "twist", "flute", "taper", "outline")  # that may be drilled


@dataclass(frozen=True, eq=False)
class Answers:
    """The answers to the ten questions.

    title : what is made.
    wanted : how many good ones, and by when.
    kind : of the insert.
    mould : its family.
    wood : ``wood`` or ``density``, and what it is.
    piece : diameter and length of the finished piece.
    insert : its sizes.
    readings : of the calliper.
    resin : the card.
    tints : the colours.
    """

    title: Answer[Title]
    wanted: Answer[Wanted]
    kind: Answer[Kind]
    mould: Answer[MouldTold]
    wood: Answer[tuple[str, str]]
    piece: Answer[tuple[Measure, ...]]
    insert: Answer[InsertTold]
    readings: Answer[tuple[Measure, ...]]
    resin: Answer[str]
    tints: Answer[tuple[Tint, ...]]


def job_text(told: Answers, *, shop_has: Sequence[str] = ()) -> str:
    """The whole file.

    shop_has : tables that the shop file gives, which this file then leaves out.
    """
    return "\n".join(_lines(told, shop_has)) + "\n"


def _lines(told: Answers, shop_has: Sequence[str]) -> Iterator[str]:
    yield f"# {told.title.value.told}"
    yield "# Written by `mouldgen new`; change what you like.  Lengths carry a unit: 22 mm, 7/8 in."
    yield "format = 1"
    yield _key("name", told.title.value.name)
    typed = (*told.piece.value, *told.insert.value.lengths)
    if any(measure.text.endswith(_INCHES) for measure in typed):
        yield _key("unit", "in", note="inches beside mm in what is printed")
    yield from _order(told)
    yield from _insert(told)
    yield ""
    yield "[piece]"
    for key, measure in zip(("diameter", "length"), told.piece.value, strict=True):
        yield _key(key, measure.text, note=_unknown(told.piece))
    yield _hint('turning = "2 mm"', "to turn off a side; without it the habit of the trade")
    if told.mould.value.family == "contour":
        yield from _outline(told)
    yield from _mould(told)
    yield from _pour(shop_has)
    for tint in told.tints.value:
        yield ""
        yield "[[colour]]"
        yield _key("name", tint.name)
        yield _key("share", tint.share)
    yield from _cards(told, shop_has)


def _order(told: Answers) -> Iterator[str]:
    yield ""
    yield "[order]"
    yield _key("pieces", told.wanted.value.pieces, note=_unknown(told.wanted))
    if told.wanted.value.due is not None:
        yield _key("due", told.wanted.value.due)
    yield _hint("confidence = 0.95", "of having enough good pieces")
    yield _hint("yield = 0.9", "share of castings that come out good, a belief")


def _insert(told: Answers) -> Iterator[str]:
    kind, insert = told.kind.value, told.insert.value
    yield ""
    yield "[insert]"
    yield _key("shape", kind.shape, note=_unknown(told.kind) or _called(kind))
    members = []
    for key, value in insert.values.items():
        if key == "member":
            members = value
        else:
            yield _key(key, value, note=insert.notes.get(key, "") or _unknown(told.insert))
    yield from (f"# {line}" for line in insert.below)
    if kind.shape in _HOLES:
        yield _hint('hole = "8 mm"', "drilled along it from end to end")
    yield _key(*told.wood.value, note=_unknown(told.wood))
    if told.readings.value:
        yield _key("measured", [reading.text for reading in told.readings.value])
    elif kind.shape != "bundle":
        near = ", ".join(f'"{_across(insert) + off:.1f} mm"' for off in (-0.2, 0.1, 0.0))
        yield f"# measured = [{near}]   # readings narrow the gap"
    for member in members:
        yield ""
        yield "[[insert.member]]"
        for key, value in member.items():
            yield _key(key, value, note=_MEMBER.get(key, "") if member is members[0] else "")


_MEMBER = {
    "shape": "rod, tube, bar or taper",
    "at": "x and y of its axis, seen from above",
}


def _across(insert: InsertTold) -> float:
    """What a calliper reads off it [mm]; lengths of a profile are radii."""
    if insert.across_mm:
        return insert.across_mm
    if "profile" in insert.values:
        return 2.0 * max(radius.mm for radius in insert.lengths)
    return insert.lengths[0].mm if insert.lengths else 0.0


def _outline(told: Answers) -> Iterator[str]:
    """How the finished outline is written, as it would be for a cylinder."""
    diameter, length = (measure.mm for measure in told.piece.value)
    radius = f"{round(diameter / 2.0, 3):g} mm"
    yield "# The mould follows the finished outline: height and radius, from the lower end up."
    yield f'# outline = [["0 mm", "{radius}"], ["{round(length, 3):g} mm", "{radius}"]]'


def _called(kind: Kind) -> str:
    return "" if kind.name == kind.shape else f"a {kind.name}"


def _mould(told: Answers) -> Iterator[str]:
    mould = told.mould.value
    yield ""
    yield "[mould]"
    for key, value in mould.values.items():
        yield _key(key, value, note=_unknown(told.mould))
    yield _key("gap", "auto", note="or a length of your own")
    if mould.more is not None:
        yield _hint(*mould.more)


def _pour(shop_has: Sequence[str]) -> Iterator[str]:
    if "pour" in shop_has:
        return
    yield ""
    yield "[pour]"
    yield _key("shop", "21 C", note="temperature of shop and resin")
    yield _key("mix", "6 min")
    yield _key("close", "14 min", note="from the start of mixing to pressure")


def _cards(told: Answers, shop_has: Sequence[str]) -> Iterator[str]:
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
    if told.mould.value.family == "master" and "rubber" not in shop_has:
        yield ""
        yield "[rubber]"
        yield _key("card", RUBBER, note="see: mouldgen presets rubbers")
    if "pot" not in shop_has:
        yield ""
        yield "# [pot]"
        yield _hint('card = "pot-228"', "see: mouldgen presets pots")
        yield _hint('rating = "60 psi"', "what the plate of your own pot says")


def _hint(line: str, note: str) -> str:
    """A line that is not in force: taking the first sign away puts it there."""
    return f"{'# ' + line:<{_COMMENT_AT - 1}} # {note}"


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
