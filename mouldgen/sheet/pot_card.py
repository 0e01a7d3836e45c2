"""The card that hangs by the pot: one page of plain text for each time the pot is shut.

Big digits for what is weighed and for the clock, boxes to tick, blanks for a pencil.  Where a
page is short, cautions are told briefly, then digits get smaller; nothing is left out.
"""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from mouldgen.errors import NoAnswerError
from mouldgen.job.cautions import Caution, cautions_for
from mouldgen.sheet.card_words import (
    held,
    kept_from,
    length,
    long_time,
    pencil_time,
    temperature,
)
from mouldgen.sheet.number_words import runs, volumes
from mouldgen.sheet.pot_card_pot import pot_lines
from mouldgen.sheet.pot_card_weigh import Digits, clock_lines, has_room, mix_lines

if TYPE_CHECKING:
    from mouldgen.sheet.pot_card_values import PotCard

Paper = Literal["a4", "letter"]

COLUMNS = 78
LABEL = 9  # columns of a line's label
# At six lines to the inch: 297 mm and 11 in, less half an inch above and below, a little kept.
LINES: dict[Paper, int] = {"a4": 62, "letter": 59}
_GUARD = {
    "urethane": "GLOVES, EYES, RESPIRATOR as the data sheet names it; air drawn away",
    "epoxy": "GLOVES, EYES, fresh air; a mask where the data sheet asks for one",
}
_RELEASE = {
    "release": "release on, as its maker says",
    "rubber": "release only if the rubber asks",
    "cut": "no release: turned or sawn away",
}
_FIRST = {
    "resin-first": "the resin; then the wood, pressed in slowly",
    "insert-first": "the wood; then pour beside it, where the air can leave",
    "bottom-feed": "the wood, lid on; then by the funnel, until the vents show resin",
}
_TEST_FIRST = (
    "TEST CAST FIRST: this wood cannot be had again. One casting of other wood, in the same kind of"
    " mould, cast and turned: ____________"
)
_WOOD_IN = "nothing: the wood is in; pour beside it, where the air can leave"
# What can hurt at the pot and at the cup is told in full before the rest.
_GRAVEST = ("pot", "urethane", "epoxy", "heat", "lathe", "demould", "first", "food")
_TOLD_STOPS = 4  # lines of what must be fixed; the rest is told by the command that finds it


@dataclass(frozen=True)
class _Style:
    """How roomy a page is set."""

    digits: Digits
    clock: Digits


_STYLES = (
    _Style("large", "small"),
    _Style("small", "small"),
    _Style("small", "plain"),
    _Style("plain", "plain"),
)


def card_text(card: PotCard, *, paper: Paper = "a4", block: str = "█", made_by: str = "") -> str:
    """The page of one card, without form feed; at most `COLUMNS` by the paper's `LINES`.

    card : what it tells.
    paper : that it is printed on.
    block : what a dot of a large digit is drawn with; another than the default stands for a
        printer or terminal without block characters, and small digits are then written plainly.
    made_by : a few words that tell the card from others; empty for none.

    Raises NoAnswerError where even the closest setting does not fit.
    """
    cautions = cautions_for(card.kind, pressure=card.pressed)
    room = LINES[paper]
    plain = block != "█"
    # All mixes alike: the one with small digits must not look like the lesser one.
    large = has_room(card, columns=COLUMNS)
    for style in _STYLES[0 if large else 1 :]:
        sections = _sections(card, style, block=block, plain=plain, made_by=made_by)
        short = _page(sections, [_short(cautions)])
        if len(short) <= room:
            return "\n".join(_filled(sections, cautions, room=room)) + "\n"
    raise NoAnswerError(
        f"the card of load {card.load} takes {len(short)} lines and the page has {room}",
        try_="Fill fewer moulds or mix fewer colours at once.",
    )


def not_ready_text(job: str, stops: Sequence[str], *, made_by: str = "") -> str:
    """The page of a job that has nothing to weigh yet.

    job : its name.
    stops : what must be fixed.
    made_by : as `card_text` takes it.
    """
    lines = [*_both(f"POT CARD   {job.upper()}", "NOTHING TO WEIGH"), *_stop_lines(stops)]
    lines += ["", "Nothing is weighed for this job before that is fixed."]
    return "\n".join([*lines, *([made_by] if made_by else [])]) + "\n"


# ------------------------------------------------------------------------------------- page


