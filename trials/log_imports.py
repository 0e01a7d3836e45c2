"""Rows of castings taken in, and results as makers say them.

A third are files that `mouldgen log save` wrote, spoilt or not: all of one is taken in, or nothing
and a sentence, and what is taken in is written out again the same.  A third are sentences whose
meaning is known; they are read as meant.  The others are words in any order.
"""

from __future__ import annotations

import csv
import io
import json
import random
import sys
import tempfile
from pathlib import Path
from typing import Any

from mouldgen.castings.drafts import CastingDraft, LoadDraft, ResultDraft
from mouldgen.castings.said import Said, read_result
from mouldgen.castings.store import CastingsFile, castings_file
from mouldgen.errors import CastingsError, UsageError
from trials import tally
from trials.claims import must, said
from trials.job_texts import BYTES

NOON = "2026-11-20T12:00:00+01:00"
CELLS = (
    "", "0", "-1", "1", "1.5", "nan", "inf", "-inf", "1e400", "5e-324", "9" * 30, "9" * 5000,
    "true", "false", "yes", "None", "good", "scrapped", "resin-first", "2026-13-40", "2026-11-20",
    "2026-11-20T12:00:00+01:00", "0001-01-01T00:00:00+23:59", "9999-12-31T23:59:59-23:59", "12:00",
    "\u0663", "\u00bd", "a" * 3000, '"', "=1+1", "\x00", "\x1b[31m", "\u202e", "1,5", "\U0001f600",
)  # fmt: skip
VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1.5, 1e308, 10**30, 10**400, [], {}, [1], "", "x", "\ud800", "nan",
)  # fmt: skip
USUAL = (
    "voids in 3", "3", "7", "and", ",", ";", "scrapped", "repaired", "good", "all", "rest good",
    "25 min", "1 h", "worst", "3 mm", "1/8 in", "at the top", "in", "1-4", "no voids in",
)  # fmt: skip
WORDS = (
    *USUAL, "void", ".", "rest", "4-1", "1-99999", "0", "1/0 in", "5 in", "near the foot", "no",
    "not", "none", "both", "each", "later", "except", "half", "bad", "but", "of", "10 of 12",
    "no. 3", "#7", "\u00bd", "mm", "in in in", "\u0663", "\x00", "(", ")", "minutes", "3.5", "-",
    "to", "9" * 40, "3-", "\U0001faba", "left as it is", "?", "3/7", "e", "\n",
)  # fmt: skip


def case(seed: int) -> str:
    """One file, or one sentence."""
    rng = random.Random(seed)
    way = rng.randrange(3)
    if way == 0:
        return _file(rng)
    return _meant(rng) if way == 1 else _anything(rng)


# --------------------------------------------------------------------------------------- files


def _file(rng: random.Random) -> str:
    with tempfile.TemporaryDirectory() as folder:
        there = Path(folder) / "there.sqlite"
        with castings_file(there) as file:
            for _ in range(rng.randint(1, 3)):
                _pour(rng, file)
            as_csv = rng.random() < 0.5
            before = file.export_csv() if as_csv else file.export_json()
        spoilt = _spoilt_csv(rng, before) if as_csv else _spoilt_json(rng, before)
        here = Path(folder) / "here.sqlite"
        with castings_file(here) as file:
            if rng.random() < 0.5:  # it has loads of its own, or the very same
                _take(file, before, as_csv=as_csv) if rng.random() < 0.5 else _pour(rng, file)
            return _taken(file, spoilt, as_csv=as_csv, whole=spoilt == before)


def _taken(file: CastingsFile, text: str, *, as_csv: bool, whole: bool) -> str:
    """Take a text in; all of it or nothing."""
    before = file.export_json()
    try:
        taken = _take(file, text, as_csv=as_csv)
    except CastingsError as problem:
        said(str(problem))
        must(not whole, f"what was written is refused: {problem}")
        must(file.export_json() == before, "was refused and changed the file")
        return "refused"
    after = file.export_json()
    if not (taken.loads or taken.results):
        must(after == before, "nothing was taken in, and the file changed")
        return "was there already"
    _same_again(file)
    file.undo()
    must(file.export_json() == before, "taken back, and not as it was")
    return "taken in"


def _take(file: CastingsFile, text: str, *, as_csv: bool) -> Any:
    name = "shop.csv" if as_csv else "shop.json"
    return file.import_csv(text, name=name) if as_csv else file.import_json(text, name=name)


