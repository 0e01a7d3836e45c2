"""One line that tells an insert's sizes: ``20 x 16 x 152 mm, one turn every 120 mm, left``.

Lengths stand first with an x between; what is said behind them in words may stand in any order.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from mouldgen.desk.answers import BETWEEN, Measure, measures
from mouldgen.errors import UsageError

_VULGAR = "\u00bc-\u00be\u2150-\u215e"  # typeset fractions
_NUMBER = rf"[0-9.{_VULGAR}][0-9./{_VULGAR}]*"
LENGTH = (
    rf"({_NUMBER}(?:\s?/\s?[0-9]+|(?:\s|\s?-\s?){_NUMBER})?"
    r"\s*(?:mm|cm|m|inch(?:es)?|in|ft|[\"″”])?)(?![a-z0-9])"
)
_FILLERS = re.compile(r"^(?:[\s,;]|\b(?:and|with)\b)+|(?:[\s,;]|\b(?:and|with)\b)+$", re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class InsertTold:
    """An insert as it goes into the job file.

    values : keys of ``[insert]`` behind its shape, in order, as they are written.
    notes : for some of the keys, a comment.
    below : comment lines under the keys.
    lengths : every length that was typed.
    across_mm, length_mm : of a scan, the round that holds it and along it [mm]; else 0.
    """

    values: Mapping[str, Any]
    notes: Mapping[str, str] = field(default_factory=dict)
    below: tuple[str, ...] = ()
    lengths: tuple[Measure, ...] = ()
    across_mm: float = 0.0
    length_mm: float = 0.0


@dataclass(frozen=True, eq=False)
class Words:
    """A length that is told in words, such as ``pitch 9 mm``.

    key : of the job file.
    before : what stands before the length, as a pattern.
    tells : what it tells, and an example, for one who leaves it out.
    after : what may stand after the length instead, as a pattern.
    """

    key: str
    before: str
    tells: str
    after: str = ""

    def taken_from(self, text: str) -> tuple[str | None, str]:
        """The length as typed, or None, and the text without it."""
        patterns = [rf"\b(?:{self.before})\s*[:=]?\s*{LENGTH}"]
        patterns += [rf"{LENGTH}\s*(?:{self.after})\b"] if self.after else []
        return _first(patterns, text)


@dataclass(frozen=True, eq=False)
class Choice:
    """One of a few words, such as ``left``.

    key : of the job file.
    ways : pattern of each word and the value that it stands for; the first is the usual one.
    """

    key: str
    ways: Mapping[str, Any]

    def taken_from(self, text: str) -> tuple[Any, str]:
        """The value, or None where no word is said, and the text without it."""
        for pattern, value in self.ways.items():
            found, rest = _first([rf"\b({pattern})(?![a-z])"], text)
            if found is not None:
                return value, rest
        return None, text

    @property
    def usual(self) -> Any:
        """What is meant where nothing is said."""
        return next(iter(self.ways.values()))


def read_line(
    text: str,
    *,
    sides: Sequence[tuple[str, str]],
    words: Sequence[Words] = (),
    choices: Sequence[Choice] = (),
    thinner: tuple[str, str] | None = None,
) -> InsertTold:
    """The sizes of an insert, for the job file in the order asked for.

    sides : key and word of each length with an x between.
    words : lengths told in words; all must be given.
    choices : what may be said besides.
    thinner : keys of a length and of one that it must stay below.

    Raises UnitError and UsageError with a plain sentence.
    """
    rest, said = text, {}
    for choice in choices:
        value, rest = choice.taken_from(rest)
        said[choice.key] = choice.usual if value is None else value
    told: dict[str, str | None] = {}
    for word in words:
        told[word.key], rest = word.taken_from(rest)
    parts = [part.strip() for part in BETWEEN.split(_FILLERS.sub("", rest))]
    if len(parts) != len(sides) or not all(parts):
        raise _not_sides(text, rest=rest, parts=parts, sides=sides)
    for word in words:
        if told[word.key] is None:
            raise UsageError(f'"{text}" does not tell {word.tells}')
    found = measures([*parts, *(length for length in told.values() if length is not None)])
    keys = [*(key for key, _ in sides), *told]
    if thinner is not None:
        _require_thinner(dict(zip(keys, found, strict=True)), dict(sides), thinner)
    values = {key: length.text for key, length in zip(keys, found, strict=True)}
    return InsertTold(_ordered(values, said), lengths=found)


def _ordered(values: dict[str, Any], said: dict[str, Any]) -> dict[str, Any]:
    """The length goes last, as in every job file."""
    length = values.pop("length")
    return {**values, **said, "length": length}


def _require_thinner(
    found: Mapping[str, Measure], words: Mapping[str, str], keys: tuple[str, str]
) -> None:
    thin, thick = (found[key] for key in keys)
    if thin.mm >= thick.mm:
        names = [words[key] for key in keys]
        raise UsageError(
            f"the {names[0]}, {thin.text}, is no smaller than the {names[1]}, {thick.text}",
            allowed=f"a {names[0]} of less than {thick.text}",
        )


def _not_sides(
    text: str, *, rest: str, parts: Sequence[str], sides: Sequence[tuple[str, str]]
) -> UsageError:
    asked = " x ".join(word for _, word in sides)
    comma = re.search(r"[0-9],[0-9]", text) is not None
    left = _FILLERS.sub("", rest)
    strange = len(parts) == len(sides) or rest == text
    return UsageError(
        f'"{text if strange or not left else left}" is not {asked}',
        allowed=f"{len(sides)} lengths with an x between",
        try_="Write decimals with a point, 22.5 and not 22,5." if comma else "",
    )


def _first(patterns: Sequence[str], text: str) -> tuple[str | None, str]:
    """What the first pattern found holds in its group, and the text with a comma in its place."""
    for pattern in patterns:
        found = re.search(pattern, text, re.IGNORECASE)
        if found:
            return found[1].strip(), f"{text[: found.start()]},{text[found.end() :]}"
    return None, text
