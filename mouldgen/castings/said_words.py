"""What a maker says of a load, cut into the words that count: numbers, sizes, minutes, verdicts.

Fill words go, and a run of numbers such as ``3, 5 and 7-9`` becomes one item.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from mouldgen import units
from mouldgen.errors import InternalError, UnitError, UsageError
from mouldgen.job.words import one_line, printable

Kind = Literal[
    "numbers", "voids", "no voids", "good", "repaired", "scrapped", "open", "all", "rest", "both",
    "length", "worst", "minutes", "each", "place", "end",
]  # fmt: skip

VERDICTS: tuple[Kind, ...] = ("voids", "no voids", "good", "repaired", "scrapped", "open")
_MOST_NUMBERS = 10_000
_LONGEST = 2000


@dataclass(frozen=True, eq=False)
class Item:
    """One thing that was said.

    kind : what it is; ``end`` closes a clause.
    text : as it was said.
    chunks : of ``numbers``: those between commas.
    value : of ``length`` [mm] and of ``minutes`` [min].
    """

    kind: Kind
    text: str
    chunks: tuple[tuple[int, ...], ...] = ()
    value: float = 0.0


_NUMBER = r"\d+(?:\s+|-)\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+"
_FINE = r"\d+(?:\s+|-)\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+"  # no whole number: 3 in 7 is no 3 inches
_SHORT = r"(?:\.(?=\s*(?:in|on|at|near|deep|long|wide|across|void|bubble)\b))?"  # 1/8 in. in 3
_BLANK = r"[^\S\n]*"  # a new line begins another clause
_TOKEN = re.compile(
    rf"(?P<minutes>(?:{_NUMBER}){_BLANK}(?:minutes|minute|mins|min|hours|hour|hrs|hr|h)\b)"
    rf"|(?P<length>(?:{_NUMBER}){_BLANK}(?:mm\b|cm\b|millimet(?:re|er)s?\b|inch(?:es)?\b|\"|'')"
    rf"|(?:{_FINE}){_BLANK}in\b{_SHORT})"
    rf"|(?P<range>\d+{_BLANK}(?:-|to\b|through\b|till\b){_BLANK}\d+(?![\d/.]*\s*(?:mm|cm|in\b|\")))"
    r"|(?P<number>\d+(?!\d|[./]\d))"
    rf"|(?P<bare>{_FINE})"
    r"|(?P<comma>,)|(?P<end>[;.\n!]+)|(?P<and>&|\+|\band\b|\bplus\b)"
    r"|(?P<word>[^\W\d_][\w'’-]*)"
    r"|(?P<skip>[\s:()\[\]\"'“”\u2018\u2019#]+)"
    r"|(?P<else>\S)",
    re.IGNORECASE,
)
_ENDLESS = re.compile(r"[^\W_]{41,}")  # longer than any word, and than any number that is told
_BEFORE_NUMBER = re.compile(
    r"(?:\b(?:nos?\.?|nrs?\.?|numbers?|moulds?|molds?|castings?|blanks?|pieces?|fillings?)|#)\s*(?=\d)",
    re.IGNORECASE,
)
_WORDS: dict[str, Kind] = {
    **dict.fromkeys(
        (
            "void",
            "voids",
            "voided",
            "bubble",
            "bubbles",
            "pit",
            "pits",
            "pitted",
            "pinhole",
            "pinholes",
            "hole",
            "holes",
        ),
        "voids",
    ),
    **dict.fromkeys(("good", "fine", "ok", "okay", "sound", "clean", "perfect"), "good"),
    **dict.fromkeys(("repaired", "repair", "filled", "fixed", "patched", "mended"), "repaired"),
    **dict.fromkeys(
        (
            "scrapped",
            "scrap",
            "binned",
            "rejected",
            "reject",
            "lost",
            "wasted",
            "junk",
            "junked",
            "tossed",
            "trashed",
            "discarded",
        ),
        "scrapped",
    ),
    **dict.fromkeys(("open", "later", "unturned"), "open"),
    **dict.fromkeys(("all", "everything", "every"), "all"),
    **dict.fromkeys(("rest", "others", "other", "remaining", "remainder", "else"), "rest"),
    "both": "both",
    **dict.fromkeys(("worst", "largest", "biggest", "deepest"), "worst"),
    **dict.fromkeys(("each", "apiece"), "each"),
}
_OF_TIME = frozenset(("repair", "repairs", "repairing"))  # what minutes were spent on
_NOT = frozenset(("no", "none", "without", "zero", "nothing"))
_FILL = frozenset((
    "a", "an", "the", "is", "are", "was", "were", "has", "have", "had", "got", "get", "with",
    "of", "it", "its", "they", "them", "be", "been", "being", "still", "number", "numbers",
    "mould", "moulds", "mold", "molds", "casting", "castings", "blank", "blanks", "piece",
    "pieces", "filling", "fillings", "load", "took", "spent", "rework", "reworking", "work",
    "extra", "about", "max", "only", "just", "there", "in", "on", "for", "to", "up", "size",
    "any", "so", "but", "then", "which", "that", "found", "show", "shows", "showed", "wide",
    "deep", "long", "across", "one's", "ca", "glue", "superglue", "epoxy", "small", "big", "tiny",
    "large",
))  # fmt: skip
_COUNTS = frozenset((
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "half",
    "some", "few", "most",
))  # fmt: skip
_EXCEPT = frozenset(("except", "excepting", "excluding", "bar", "barring", "apart", "save"))
_BAD = frozenset(("bad", "failed", "ruined", "faulty", "defective", "spoiled", "spoilt"))
_PLACE = frozenset((
    "at", "near", "along", "under", "underneath", "beneath", "around", "round", "by", "beside",
    "towards", "toward", "behind", "below", "above", "between", "inside", "outside", "where",
    "against", "over", "close", "top", "bottom", "middle", "side", "sides", "end", "ends",
    "foot", "head", "centre", "center", "edge", "rim", "left", "right", "upper", "lower",
))  # fmt: skip
_DECIMAL_IN = re.compile(r"(\d*\.\d+)\s*in\.?", re.IGNORECASE)
_AS_IT_IS = re.compile(r"left\s+(?:as|it|them|so|alone|like)\b", re.IGNORECASE)
_INTO_PLACE = frozenset(("in", "on"))
_ASK = "such as: voids in 3 and 7, 7 scrapped, 25 min; or: all good"


def items_of(text: str) -> list[Item]:
    """What was said, item by item, every clause closed by an ``end``.

    text : as typed.

    Raises UsageError, worded as a question, for a word that says nothing here.
    """
    if len(text) > _LONGEST:
        raise UsageError(f"that is longer than {_LONGEST} characters", allowed=_ASK)
    # What cannot be shown says nothing either, and a question quotes what it is about.
    plain = "\n".join(printable(line) for line in text.split("\n"))
    plain = plain.replace("–", "-").replace("—", "-").replace("″", '"').replace("”", '"')
    plain = _BEFORE_NUMBER.sub(" ", plain)
    endless = _ENDLESS.search(plain)
    if endless:
        raise UsageError(f'"{one_line(endless[0])}" is no word and no number', allowed=_ASK)
    comma = re.search(rf"\d,\d+{_BLANK}(?:mm|cm|in|inch|inches|min|mins|minutes|h|hours)\b", plain)
    if comma:
        raise UsageError(
            f'is "{comma[0]}" one number or two?',
            allowed="decimals with a point: 3.5 mm; numbers with a blank behind the comma: 3, 5",
        )
    return _items(list(_TOKEN.finditer(plain)))


def _items(tokens: Sequence[re.Match[str]]) -> list[Item]:
    items: list[Item] = []
    at = 0
    while at < len(tokens):
        _ask_of_exceptions(tokens[at][0].casefold(), items)
        items_here, at = _next(tokens, at)
        items += items_here
    return [*items, Item("end", "")]


def _ask_of_exceptions(word: str, before: Sequence[Item]) -> None:
    """``all good but 3`` says nothing of 3 but that it is not good."""
    if word not in _EXCEPT and not (
        word == "but" and before and before[-1].kind in {"all", "good"}
    ):
        return
    raise UsageError(
        f'what was found on those behind "{word}"?',
        allowed="say it of them, and then of the rest: voids in 3, rest good",
    )


def _next(tokens: Sequence[re.Match[str]], at: int) -> tuple[list[Item], int]:
    """The items that begin at a token, and where to go on."""
    token = tokens[at]
    kind, text = token.lastgroup, token[0]
    if kind is None:  # every sign is in one group or another
        raise InternalError("a sign that no group takes")
    if kind in {"number", "range"}:
        return _numbers(tokens, at)
    if kind in {"minutes", "length"}:
        _ask_of_inches(tokens, at)
        return [_amount(kind, text)], at + 1
    if kind in {"comma", "end", "and"}:
        return [Item("end", text)], at + 1
    if kind == "skip":
        return [], at + 1
    if kind == "word":
        return _word(tokens, at)
    if kind == "bare":
        raise UsageError(
            f"{text} of what?", allowed=f"a size or a time with its unit: {text} in, {text} mm"
        )
    raise UsageError(f'"{text}" cannot be read here', allowed=_ASK)


def _ask_of_inches(tokens: Sequence[re.Match[str]], at: int) -> None:
    """``2.5 in 3``: inches that lack an ``in``, or mm that lack their unit."""
    told = _DECIMAL_IN.fullmatch(tokens[at][0])
    after = next((token for token in tokens[at + 1 :] if token.lastgroup != "skip"), None)
    if told is None or after is None or after.lastgroup not in {"number", "range"}:
        return
    raise UsageError(
        f'is "{tokens[at][0]} {after[0]}" {told[1]} inches or {told[1]} mm?',
        allowed=f"{told[1]} inch in {after[0]}, or {told[1]} mm in {after[0]}",
    )


def _word(tokens: Sequence[re.Match[str]], at: int) -> tuple[list[Item], int]:
    word = tokens[at][0].casefold()
    if word in _NOT:
        return _negated(tokens, at)
    if word == "left" and _AS_IT_IS.match("".join(token[0] for token in tokens[at:])):
        raise UsageError(
            "was it left as it is, void and all?",
            allowed="voids in 3, 3 good: it had voids and was left so; or: no voids in 3",
        )
    if word in _BAD:
        raise UsageError(
            f'what became of a "{word}" one?', allowed="voids in 3; 3 repaired; 3 scrapped"
        )
    if word in _PLACE or (word in _INTO_PLACE and _says_where(tokens, at)):
        return _place(tokens, at)
    if word in _OF_TIME and _after_minutes(tokens, at):
        return [], at + 1
    if word in _WORDS:
        return [Item(_WORDS[word], word)], at + 1
    if word in _FILL:
        return [], at + 1
    if word in _COUNTS:
        raise UsageError(
            f'which ones do you mean by "{word}"?',
            allowed="numbers as on the pot card, such as 3 and 7",
        )
    raise UsageError(
        f'what does "{word}" say of the castings?',
        allowed=_ASK,
        try_="What is no number, size, place or verdict goes into --note.",
    )


def _after_minutes(tokens: Sequence[re.Match[str]], at: int) -> bool:
    """``20 min of repair``: what the minutes went into, and no verdict on a casting."""
    before = (
        token
        for token in reversed(tokens[:at])
        if token.lastgroup != "skip" and token[0].casefold() not in _FILL
    )
    last = next(before, None)
    return last is not None and last.lastgroup == "minutes"


def _negated(tokens: Sequence[re.Match[str]], at: int) -> tuple[list[Item], int]:
    """``no voids``, ``none with voids``, or ``none`` alone."""
    after, end = _skipped(tokens, at + 1)
    kind = _WORDS.get(after) if after else None
    if kind == "voids":
        return [Item("no voids", f"no {after}")], end + 1
    if kind is None:
        return [Item("no voids", tokens[at][0])], at + 1
    raise UsageError(
        f'what is meant by "{tokens[at][0]} {after}"?',
        allowed="no voids; else say what was found: 3 repaired, 7 scrapped",
    )


def _skipped(tokens: Sequence[re.Match[str]], at: int) -> tuple[str, int]:
    """The next word that counts within the clause, and where it stands; empty for none."""
    while at < len(tokens):
        token = tokens[at]
        word = token[0].casefold() if token.lastgroup == "word" else ""
        if token.lastgroup != "skip" and word not in _FILL:
            return word, at
        at += 1
    return "", at


def _says_where(tokens: Sequence[re.Match[str]], at: int) -> bool:
    """Whether ``in`` or ``on`` is followed by a place and not by castings or verdicts."""
    after, _ = _skipped(tokens, at + 1)
    known = after in _WORDS or after in _COUNTS or after in _NOT
    return bool(after) and not known


def _place(tokens: Sequence[re.Match[str]], at: int) -> tuple[list[Item], int]:
    """Words on where voids were, up to the end of the clause or to what is no longer a place."""
    end = at
    while end < len(tokens) and not _place_ends(tokens, end, at):
        end += 1
    text = " ".join("".join(token[0] for token in tokens[at:end]).split())
    if end < len(tokens) and tokens[end].lastgroup in {"number", "range"}:
        number, told = tokens[end][0], one_line(text)
        raise UsageError(
            f'is {number} in "{told} {number}" a casting or a part of the place?',
            allowed=f"castings before the place or behind in: voids in {number} {told}; the place"
            " without numbers",
        )
    return [Item("place", text)], end


def _place_ends(tokens: Sequence[re.Match[str]], end: int, start: int) -> bool:
    token = tokens[end]
    kind, word = token.lastgroup, token[0].casefold()
    if kind in {"comma", "end", "minutes", "number", "range", "else"}:
        return True
    joins = kind == "and" or word in _INTO_PLACE
    if joins and end > start:  # the top and bottom is a place, the top and 7 scrapped is not all
        next_word, after = _skipped(tokens, end + 1)
        what = tokens[after].lastgroup if after < len(tokens) else None
        return what in {None, "number", "range"} or next_word in _WORDS
    return kind == "word" and (word in _WORDS or word in _NOT)


def _numbers(tokens: Sequence[re.Match[str]], at: int) -> tuple[list[Item], int]:
    """A run of numbers, in chunks between commas; a number that comes again begins a new one."""
    chunks: list[list[int]] = [[]]
    seen: set[int] = set()
    start, end = at, at
    divided = False
    while at < len(tokens):
        kind = tokens[at].lastgroup
        if kind in {"number", "range"}:
            found = _run(tokens[at][0])
            if chunks[-1] and (divided or seen.intersection(found)):
                chunks.append([])
            chunks[-1] += found
            seen.update(found)
            divided = False
            end = at + 1
        elif kind == "comma":
            divided = True
        elif kind not in {"and", "skip"}:
            break
        at += 1
    text = "".join(token[0] for token in tokens[start:end]).strip()
    return [Item("numbers", one_line(text), chunks=tuple(tuple(chunk) for chunk in chunks))], end


def _run(text: str) -> list[int]:
    ends = [int(number) for number in re.findall(r"\d+", text)]
    if len(ends) == 1:
        return ends
    first, last = ends
    if last < first or last - first >= _MOST_NUMBERS:
        raise UsageError(
            f'which castings are "{text}"?', allowed="from the lower to the higher, such as 1-4"
        )
    return list(range(first, last + 1))


def _amount(kind: str, text: str) -> Item:
    try:
        if kind == "length":
            return Item("length", text, value=units.length(text.replace("''", '"')))
        plain = re.sub(r"(min|hr)s$", r"\1", text, flags=re.IGNORECASE)
        return Item("minutes", text, value=units.time(plain) / 60.0)
    except UnitError as problem:
        raise UsageError(problem.what, allowed=problem.allowed, try_=problem.try_) from None
