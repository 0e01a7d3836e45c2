"""`mouldgen catalogue`: words, table, JSON and every exit code."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from mouldgen.catalogue import crew, seat
from mouldgen.catalogue.crew import Done
from mouldgen.catalogue.work import Bench, Task, make_row
from mouldgen.cli import catalogue
from tests.castings_seeds import TIGHT_AND_WIDE, seed
from tests.catalogue_works import at_once
from tests.cli_runs import Run, mouldgen

PEGS = "boathouse-pegs"


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def canned(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows that take no time, without any worker."""
    monkeypatch.setattr(crew, "with_crew", lambda tasks, bench, **_: at_once(tasks, bench))


@pytest.fixture
def here_and_now(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows that are made in this process."""

    def made(tasks: Iterable[Task], bench: Bench, **_: object) -> Iterator[Done]:
        for task in tasks:
            yield task, make_row(bench, task)

    monkeypatch.setattr(crew, "with_crew", made)


def run(text: str, *words: str) -> Run:
    Path("sizes.csv").write_text(text, encoding="utf-8")
    return mouldgen("catalogue", PEGS, "sizes.csv", *words)


def test_it_says_what_became_of_each_and_where_the_files_are(here_and_now: None) -> None:
    told = run("name,insert.diameter,mould.gap\nsmall,28 mm,\nnarrow,,0.1 mm\nodd,x mm,\n")

    assert told.code == 0
    assert told.err == ""
    assert told.words.startswith(
        f"{PEGS}: 3 variants, 1 ready, 1 to be fixed first or without a gap, 1 not made."
        " not made odd: sizes.csv line 4 [insert] diameter: "
    )
    heading = "variant insert.diameter mould.gap gap mm set by net ml resin g beds must fix"
    assert heading in told.words
    assert f"Files out/{PEGS}-catalogue/ catalogue.csv report.json rows.jsonl" in told.words
    quiet = mouldgen("catalogue", PEGS, "sizes.csv", "--quiet")
    assert "Files" not in quiet.out
    assert "2 of them an earlier run had made." in quiet.words


def test_json_is_the_report_and_the_files(canned: None) -> None:
    told = run("order.pieces\n3\n4\n", "--json")
    report = json.loads(Path(f"out/{PEGS}-catalogue/report.json").read_text(encoding="utf-8"))

    files = ["catalogue.csv", "report.json", "rows.jsonl"]
    assert told.json == {**report, "kept": 0, "files": files}
    assert run("order.pieces\n3\n4\n", "--json").json["kept"] == 2
    assert run("order.pieces\n3\n4\n", "--json", "--again").json["kept"] == 0


def test_settings_go_before_the_job_and_the_table_before_them(canned: None) -> None:
    asked = ("--set", "name=other", "--set", "order.pieces=7")
    told = mouldgen("catalogue", PEGS, "--grid", "order.pieces=3,4", "--json", *asked)

    assert told.json["job"] == "other"
    assert [row["name"] for row in told.json["rows"]] == ["other-1", "other-2"]
    assert [row["settings"] for row in told.json["rows"]] == [
        {"order.pieces": "3"},
        {"order.pieces": "4"},
    ]


def test_castings_are_learned_from_as_a_build_does(here_and_now: None) -> None:
    seed(Path("log.sqlite"), TIGHT_AND_WIDE)
    for words in (("--castings", "log.sqlite"), ("--no-castings",)):
        row = run("name,order.pieces\npegs,12\n", "--json", *words).json["rows"][0]
        sets = ("--set", "name=pegs", "--set", "order.pieces=12")
        built = mouldgen("build", PEGS, "--json", *sets, *words).json
        assert row["fingerprint"] == built["fingerprint"]
        assert row["gap_mm"] == built["gap"]["gap_mm"]


def test_a_castings_file_that_cannot_be_used_is_told_once(canned: None) -> None:
    Path("castings.sqlite").write_text("no database")
    told = run("order.pieces\n3\n4\n")

    assert told.code == 0
    assert told.err.count("No castings are reckoned with") == 1


def test_none_ready_is_no(here_and_now: None) -> None:
    assert run("mould.gap\n0.1 mm\n").code == 1
    assert run("resin.card\ntreacle\n").code == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "a catalogue needs its variants, once."),
        (("sizes.csv", "--grid", "order.pieces=1"), "a catalogue needs its variants, once."),
        (("none.csv",), "none.csv: there is no such file."),
        (("--grid", "order.peices=1"), "--grid [order] peices: there is no key peices"),
        (("sizes.csv", "--workers", "0"), "Invalid value for '--workers'"),
        (("sizes.csv", "--workers", "2", "--scheduler", "x"), "--workers and --scheduler do not"),
        (("sizes.csv", "--limit", "soon"), "--limit: "),
        (("sizes.csv", "--limit", "0 s"), "--limit: "),
        (("sizes.csv", "--castings", "none.sqlite"), "none.sqlite: there is no such castings"),
        (("sizes.csv", "--set", "order.peices=1"), "--set [order] peices: there is no key"),
    ],
)
def test_what_cannot_be_used_is_refused_before_any_work(words: tuple[str, ...], says: str) -> None:
    Path("sizes.csv").write_text("order.pieces\n3\n", encoding="utf-8")
    refused = mouldgen("catalogue", PEGS, *words)

    assert (refused.code, refused.out) == (2, "")
    assert refused.err.startswith(says)
    assert not Path("out").exists()


def test_a_folder_that_cannot_be_written_is_the_surroundings(canned: None) -> None:
    Path("out").write_text("a file")
    refused = run("order.pieces\n3\n")

    assert refused.code == 3
    assert refused.err.startswith("out")


def test_long_lists_are_cut_short_on_the_terminal(canned: None) -> None:
    numbers = "".join(f"{n},\n" for n in range(1, 31))
    told = run("order.pieces,resin.card\n" + numbers + ",treacle\n" * 12)

    assert told.out.count("not made ") == catalogue.MOST_FAILED + 1
    assert "2 more are in the table." in told.words
    assert "17 more rows are in the table." in told.words


def test_a_person_who_watches_is_told_how_far_it_is(
    canned: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(catalogue, "TOLD_EACH_S", 0.0)
    monkeypatch.setattr(catalogue, "tell", told.append)
    watch = catalogue._Watch(quiet=False)
    watch._silent = False

    class Progress:
        rows = dict.fromkeys("abc", type("Row", (), {"error": ""}))
        kept, variants = 1, 10

    watch(Progress())  # type: ignore[arg-type]
    assert told == ["3 of 10, about 0 s left …"]
    assert [catalogue._while(s) for s in (89.0, 120.0, 7200.0)] == ["89 s", "2 min", "2.0 h"]


def test_the_limits_are_as_documented() -> None:
    page = (Path(__file__).parents[3] / "docs" / "catalogue.md").read_text(encoding="utf-8")

    assert f"{crew.LIMIT_S:g} s" in page
    assert f"{seat.MOST_BYTES // 2**30} GB" in page
    assert "100 000" in page
