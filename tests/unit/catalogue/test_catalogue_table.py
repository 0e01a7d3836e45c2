"""Tables and grids of variants: what is read, and what is refused before any work."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.table import read_table, table_of
from mouldgen.catalogue.variant import MOST, as_told, named
from mouldgen.errors import InputError, JobError, SurroundingsError

PLAIN = "name,insert.diameter,order.pieces\nsmall,22 mm,12\n,7/8 in,\nbig,,30\n"


def test_a_table_is_read_cell_by_cell() -> None:
    small, middle, big = table_of(PLAIN, label="sizes.csv")

    assert small.values == {"insert": {"diameter": "22 mm"}, "order": {"pieces": 12}}
    assert small.settings == (("insert.diameter", "22 mm"), ("order.pieces", "12"))
    assert middle.values == {"insert": {"diameter": "7/8 in"}}
    assert big.values == {"order": {"pieces": 30}}
    assert [each.where for each in (small, middle, big)] == [
        f"sizes.csv line {n}" for n in (2, 3, 4)
    ]
    assert list(named([small, middle, big], job="pegs")) == ["small", "pegs-2", "big"]


@pytest.mark.parametrize("between", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\N{ZERO WIDTH NO-BREAK SPACE}"])
def test_what_spreadsheets_write_is_the_same_table(
    tmp_path: Path, between: str, end: str, mark: str
) -> None:
    text = mark + PLAIN.replace(",", between).replace("\n", end) + between * 2 + end
    path = tmp_path / "sizes.csv"
    path.write_bytes(text.encode())

    assert [v.values for v in read_table(path)] == [v.values for v in table_of(PLAIN, label="")]


def test_cells_are_what_a_person_types_for_the_key() -> None:
    text = (
        "insert.measured,order.yield,order.customers_wood,order.due,resin.card\n"
        '"29.7, 30.1 mm",92 %,yes,2026-12-18,casting-epoxy-slow\n'
    )
    (only,) = table_of(text, label="t.csv")

    assert only.values["insert"] == {"measured": ["29.7 mm", "30.1 mm"]}
    assert only.values["order"]["yield"] == 0.92
    assert only.values["order"]["customers_wood"] is True
    assert only.values["order"]["due"].isoformat() == "2026-12-18"
    assert only.values["resin"] == {"card": "casting-epoxy-slow"}


def test_a_line_number_is_that_of_the_file_also_below_a_cell_of_two_lines() -> None:
    text = 'name,order.pieces\n\na,"1\n2"\nb,x,y\n'
    with pytest.raises(
        InputError, match=r't.csv line 5 column 3: the cell "y" stands under no key'
    ):
        table_of(text, label="t.csv")


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("", InputError, "t.csv line 1: the first line names no key"),
        ("name\nsmall\n", InputError, "t.csv line 1: the first line names no key"),
        ("insert.diameter\n", InputError, "t.csv: there is no variant"),
        ("diameter\n22 mm\n", InputError, 'line 1 column 1: "diameter" is not the name of a key'),
        ("insert.diameter.x\n1\n", InputError, "is not the name of a key"),
        ("name,insert.diametre\na,1\n", JobError,
         r"t.csv line 1 column 2 \[insert\] diametre: there is no key .* Did you mean diameter\?"),
        ("inserts.diameter\n1\n", JobError, r"line 1 column 1: there is no table \[inserts\]"),
        ("colour.name\nred\n", InputError, "colour cannot be set key by key"),
        ("order.pieces,order.pieces\n1,2\n", InputError,
         "t.csv line 1 column 2: there are two columns order.pieces"),
        ("name,order.pieces\na\n", InputError, "t.csv line 2: there are 1 cells under 2 columns"),
        ("order.pieces\n1,2\n", InputError, 'line 2 column 2: the cell "2" stands under no key'),
        ('order.pieces\n"1\n', InputError, "t.csv line 2: cannot be read as a table"),
    ],
)  # fmt: skip
def test_a_table_that_is_none_is_refused_with_its_place(
    text: str, kind: type[Exception], says: str
) -> None:
    with pytest.raises(kind, match=says):
        table_of(text, label="t.csv")


def test_names_are_those_that_folders_can_have_and_each_is_there_once() -> None:
    def names(*given: str) -> dict[str, object]:
        text = "name,order.pieces\n" + "".join(f"{name},1\n" for name in given)
        return dict(named(table_of(text, label="t.csv"), job="pegs"))

    assert list(names("a", "b-2")) == ["a", "b-2"]
    with pytest.raises(InputError, match=r't.csv line 3 name: the name "a" is there twice.*line 2'):
        names("a", "a")
    with pytest.raises(InputError, match=r"line 3 name: .*pegs-2.* is there twice"):
        names("pegs-2", "")
    for bad in ("Big", "a b", "../x", "con", "x" * 49):
        with pytest.raises(InputError, match=r"line 2 name: .* cannot be the name of a variant"):
            names(bad)


def test_a_job_of_a_long_name_asks_for_names() -> None:
    with pytest.raises(InputError, match="Give names of your own"):
        named(table_of("order.pieces\n1\n", label="t.csv"), job="x" * 47)


def test_more_variants_than_are_allowed_are_counted_and_refused() -> None:
    most = "order.pieces\n" + "1\n" * MOST
    assert len(table_of(most, label="t.csv")) == MOST
    with pytest.raises(
        InputError, match=r"t.csv: there are 100,003 variants. Allowed: at most 100,000"
    ):
        table_of(most + "1\n" * 3, label="t.csv")
    axis = ",".join(map(str, range(1, 48)))
    with pytest.raises(InputError, match="--grid: there are 103,823 variants"):
        grid_of([f"{key}={axis}" for key in ("order.pieces", "insert.flutes", "pour.layers")])


def test_files_that_cannot_be_read_are_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none.csv: there is no such file"):
        read_table(tmp_path / "none.csv")
    with pytest.raises(InputError, match="is a folder"):
        read_table(tmp_path)
    latin = tmp_path / "latin.csv"
    latin.write_bytes("insert.wood\nhêtre\n".encode("cp1252"))
    with pytest.raises(InputError, match=r"is no text in UTF-8. Save it as CSV in UTF-8."):
        read_table(latin)
    with pytest.raises(InputError, match="there is no such file"):
        read_table(Path("x\0"))


def test_a_file_that_the_system_refuses_to_read_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "sizes.csv"
    path.write_text(PLAIN)
    monkeypatch.setattr(Path, "read_bytes", refused)
    with pytest.raises(SurroundingsError, match=r"cannot be read \(Permission denied\)"):
        read_table(path)


def test_a_grid_is_the_product_with_the_last_key_fastest() -> None:
    found = grid_of(["insert.diameter=20, 7/8 in,24 mm", "pour.sequence=insert-first,resin-first"])

    assert [tuple(text for _, text in each.settings) for each in found] == [
        (size, way)
        for size in ("20 in", "7/8 in", "24 mm")
        for way in ("insert-first", "resin-first")
    ]
    assert found[-1].values == {
        "insert": {"diameter": "24 mm"},
        "pour": {"sequence": "resin-first"},
    }


def test_the_axes_of_a_grid_take_numbers_words_and_lists() -> None:
    (only,) = grid_of(
        ["order.pieces=12", "order.customers_wood=yes", "insert.measured=29 mm, 30 mm"]
    )

    assert only.values["order"] == {"pieces": 12, "customers_wood": True}
    assert only.values["insert"] == {"measured": ["29 mm", "30 mm"]}
    assert dict(only.settings)["insert.measured"] == "29 mm, 30 mm"


@pytest.mark.parametrize(
    ("axes", "kind", "says"),
    [
        (["order.pieces"], InputError, '"order.pieces" is no row of values'),
        (["order.pieces="], InputError, "is no row of values"),
        (["order.pieces=,"], InputError, "--grid order.pieces: .* is no row of values"),
        (["pieces=1,2"], InputError, '"pieces" is not the name of a key'),
        (["order.peices=1"], JobError, "Did you mean pieces"),
        (["order.pieces=1", "order.pieces=2"], InputError, "order.pieces is there twice"),
        (["order.pieces=1,2,1"], InputError, '--grid order.pieces: the value "1" is there twice'),
    ],
)
def test_a_grid_that_is_none_is_refused(axes: list[str], kind: type[Exception], says: str) -> None:
    with pytest.raises(kind, match=says):
        grid_of(axes)


@given(st.lists(st.tuples(st.integers(1, 99), st.text("abc, ;\"'é\n", min_size=1)), min_size=1))
def test_any_cells_that_csv_can_hold_come_back(rows: list[tuple[int, str]]) -> None:
    out = io.StringIO()
    csv.writer(out).writerows([("order.pieces", "resin.title"), *rows])
    found = table_of(out.getvalue(), label="t.csv")

    assert [each.values["order"]["pieces"] for each in found] == [pieces for pieces, _ in rows]
    titles = [dict(each.settings).get("resin.title", "") for each in found]
    assert titles == [text.strip() for _, text in rows]


def test_values_are_told_as_they_are_typed() -> None:
    assert as_told([["0 mm", "11 mm"], ["20 mm", "12 mm"]]) == "0 mm, 11 mm; 20 mm, 12 mm"
    assert as_told(False) == "no"


@pytest.mark.parametrize(
    ("axis", "values"),
    [
        ("insert.diameter=29,30 mm", ["29 mm", "30 mm"]),
        ("insert.diameter=29, 30 mm", ["29 mm", "30 mm"]),
        ("insert.diameter=7/8, 1 1/8 in", ["7/8 in", "1 1/8 in"]),
        ("pour.shop=18 C,70 F", ["18 C", "70 F"]),
        ("order.pieces=6,12", ["6", "12"]),
        ("order.yield=0.9,95 %", ["0.9", "0.95"]),
        ("resin.card=a,b-2", ["a", "b-2"]),
        ("order.due=2026-12-18,2027-01-05", ["2026-12-18", "2027-01-05"]),
        ("insert.measured=29 mm, 30 mm; 31 mm, 32 mm", ["29 mm, 30 mm", "31 mm, 32 mm"]),
    ],
)
def test_a_comma_stands_between_two_values_of_an_axis(axis: str, values: list[str]) -> None:
    assert [text for each in grid_of([axis]) for _, text in each.settings] == values