def _sections(
    card: PotCard, style: _Style, *, block: str, plain: bool, made_by: str
) -> list[list[str]]:
    small: Digits = "plain" if plain else "small"
    digits = small if style.digits == "small" else style.digits
    clock = small if style.clock == "small" else style.clock
    weigh = [mix_lines(card, number, digits=digits, block=block, columns=COLUMNS)
             for number in range(len(card.mixes))]  # fmt: skip
    before = "before the clock starts; the scale shows " + f"{card.digit_g:g} g"
    return [
        list(_head(card)),
        [_rule("BEFORE THE POUR", end=made_by), *_boxes(card)],
        [_rule("WEIGH", before), *itertools.chain.from_iterable(weigh)],
        [_rule("CLOCK", "0:00 is the start of the first mix"),
         *clock_lines(card, digits=clock, columns=COLUMNS)],
        [_rule("POUR"), *_pour(card)],
        *([[_rule("POT"), *pot_lines(card, columns=COLUMNS)]] if card.pressed else []),
        [_rule("AFTER"), *_after(card)],
    ]  # fmt: skip


def _filled(sections: Sequence[list[str]], cautions: Sequence[Caution], *, room: int) -> list[str]:
    """The page with blank lines and then as many whole cautions as there is room for."""
    spare = room - len(_page(sections, [_short(cautions)]))
    # Before the last sections first: there the page is read in a hurry.
    spaced = [[*section] for section in sections]
    for section in spaced[: 0 if spare <= 0 else -spare - 1 : -1]:
        section.append("")
    whole: set[str] = set()
    for topic in sorted((c.topic for c in cautions), key=_graver):
        if len(_page(spaced, _told(cautions, whole | {topic}))) <= room:
            whole.add(topic)
    return _page(spaced, _told(cautions, whole))


def _page(sections: Sequence[list[str]], told: Sequence[list[str]]) -> list[str]:
    end = [_rule("MIND"), *itertools.chain.from_iterable(told)]
    return [*itertools.chain.from_iterable(sections), *end]


def _told(cautions: Sequence[Caution], whole: set[str]) -> list[list[str]]:
    """Cautions in their order: those in full as paragraphs, runs of short ones together."""
    told: list[list[str]] = []
    for in_full, found in itertools.groupby(cautions, key=lambda caution: caution.topic in whole):
        run = tuple(found)
        told += [_wrap(c.text, first="* ") for c in run] if in_full else [_short(run)]
    return told


def _graver(topic: str) -> int:
    return _GRAVEST.index(topic) if topic in _GRAVEST else len(_GRAVEST)


def _short(cautions: Sequence[Caution]) -> list[str]:
    return _wrap(" ".join(caution.short for caution in cautions), first="* ")


def _rule(name: str, beside: str = "", *, end: str = "") -> str:
    head = f"-- {name} " + (f"({beside}) " if beside else "")
    tail = f" {end} --" if end else ""
    return head + "-" * (COLUMNS - len(head) - len(tail)) + tail


def _wrap(text: str, *, first: str = "", rest: str | None = None) -> list[str]:
    return textwrap.wrap(
        text,
        COLUMNS,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_on_hyphens=False,
    )


def _both(left: str, right: str) -> list[str]:
    """Both on one line, or each on its own where they do not fit."""
    if len(left) + 2 + len(right) > COLUMNS:
        return [left, right]
    return [left + right.rjust(COLUMNS - len(left))]


# ------------------------------------------------------------------------------------- head


def _head(card: PotCard) -> Iterator[str]:
    where = f"LOAD {card.load} of {card.loads}"
    if card.pours > 1:
        where += f", POUR {card.pour} of {card.pours}"
    name = card.job.upper()
    yield from _both(f"{'POT' if card.pot else 'POUR'} CARD   {name}", where)
    yield "=" * COLUMNS
    yield from _stop_lines(card.stops)
    yield from _wrap(filled_words(card), rest="  ")
    yield from _wrap(colour_words(card), rest="  ")
    yield (
        f"Date {'_' * 12}  Shop {'_' * 5} C {'_' * 5} F  RH {'_' * 4} %"
        f"  (clock: {temperature(card.shop_c)})"
    )


def _stop_lines(stops: Sequence[str]) -> list[str]:
    if not stops:
        return []
    first = textwrap.wrap(
        f"NOT READY: {stops[0]}",
        COLUMNS,
        max_lines=_TOLD_STOPS,
        placeholder=" ...",
        break_on_hyphens=False,
    )
    more = len(stops) - 1
    if more:
        first.append(f"NOT READY: {more} more, told by the command that builds the moulds.")
    return [*first, "=" * COLUMNS]


