"""Loads and results to write into a castings file."""

from __future__ import annotations

import math
from datetime import UTC
from typing import Any

from hypothesis import strategies as st

from mouldgen.castings.columns import OUTCOMES, SEQUENCES
from mouldgen.castings.drafts import CastingDraft, LoadDraft, ResultDraft
from mouldgen.castings.records import Casting, Load, Result
from mouldgen.castings.tables import casting_row, loads_of, result_row

NOON = "2026-11-20T12:00:00+01:00"


def casting_draft(number: int = 1, **changes: Any) -> CastingDraft:
    """One peg as it was poured."""
    facts: dict[str, Any] = {
        "number": number,
        "fingerprint": "cbb7fa85",
        "mould_id": "BP-MM",
        "gap_mm": 0.88,
        "open_mm": 0.46,
        "air_mm": 0.458,
        "resin": "casting-epoxy-slow",
        "wood": "white ash",
        "shop_c": 21.0,
        "pressure_kpa": 344.7,
        "close_min": 14.0,
        "sequence": "resin-first",
        "pours": 1,
    }
    return CastingDraft(**{**facts, **changes})


def load_draft(*numbers: int, **changes: Any) -> LoadDraft:
    """A load of pegs with these numbers."""
    facts: dict[str, Any] = {
        "job": "pegs",
        "number": 1,
        "poured_at": NOON,
        "castings": tuple(casting_draft(number) for number in numbers or (1,)),
    }
    return LoadDraft(**{**facts, **changes})


def result_draft(number: int = 1, **changes: Any) -> ResultDraft:
    """A void that was repaired."""
    facts: dict[str, Any] = {
        "number": number,
        "voids": True,
        "worst_mm": 3.0,
        "place": "at the top",
        "rework_min": 10.0,
        "outcome": "repaired",
    }
    return ResultDraft(**{**facts, **changes})


def plain(value: Any) -> Any:
    """A record as a value that can be compared, with everything in it."""
    if isinstance(value, (Load, Casting, Result)):
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, tuple):
        return [plain(each) for each in value]
    return value


# Anything that a text of a row can hold: half characters, which nothing can store, are left out.
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
ABOVE = st.floats(min_value=0, exclude_min=True, allow_infinity=False)
MOMENTS = st.datetimes(timezones=st.timezones() | st.sampled_from([UTC])).map(
    lambda moment: moment.isoformat()
)


@st.composite
def loads_and_results(draw: st.DrawFn) -> list[tuple[LoadDraft, tuple[ResultDraft, ...]]]:
    """Some loads, each with results for some of its castings."""
    number = st.integers(1, 2**63 - 1)
    found = []
    for _ in range(draw(st.integers(0, 3))):
        castings = tuple(
            CastingDraft(
                number=each,
                fingerprint=draw(TEXTS),
                mould_id=draw(TEXTS),
                gap_mm=draw(ABOVE),
                open_mm=draw(st.floats(allow_nan=False, allow_infinity=False)),
                air_mm=draw(ABOVE | st.just(math.inf)),
                resin=draw(TEXTS),
                wood=draw(TEXTS),
                shop_c=draw(st.floats(allow_nan=False, allow_infinity=False)),
                pressure_kpa=draw(st.floats(min_value=0, allow_infinity=False)),
                close_min=draw(ABOVE),
                sequence=draw(st.sampled_from(SEQUENCES)),
                pours=draw(st.integers(1, 4)),
            )
            for each in sorted(draw(st.sets(number, min_size=1, max_size=4)))
        )
        load = LoadDraft(
            job=draw(TEXTS.filter(bool)),
            number=draw(number),
            poured_at=draw(MOMENTS),
            castings=castings,
            note=draw(TEXTS),
            mixed_g=draw(st.none() | ABOVE),
            left_g=draw(st.none() | st.floats(min_value=0, allow_infinity=False)),
        )
        results = tuple(
            ResultDraft(
                number=casting.number,
                voids=draw(st.booleans()),
                worst_mm=draw(st.none() | ABOVE),
                place=draw(TEXTS),
                rework_min=draw(st.floats(min_value=0, allow_infinity=False)),
                outcome=draw(st.sampled_from(OUTCOMES)),  # type: ignore[arg-type]
            )
            for casting in castings
            if draw(st.booleans())
        )
        found.append((load, results))
    return found


def as_loads(written: list[tuple[LoadDraft, tuple[ResultDraft, ...]]]) -> tuple[Load, ...]:
    """The loads that a file would have of these drafts, without one."""
    loads, castings, results = [], [], []
    casting_id = 0
    for load_id, (draft, found) in enumerate(written, 1):
        names = ("job", "number", "poured_at", "note", "mixed_g", "left_g")
        own = {name: getattr(draft, name) for name in names}
        loads.append({**own, "id": load_id, "poured": 1})
        of = {result.number: result for result in found}
        for casting in draft.castings:
            casting_id += 1
            castings.append({**casting_row(casting, load_id=load_id), "id": casting_id})
            if casting.number in of:
                result = of[casting.number]
                results.append(result_row(result, casting_id=casting_id, noted_at=NOON))
    return loads_of(loads, castings, results)