def _same_again(file: CastingsFile) -> None:
    """What a file writes out is the same in a file that takes it in."""
    with tempfile.TemporaryDirectory() as folder:
        for as_csv in (True, False):
            text = file.export_csv() if as_csv else file.export_json()
            with castings_file(Path(folder) / f"{as_csv}.sqlite") as other:
                _take(other, text, as_csv=as_csv)
                again = other.export_csv() if as_csv else other.export_json()
            must(again == text, "written out, taken in, and written out otherwise")


def _pour(rng: random.Random, file: CastingsFile) -> None:
    """One load, and results for some of it."""
    numbers = sorted(rng.sample(range(1, 30), rng.randint(1, 4)))
    load = file.pour(
        LoadDraft(
            job=rng.choice(("pegs", "knobs", "a b", "\u00e9t\u00e9")),
            number=rng.randint(1, 9),
            # Two loads of a job are told apart by their moment.
            poured_at=f"20{rng.randint(10, 99)}-11-20T12:{rng.randint(10, 59)}:00+01:00",
            castings=tuple(_casting(rng, number) for number in numbers),
            note=rng.choice(("", "cold shop", 'a "note", with\nlines', "=1+1")),
            mixed_g=rng.choice((None, 120.5)),
            left_g=rng.choice((None, 0.0, 3.25)),
        )
    )
    some = [number for number in numbers if rng.random() < 0.6]
    if some:
        file.result(load.id, [_result(rng, number) for number in some], noted_at=NOON)


def _casting(rng: random.Random, number: int) -> CastingDraft:
    return CastingDraft(
        number=number,
        fingerprint="cbb7fa85",
        mould_id=rng.choice(("", "BP-MM")),
        gap_mm=rng.uniform(0.3, 5.0),
        open_mm=rng.uniform(-1.0, 5.0),
        air_mm=rng.choice((0.458, float("inf"))),
        resin="casting-epoxy-slow",
        wood="white ash",
        shop_c=21.0,
        pressure_kpa=rng.choice((0.0, 344.7)),
        close_min=14.0,
        sequence="resin-first",
        pours=rng.randint(1, 4),
    )


def _result(rng: random.Random, number: int) -> ResultDraft:
    voids = rng.random() < 0.5
    return ResultDraft(
        number=number,
        voids=voids,
        worst_mm=rng.choice((None, 3.0)) if voids else None,
        place="at the top" if voids else "",
        rework_min=rng.choice((0.0, 12.5)),
        outcome=rng.choice(("repaired", "scrapped")) if voids else "good",
    )


def _spoilt_csv(rng: random.Random, text: str) -> str:
    way = rng.randrange(6)
    if way == 0:
        return text
    if way == 1:
        return _spoilt_bytes(rng, text)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    for _ in range(rng.choice((1, 1, 2, 4))):
        at = rng.randrange(len(rows))
        if way == 2 and rows[at]:
            rows[at][rng.randrange(len(rows[at]))] = rng.choice(CELLS)
        elif way == 3:
            other = rng.randrange(len(rows))
            rows[at], rows[other] = rows[other], list(rows[at])
        elif way == 4:
            order = list(range(len(rows[0])))
            rng.shuffle(order)
            rows = [[row[k] for k in order] if len(row) == len(order) else row for row in rows]
        elif rows[at]:
            rng.choice((rows[at].pop, lambda row=rows[at]: row.append("x")))()
    out = io.StringIO()
    csv.writer(out, delimiter=rng.choice(",,,,,;\t")).writerows(rows)
    return rng.choice(("", "", "\ufeff")) + out.getvalue()


def _spoilt_json(rng: random.Random, text: str) -> str:
    way = rng.randrange(5)
    if way == 0:
        return text
    if way == 1:
        return _spoilt_bytes(rng, text)
    if way == 2:
        return rng.choice(("[" * 100_000, '{"format": 1, "loads": ' + "[" * 3000, "", "null", "1"))
    data = json.loads(text)
    for _ in range(rng.choice((1, 1, 2, 4))):
        _change(rng, data)
    return json.dumps(data)


def _change(rng: random.Random, data: Any) -> None:
    """Another value at some place, a key less, or one more."""
    at = data
    while True:
        keys = list(at) if isinstance(at, dict) else list(range(len(at)))
        if not keys:
            return
        key = rng.choice(keys)
        inside = at[key]
        if isinstance(inside, dict | list) and inside and rng.random() < 0.85:
            at = inside
            continue
        way = rng.randrange(4)
        if way == 0:
            del at[key]
        elif way == 1 and isinstance(at, dict):
            at["more"] = 1
        elif way == 2 and isinstance(at, list):
            at.append(at[key])
        else:
            at[key] = rng.choice(VALUES)
        return