def filled_words(card: PotCard) -> str:
    """Which moulds are filled, and which pieces they become.

    card : of the load.
    """
    one = len(card.moulds) == 1
    names, filled = ("Mould", "Moulds"), ""
    if card.rubber:
        names, filled = ("Cavity", "Cavities"), " (used again)"
    elif card.again:  # there are fewer moulds than that
        names, filled = ("Filling", "Fillings"), " (moulds used again)"
    first, last = card.pieces
    pieces = f"piece {first}" if first == last else f"pieces {first}-{last}"
    first_article = "; FIRST ARTICLE, alone" if card.first_alone and card.load == 1 else ""
    return (
        f"{names[not one]} {runs(card.moulds)} of {card.all_moulds}{filled}: {pieces} of"
        f" {card.all_pieces} cast, {card.ordered} ordered{first_article}"
    )


def colour_words(card: PotCard) -> str:
    """The colours, and what the moulds are lettered with.

    card : of the load.
    """
    colours = dict.fromkeys(cup.colour for mix in card.mixes for cup in mix.cups if cup.colour)
    lettered = f"; lettered {card.lettered}" if card.lettered else ""
    return f"Colour: {', '.join(colours) or 'as it comes'}{lettered}"


# ------------------------------------------------------------------------------------ boxes


def boxes_of(card: PotCard) -> Iterator[tuple[str, ...]]:
    """What is ticked before the pour; short ones come in pairs.

    card : of the load.
    """
    if card.tests:
        yield (_TEST_FIRST,)
    if card.first_alone and card.load > 1 and card.pour == 1:
        yield (f"FIRST ARTICLE (load 1) finished, shown, approved on {'_' * 12}",)
    if card.pour > 1 or card.since is not None:
        yield (kept_from(card),)
    else:
        yield (f"wood at constant weight, last two weighings {'_' * 7} g and {'_' * 7} g",)
    if card.pour == 1:
        yield "mould water-tested, then DRY", _RELEASE[card.release]
    level = "relief valve CHECKED, it lifts" if card.pressed else "moulds stand level"
    yield held(card.hold), level
    yield (_GUARD[card.kind],)


def _boxes(card: PotCard) -> Iterator[str]:
    for texts in boxes_of(card):
        yield from _pairs(*texts) if len(texts) == 2 else _box(*texts)


def _box(text: str) -> list[str]:
    return _wrap(text, first="[ ] ")


def _pairs(left: str, right: str) -> Iterator[str]:
    yield f"[ ] {left:<31}[ ] {right}"


# ------------------------------------------------------------------------------------- pour


def _pour(card: PotCard) -> Iterator[str]:
    fill, first = pour_lines(card)
    yield from _wrap(fill, rest=" " * LABEL)
    yield first


def pour_lines(card: PotCard) -> tuple[str, str]:
    """To where is filled, and what goes in first; a label in the first `LABEL` columns.

    card : of the load.
    """
    fill = (
        f"FILL     TO THE LINE, {length(card.fill_mm)} over the inside floor, slowly. Each"
        f" {'cavity' if card.rubber else 'mould'} takes {volumes(card.each_ml)}."
    )
    return fill, f"FIRST    {_FIRST[card.sequence] if card.pour == 1 else _WOOD_IN}"


# ------------------------------------------------------------------------------------ after


def _after(card: PotCard) -> Iterator[str]:
    for line in after_lines(card):
        yield from _wrap(line, rest=" " * 9)


def after_lines(card: PotCard) -> Iterator[str]:
    """What follows the pour; a label in the first `LABEL` columns.

    card : of the load.
    """
    if card.pour < card.pours:
        if card.then is None:
            yield f"POUR {card.pour + 1}   from {pencil_time()} to {pencil_time()}: see data sheet"
        else:
            opens, closes = card.then
            yield (
                f"POUR {card.pour + 1}   from {long_time(opens)} to {long_time(closes)} after"
                f" mixing: {pencil_time()} to {pencil_time()}"
            )
            again = "[ ] refilled, only once that opens"
            if card.pressed:
                again = "[ ] vented slowly, only once that opens; refilled; pressed again"
            yield f"         {again}"
    else:
        for what, time_s in (("DEMOULD", card.demould_s), ("TURN", card.turn_s)):
            told = f"  ({long_time(time_s)} after mixing)" if time_s is not None else ""
            yield f"{what:<9}after {pencil_time()}{told}"
    yield from _left_over(card)


def _left_over(card: PotCard) -> Iterator[str]:
    hot = "a cup that gets hot goes outside, on metal"
    if not card.catch_moulds:
        yield f"LEFT     over resin -> a catch mould, never the drain; {hot}"
        return
    number, s = card.catch_moulds, "s" * (card.catch_moulds != 1)
    yield (
        f"LEFT     over {volumes(card.left_ml)} -> {number} catch mould{s} of {card.catch_ml:g} ml;"
        f" {hot}"
    )
