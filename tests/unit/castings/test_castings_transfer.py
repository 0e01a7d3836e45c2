"""CSV and JSON of the castings file: the same rows come back to the last bit, wrong ones none."""

from __future__ import annotations

import csv
import io
import json
import math
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from mouldgen.castings.columns import COLUMNS
from mouldgen.castings.drafts import LoadDraft, ResultDraft
from mouldgen.castings.records import Load
from mouldgen.castings.store import castings_file
from mouldgen.castings.transfer import from_csv, from_json, to_csv, to_json
from mouldgen.errors import CastingsError
from tests.castings_drafts import (
    NOON,
    as_loads,
    casting_draft,
    load_draft,
    loads_and_results,
    plain,
    result_draft,
)

Written = list[tuple[LoadDraft, tuple[ResultDraft, ...]]]


def write(path: Path, written: Written) -> None:
    with castings_file(path) as file:
        for draft, results in written:
            load = file.pour(draft)
            if results:
                file.result(load.id, results, noted_at=NOON)


@given(written=loads_and_results())
def test_text_comes_back_exactly(written: Written) -> None:
    loads = as_loads(written)

    assert plain(from_csv(to_csv(loads), name="x")) == plain(loads)
    assert plain(from_json(to_json(loads), name="x")) == plain(loads)


@given(written=loads_and_results())
@settings(max_examples=15)  # each makes three files and flushes them to the disk
def test_what_is_saved_of_a_file_is_the_same_in_another(written: Written) -> None:
    with tempfile.TemporaryDirectory() as folder:
        first = Path(folder) / "first.sqlite"
        write(first, written)
        with castings_file(first) as file:
            loads, as_csv, as_json = file.loads(), file.export_csv(), file.export_json()
        assert plain(loads) == plain(as_loads(written))
        for form, text in (("csv", as_csv), ("json", as_json)):
            with castings_file(Path(folder) / f"{form}.sqlite") as file:
                take: Callable[..., Any] = getattr(file, f"import_{form}")
                taken = take(text, name="there")
                assert taken.loads == tuple(load.id for load in loads)
                assert (taken.renumbered, taken.results, taken.there) == ((), 0, 0)
                assert plain(file.loads()) == plain(loads)
                assert getattr(file, f"export_{form}")() == text


@pytest.fixture
def loads(tmp_path: Path) -> tuple[Load, ...]:
    path = tmp_path / "first.sqlite"
    write(
        path,
        [
            (load_draft(1, 2, note='he said "hm",\r\nthen went on'), (result_draft(2),)),
            (load_draft(castings=(casting_draft(3, air_mm=math.inf),), number=2), ()),
        ],
    )
    with castings_file(path) as file:
        return file.loads()


def test_the_csv_has_a_heading_and_a_line_a_casting(loads: tuple[Load, ...]) -> None:
    heading, *rows = list(csv.reader(io.StringIO(to_csv(loads), newline="")))

    assert heading == [*COLUMNS, "version"]
    assert len(rows) == 3
    (second,) = (dict(zip(heading, row, strict=True)) for row in rows if row[9] == "2")
    assert second["voids"] == "yes"
    assert second["outcome"] == "repaired"
    assert second["note"] == 'he said "hm",\r\nthen went on'
    (third,) = (dict(zip(heading, row, strict=True)) for row in rows if row[9] == "3")
    assert (third["air_mm"], third["voids"], third["outcome"]) == ("", "", "")


def test_rows_saved_before_they_told_a_version_are_taken_in(loads: tuple[Load, ...]) -> None:
    rows = [row[:-1] for row in csv.reader(io.StringIO(to_csv(loads), newline=""))]
    out = io.StringIO()
    csv.writer(out).writerows(rows)

    assert rows[0] == list(COLUMNS)
    assert to_csv(from_csv(out.getvalue(), name="x.csv")) == to_csv(loads)


