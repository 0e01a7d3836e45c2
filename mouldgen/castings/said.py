"""From what a maker says of a load at the lathe to a result for each casting.

::

    all good
    voids in 3 and 7, 7 scrapped, 25 min
    voids in 1-4, worst 3 mm in 2 at the top, rest good
    3 repaired and 7 scrapped; 1/8 in in 3

Numbers are those on the pot card.  A casting with voids that is neither scrapped nor called good
was repaired; one that is called repaired or scrapped had voids, unless it is said to have none.
What is not spoken of is good, unless good ones are told by their numbers: then it stays open.
What could mean two things is asked back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from mouldgen.castings.drafts import ResultDraft
from mouldgen.castings.load_words import listed
from mouldgen.castings.records import Outcome
from mouldgen.castings.said_words import VERDICTS, Item, Kind, items_of
from mouldgen.errors import UsageError
from mouldgen.job.words import one_line


@dataclass(frozen=True, eq=False)
class Said:
    """What was understood.

    drafts : a result for each casting that was spoken of or meant, by number.
    still_open : numbers that have none yet.
    supposed : numbers that count as having had voids because they were repaired or scrapped.
    minutes : of the whole load [min].
    """

    drafts: tuple[ResultDraft, ...]
    still_open: tuple[int, ...]
    supposed: tuple[int, ...]
    minutes: float


@dataclass(eq=False)
class _Found:
    """What is gathered of each casting while the words are read."""

    verdicts: dict[int, set[Kind]] = field(default_factory=dict)
    worst: dict[int, float] = field(default_factory=dict)
    place: dict[int, str] = field(default_factory=dict)
    minutes: dict[int, float] = field(default_factory=dict)
    total: float | None = None  # minutes of the load
    each: float | None = None  # minutes of each that was repaired
    everywhere: str = ""  # a place without numbers
    size: float | None = None  # a size without numbers [mm]
    rest: Kind | None = None
    named_good: bool = False

    def verdict(self, numbers: Sequence[int], kind: Kind) -> None:
        for number in numbers:
            self.verdicts.setdefault(number, set()).add(kind)


def read_result(text: str, numbers: Sequence[int]) -> Said:
    """What was found on the castings of a load.

    text : in the maker's words.
    numbers : of the load's castings on the pot card.

    Raises UsageError, worded as a question, where it is not clear what is meant.
    """
    found = _Found()
    group: tuple[int, ...] = tuple(numbers) if len(numbers) == 1 else ()
    for clause in _clauses(items_of(text)):
        group = _read_clause(clause, found, group, tuple(numbers))
    if not found.verdicts and found.rest is None:
        raise UsageError(
            "what was found on the castings?",
            allowed='such as "all good", or "voids in 3 and 7, 7 scrapped, 25 min"',
        )
    return _settled(found, tuple(numbers))


def _clauses(items: Sequence[Item]) -> Iterator[list[Item]]:
    """Items between two ends; a run of numbers that two verdicts claim is divided first."""
    clause: list[Item] = []
    for at, item in enumerate(items):
        if item.kind == "end":
            if clause:
                yield clause
            clause = []
            continue
        after = items[at + 1].kind if at + 1 < len(items) else "end"
        if item.kind == "numbers" and clause and after in VERDICTS:
            first, last = _divided(item, clause[-1].text, items[at + 1].text)
            yield [*clause, first]
            clause = [last]
            continue
        clause.append(item)


def _divided(item: Item, before: str, after: str) -> tuple[Item, Item]:
    """``3, 5 and 7, 7`` in ``voids in 3, 5 and 7, 7 scrapped``: the last chunk is scrapped."""
    if len(item.chunks) < 2:
        raise UsageError(
            f'does "{item.text}" belong to "{before}" or to "{after}"?',
            allowed=f"a comma between the two, such as: voids in 3 and 7, 7 {after}",
        )
    return (
        Item("numbers", item.text, chunks=item.chunks[:-1]),
        Item("numbers", item.text, chunks=item.chunks[-1:]),
    )


def _read_clause(
    clause: Sequence[Item], found: _Found, group: tuple[int, ...], numbers: tuple[int, ...]
) -> tuple[int, ...]:
    """Take one clause in; the castings that it spoke of, for the next one."""
    kinds = {item.kind for item in clause}
    if "rest" in kinds:
        return _read_rest(clause, found, group)
    named = _named(clause, group, numbers)
    for item in clause:
        if item.kind in VERDICTS:
            of = named or _unnamed(item, group, numbers)
            # 3 good, of one that has voids, says that they were left: nothing of the others.
            fresh = any(number not in found.verdicts for number in of)
            found.named_good |= item.kind == "good" and "numbers" in kinds and fresh
            found.verdict(of, item.kind)
            named = named or of
        elif item.kind == "length":
            _read_size(item, found, named or group)
        elif item.kind == "place":
            _read_place(item, found, named or group)
    _read_minutes(clause, found, named)
    bare = kinds <= {"numbers", "all", "both", "worst", "each"}
    if bare and kinds:
        told = one_line(" ".join(item.text for item in clause))
        raise UsageError(
            f'what about "{told}"?',
            allowed="a verdict with it: voids in 3, 3 repaired, 3 scrapped, 3 good",
        )
    if kinds & {"length", "place"} and not kinds.intersection(VERDICTS) and named:
        found.verdict(named, "voids")
    return named or group


def _named(
    clause: Sequence[Item], group: tuple[int, ...], numbers: tuple[int, ...]
) -> tuple[int, ...]:
    """The castings that a clause names; none where it names none."""
    named: list[int] = []
    for item in clause:
        if item.kind == "numbers":
            named += [number for chunk in item.chunks for number in chunk]
            _require_there(named, item, clause, numbers)
        elif item.kind == "all":
            if group and len(group) < len(numbers):
                raise UsageError(
                    "all of the load, or all of those just named?",
                    allowed=f"their numbers, such as {listed(group)}",
                )
            named += numbers
        elif item.kind == "both":
            if len(group) != 2:
                raise UsageError("which two are both of them?", allowed="their numbers")
            named += group
    return tuple(dict.fromkeys(named))


def _require_there(
    named: Sequence[int], item: Item, clause: Sequence[Item], numbers: tuple[int, ...]
) -> None:
    strange = [number for number in named if number not in numbers]
    if not strange:
        return
    verdict = next((other for other in clause if other.kind in VERDICTS), None)
    of = "scrapped" if verdict is None else verdict.text
    example = f"{of} in {numbers[0]}" if "voids" in (verdict or item).kind else f"{numbers[0]} {of}"
    raise UsageError(
        f"there is no casting {strange[0]} in this load, which has {listed(numbers)}",
        allowed="the numbers on the pot card",
        try_=f"If {item.text} is how many there were, which ones? Such as: {example}."
        if len(named) == 1
        else "",
    )


def _unnamed(item: Item, group: tuple[int, ...], numbers: tuple[int, ...]) -> tuple[int, ...]:
    """The castings that a verdict without numbers is on."""
    if group:
        return group
    if item.kind in {"good", "no voids"}:
        return numbers
    raise UsageError(
        f'which castings are meant by "{item.text}"?',
        allowed=f"their numbers on the pot card, of {listed(numbers)}, or: all {item.text}",
    )


def _read_rest(clause: Sequence[Item], found: _Found, group: tuple[int, ...]) -> tuple[int, ...]:
    verdicts = [item.kind for item in clause if item.kind in VERDICTS]
    if len(verdicts) != 1 or any(item.kind == "numbers" for item in clause):
        raise UsageError("what about the rest?", allowed="rest good, or: rest open")
    if found.rest not in {None, verdicts[0]}:
        raise UsageError("the rest was spoken of twice: which holds?", allowed="once")
    found.rest = verdicts[0]
    return group


def _read_size(item: Item, found: _Found, of: tuple[int, ...]) -> None:
    if len(of) == 1:
        found.worst[of[0]] = max(item.value, found.worst.get(of[0], 0.0))
    elif found.size is None:
        found.size = item.value
    else:
        raise UsageError(f'in which casting was "{item.text}"?', allowed=f"{item.text} in 7")


def _read_place(item: Item, found: _Found, of: tuple[int, ...]) -> None:
    if not of:
        found.everywhere = "; ".join(filter(None, (found.everywhere, item.text)))
    for number in of:
        there = found.place.get(number, "")
        if item.text not in there.split("; "):
            found.place[number] = "; ".join(filter(None, (there, item.text)))


def _read_minutes(clause: Sequence[Item], found: _Found, named: tuple[int, ...]) -> None:
    told = [item.value for item in clause if item.kind == "minutes"]
    if not told:
        return
    minutes = sum(told)  # 1 h 10 min
    each = any(item.kind == "each" for item in clause)
    if named:
        for number in named:
            share = minutes if each else minutes / len(named)
            found.minutes[number] = found.minutes.get(number, 0.0) + share
    elif (found.each if each else found.total) is not None:
        raise UsageError(
            "the minutes were told twice: which count?",
            allowed="once for the load, or by casting, such as: 10 min on 3, 15 min on 7",
        )
    elif each:
        found.each = minutes
    else:
        found.total = minutes


def _settled(found: _Found, numbers: tuple[int, ...]) -> Said:
    """A result for each casting, and the minutes shared out."""
    _settle_rest(found, numbers)
    closed = [n for n in numbers if "open" not in found.verdicts.get(n, {"open"})]
    _require_closed(found, closed)
    outcomes = {number: _outcome(number, found.verdicts[number]) for number in closed}
    voids = {number: _voids(number, found) for number in closed}
    with_voids = [number for number in closed if voids[number]]
    _settle_size(found, with_voids)
    for number in closed:
        if not voids[number] and (number in found.worst or number in found.place):
            raise UsageError(
                f"did {number} have voids?", allowed=f"voids in {number}, or: no voids in {number}"
            )
    minutes = _shared(found, closed, outcomes, with_voids)
    return Said(
        drafts=tuple(
            ResultDraft(
                number=number,
                voids=voids[number],
                worst_mm=found.worst.get(number),
                place=found.place.get(number, found.everywhere if voids[number] else ""),
                rework_min=minutes.get(number, 0.0),
                outcome=outcomes[number],
            )
            for number in closed
        ),
        still_open=tuple(number for number in numbers if number not in closed),
        supposed=tuple(n for n in with_voids if "voids" not in found.verdicts[n]),
        minutes=sum(minutes.values()),
    )


def _require_closed(found: _Found, closed: Sequence[int]) -> None:
    """Nothing may be said of a casting that stays open."""
    said = {number for number, kinds in found.verdicts.items() if kinds - {"open"}}
    for number in sorted(said | found.worst.keys() | found.minutes.keys()):
        if number not in closed:
            raise UsageError(
                f"what was found on {number}?",
                allowed="a verdict, such as: good, repaired, scrapped",
            )


def _settle_rest(found: _Found, numbers: tuple[int, ...]) -> None:
    """Say of what was not spoken of that it is good, or leave it open."""
    rest = [number for number in numbers if number not in found.verdicts]
    if found.rest is not None:
        found.verdict(rest, found.rest)
    elif not found.named_good and any(kinds - {"open"} for kinds in found.verdicts.values()):
        found.verdict(rest, "good")


def _outcome(number: int, kinds: set[Kind]) -> Outcome:
    told = kinds & {"good", "repaired", "scrapped"}
    if len(told) > 1:
        verdicts = " or ".join(sorted(told))
        raise UsageError(f"was {number} {verdicts} in the end?", allowed="one of them")
    if "scrapped" in kinds:
        return "scrapped"
    mended = "good" not in kinds and kinds & {"repaired", "voids"}
    return "repaired" if mended else "good"


def _voids(number: int, found: _Found) -> bool:
    kinds = found.verdicts[number]
    if {"voids", "no voids"} <= kinds:
        raise UsageError(
            f"did {number} have voids or not?",
            allowed="voids count where they break the finished surface",
        )
    if "no voids" in kinds:
        return False
    return bool(kinds & {"voids", "repaired", "scrapped"})


def _settle_size(found: _Found, with_voids: Sequence[int]) -> None:
    if found.size is None:
        return
    if len(with_voids) != 1:
        raise UsageError(
            "in which casting was the worst void?",
            allowed="its number behind the size, such as: worst 3 mm in 7",
        )
    found.worst.setdefault(with_voids[0], found.size)


def _shared(
    found: _Found,
    closed: Sequence[int],
    outcomes: Mapping[int, Outcome],
    with_voids: Sequence[int],
) -> dict[int, float]:
    """Minutes of each casting: its own, and its share of what was told of the load."""
    repaired = [number for number in closed if outcomes[number] == "repaired"]
    takers = repaired or list(with_voids) or list(closed)
    minutes = dict(found.minutes)
    shares = dict.fromkeys(takers, found.each or 0.0)
    if found.total is not None:
        if not takers:
            raise UsageError("on which castings were the minutes spent?", allowed="their numbers")
        shares = {n: share + found.total / len(takers) for n, share in shares.items()}
    for number, share in shares.items():
        minutes[number] = minutes.get(number, 0.0) + share
    return {number: value for number, value in minutes.items() if number in closed}