def _spoilt_bytes(rng: random.Random, text: str) -> str:
    content = text.encode()
    for _ in range(rng.choice((1, 1, 3))):
        at = rng.randint(0, len(content))
        to = at + rng.choice((0, 1, 1, 30))
        content = content[:at] + rng.choice((b"", *BYTES)) + content[to:]
    if rng.random() < 0.2:
        content = content[: rng.randint(0, len(content))]
    return content.decode(errors="replace")


# ------------------------------------------------------------------------------------ sentences


def _meant(rng: random.Random) -> str:
    """A sentence that says something of each casting, and that it is read so."""
    numbers = sorted(rng.sample(range(1, 41), rng.randint(1, 12)))
    lot = rng.sample(numbers, rng.randint(0, len(numbers)))
    voids = sorted(lot)
    scrapped = sorted(number for number in voids if rng.random() < 0.3)
    minutes = rng.choice((0, 0, 5, 25))
    parts = []
    if voids:
        told = _listed(rng, voids)
        parts.append(rng.choice((f"voids in {told}", f"{told} had voids", f"{told}: voids")))
    if scrapped:
        told = _listed(rng, scrapped)
        parts.append(rng.choice((f"{told} scrapped", f"scrapped {told}", f"{told} were scrapped")))
    if not voids:
        parts.append(rng.choice(("all good", "everything is fine")))
    elif len(voids) < len(numbers) and rng.random() < 0.5:
        parts.append(rng.choice(("rest good", "the others are fine")))
    mended = len(voids) > len(scrapped)
    if minutes and mended:
        parts.append(f"{minutes} min")
    found = read_result(rng.choice(("; ", ". ", ";")).join(parts), numbers)
    all_of_it = (found, parts, numbers)
    must([d.number for d in found.drafts] == numbers, all_of_it)
    must([d.number for d in found.drafts if d.voids] == voids, all_of_it)
    must([d.number for d in found.drafts if d.outcome == "scrapped"] == scrapped, all_of_it)
    must(abs(found.minutes - (minutes if mended else 0)) < 1e-9, all_of_it)
    return "read as meant"


def _listed(rng: random.Random, numbers: list[int]) -> str:
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1 and rng.random() < 0.7:
        return f"{numbers[0]}{rng.choice(('-', ' to ', ' - '))}{numbers[-1]}"
    if len(numbers) == 1:
        return str(numbers[0])
    head = rng.choice((", ", ",")).join(map(str, numbers[:-1]))
    return f"{head}{rng.choice((' and ', ' & ', ', '))}{numbers[-1]}"


def _anything(rng: random.Random) -> str:
    numbers = sorted(rng.sample(range(1, 13), rng.randint(1, 8)))
    words = [rng.choice(WORDS) for _ in range(rng.randint(0, 10))]
    if rng.random() < 0.6:
        words = [rng.choice(USUAL) for _ in range(rng.randint(1, 5))]
    text = rng.choice((" ", " ", "")).join(words)
    if rng.random() < 0.1:
        text = "".join(chr(rng.randrange(1, 0x3000)) for _ in range(rng.randint(0, 60)))
    if rng.random() < 0.01:
        text *= 1000
    try:
        found = read_result(text, numbers)
    except UsageError as problem:
        said(str(problem))
        return "asked back"
    _whole(found, numbers)
    return "understood"


def _whole(found: Said, numbers: list[int]) -> None:
    """Each casting has one result or is open, and none says what cannot be."""
    spoken = [draft.number for draft in found.drafts]
    must(sorted([*spoken, *found.still_open]) == numbers, found)
    must(set(found.supposed) <= set(spoken), found)
    for draft in found.drafts:
        must(0.0 <= draft.rework_min < 1e9, draft)
        must(draft.worst_mm is None or 0.0 < draft.worst_mm < 1e6, draft)
        must(draft.voids or draft.worst_mm is None, draft)
        must(draft.place.isprintable(), repr(draft.place))


if __name__ == "__main__":
    sys.exit(
        tally.main(
            "log-imports",
            case,
            about="Rows of castings taken in, and spoken results.",
            count=50_000,
        )
    )