def edited(text: str, line: int, column: str, value: str | None) -> str:
    """The CSV with one cell changed, lines counted from 1 as records."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    rows[line - 1][COLUMNS.index(column)] = value or ""
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()


WRONG = [
    ("gap_mm", "0", '"0" cannot be used here. Allowed: a number above 0'),
    ("gap_mm", "1,2", '"1,2" cannot be used here'),
    ("gap_mm", "", "nothing cannot be used here"),
    ("gap_mm", "nan", '"nan" cannot be used here'),
    ("open_mm", "inf", '"inf" cannot be used here. Allowed: a number'),
    ("number", "1.0", "Allowed: a whole number from 1"),
    ("load_id", "0", "Allowed: a whole number from 1"),
    ("number", "99999999999999999999", "Allowed: a whole number from 1"),
    ("poured_at", "2026-11-20 12:00", "Allowed: a moment with its offset"),
    ("poured_at", "noon", "Allowed: a moment with its offset"),
    ("sequence", "top-up", "Allowed: resin-first, insert-first, bottom-feed"),
    ("outcome", "fine", "Allowed: good, repaired, scrapped"),
    ("voids", "maybe", "Allowed: yes or no"),
    ("job", "", "Allowed: a name"),
]


@pytest.mark.parametrize(("column", "value", "says"), WRONG)
def test_a_wrong_cell_is_told_with_its_line_and_column_and_nothing_is_taken_in(
    column: str, value: str, says: str, loads: tuple[Load, ...], tmp_path: Path
) -> None:
    line = 3 if column in {"voids", "outcome"} else 2
    text = edited(to_csv(loads), line, column, value)
    with castings_file(tmp_path / "other.sqlite") as file:
        with pytest.raises(CastingsError) as refused:
            file.import_csv(text, name="rows.csv")
        assert file.loads() == ()

    # The note of the first line is broken, so that the second begins on line 4 of the file.
    place = {2: "rows.csv line 2", 3: "rows.csv line 4"}[line]
    assert str(refused.value).startswith(f"{place}, column {column}: ")
    assert says in str(refused.value)
    assert not (tmp_path / "other.sqlite").exists()


@pytest.mark.parametrize(("column", "value", "says"), WRONG)
def test_a_wrong_value_in_json_is_told_with_its_place(
    column: str, value: str, says: str, loads: tuple[Load, ...]
) -> None:
    data = json.loads(to_json(loads))
    load, casting = data["loads"][0], data["loads"][0]["castings"][1]
    holder, path = next(
        (holder, path)
        for holder, path in (
            (load, "loads[0]"),
            (casting, "loads[0].castings[1]"),
            (casting["result"], "loads[0].castings[1].result"),
        )
        if column in holder
    )
    holder[column] = value
    with pytest.raises(CastingsError) as refused:
        from_json(json.dumps(data), name="rows.json")

    assert str(refused.value).startswith(f"rows.json {path}.{column}: ")
    assert says in str(refused.value)


@pytest.mark.parametrize("value", [True, None, [1], {"mm": 1}, "\ud800"])
def test_json_of_the_wrong_type_is_refused(value: object, loads: tuple[Load, ...]) -> None:
    data = json.loads(to_json(loads))
    data["loads"][0]["note"] = value
    with pytest.raises(CastingsError, match=r"^rows\.json loads\[0\]\.note: "):
        from_json(json.dumps(data), name="rows.json")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda _: "", "x.csv line 1: load_id, job, "),
        (lambda text: text.replace(",gap_mm,", ",gap,", 1), "x.csv line 1: gap_mm is missing"),
        (
            lambda text: text.replace(",gap_mm,", ",gap_mm,colour,", 1),
            'x.csv line 1: there is no column "colour"',
        ),
        (
            lambda text: text.replace(",gap_mm,", ",gap_mm,gap_mm,", 1),
            "x.csv line 1: a column is there twice",
        ),
        (lambda text: text.replace(",", ";"), "x.csv: its columns are divided by semicolons"),
        (lambda text: text + "1,2,3\r\n", "has 3 columns, and the heading has 29"),
        (lambda text: text + '"never closed', "cannot be read as CSV"),
        (lambda text: text + text.split("\r\n")[-2] + "\r\n", "casting 3 of load 2 is there twice"),
    ],
)
def test_a_file_that_is_no_table_of_castings_is_refused(
    change: Callable[[str], str], says: str, loads: tuple[Load, ...]
) -> None:
    with pytest.raises(CastingsError) as refused:
        from_csv(change(to_csv(loads)), name="x.csv")
    assert says in str(refused.value)


def test_lines_of_one_load_must_say_the_same_of_it(loads: tuple[Load, ...]) -> None:
    with pytest.raises(
        CastingsError, match=r"x\.csv line 4: says another job of load 1 than a line before"
    ):
        from_csv(edited(to_csv(loads), 3, "job", "knobs"), name="x.csv")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "x.json: is no JSON"),
        ("[" * 100_000, "x.json: is no JSON"),
        ("[]", "x.json format: is not what mouldgen log save writes"),
        ('{"format": 2, "loads": []}', "x.json format: is not what"),
        ('{"format": true, "loads": []}', "x.json format: is not what"),
        ('{"format": 1}', "x.json loads: is no list"),
        ('{"format": 1, "loads": [3]}', "x.json loads[0]: is no object"),
        ('{"format": 1, "loads": [{}]}', "x.json loads[0]: load_id, job, "),
    ],
)
def test_json_that_is_no_castings_file_is_refused(text: str, says: str) -> None:
    with pytest.raises(CastingsError) as refused:
        from_json(text, name="x.json")
    assert str(refused.value).startswith(says)


def test_a_spreadsheets_mark_of_utf_8_is_read_over(loads: tuple[Load, ...]) -> None:
    assert plain(from_csv("\ufeff" + to_csv(loads), name="x")) == plain(loads)


def test_columns_may_stand_in_any_order(loads: tuple[Load, ...]) -> None:
    rows = list(csv.reader(io.StringIO(to_csv(loads), newline="")))
    out = io.StringIO()
    csv.writer(out).writerows([row[::-1] for row in rows])

    assert plain(from_csv(out.getvalue(), name="x")) == plain(loads)


def test_rows_that_are_there_already_are_not_taken_in_twice(
    loads: tuple[Load, ...], tmp_path: Path
) -> None:
    with castings_file(tmp_path / "other.sqlite") as file:
        file.take(loads, name="a")
        again = file.take(loads, name="a")

        assert (again.loads, again.results, again.there) == ((), 0, 2)
        assert plain(file.loads()) == plain(loads)
        assert file.undo() == "what was taken in from a"
        assert file.loads() == ()


def test_a_load_whose_number_is_taken_gets_another_and_says_so(
    loads: tuple[Load, ...], tmp_path: Path
) -> None:
    with castings_file(tmp_path / "other.sqlite") as file:
        file.pour(load_draft(job="knobs"))
        taken = file.take(loads, name="a")

        assert taken.loads == (2, 3)
        assert taken.renumbered == ((1, 2), (2, 3))
        assert [(load.id, load.job) for load in file.loads()] == [
            (1, "knobs"), (2, "pegs"), (3, "pegs"),
        ]  # fmt: skip


def test_results_of_another_file_close_what_is_open_here(
    loads: tuple[Load, ...], tmp_path: Path
) -> None:
    with castings_file(tmp_path / "other.sqlite") as file:
        file.pour(load_draft(1, 2, note='he said "hm",\r\nthen went on'))
        taken = file.take(loads, name="a")

        assert (taken.loads, taken.results, taken.there) == ((2,), 1, 0)
        assert plain(file.loads()) == plain(loads)
        file.undo()
        assert [load.open for load in file.loads()] == [True]
        assert all(casting.result is None for casting in file.castings())


def test_two_files_that_say_different_things_of_a_load_are_told_and_nothing_changes(
    loads: tuple[Load, ...], tmp_path: Path
) -> None:
    with castings_file(tmp_path / "other.sqlite") as file:
        file.pour(load_draft(1, 2))
        file.result(1, [result_draft(2, outcome="scrapped")], noted_at=NOON)
        before = plain(file.loads())
        # The load of number 2 comes first in the order of the file and must not stay either.
        with pytest.raises(CastingsError, match=r"a: load 1 is load 1 here, and the two"):
            file.take(loads[::-1], name="a")

        assert plain(file.loads()) == before
