"""A catalogue from end to end: its rows are those of a build, and a rerun makes what is missing."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.catalogue.base import Base, base_of
from mouldgen.catalogue.crew import Done, with_crew
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.journal import FILE, Journal
from mouldgen.catalogue.row import FIGURES, Row, row_data, row_from, row_of
from mouldgen.catalogue.run import Hands, make_catalogue
from mouldgen.catalogue.table import table_of
from mouldgen.catalogue.variant import Variant, named
from mouldgen.catalogue.work import Bench, Task, make_row
from mouldgen.catalogue.written import table_text
from mouldgen.errors import JobError, KernelError, NoAnswerError, SurroundingsError
from mouldgen.files.folder import locked
from mouldgen.job.load import load_job
from mouldgen.learn import learn
from tests.castings_seeds import TIGHT_AND_WIDE, pegs
from tests.catalogue_works import at_once, canned

PEGS = "boathouse-pegs"
TABLE = "name,insert.diameter,piece.diameter\nsmall,28 mm,24 mm\nlarge,32 mm,\n"


class Counting:
    """Hands that keep count of what they were given, and do it in this process."""

    def __init__(self, *, build: bool = False, stop_after: int | None = None) -> None:
        self.given: list[str] = []
        self._build, self._stop_after = build, stop_after

    def __call__(self, given: Iterable[Task], bench: Bench) -> Iterator[Done]:
        for task in given:
            if len(self.given) == self._stop_after:
                raise KeyboardInterrupt
            self.given.append(task.name)
            yield task, make_row(bench, task) if self._build else canned(task)


def variants(text: str, *, job: str = PEGS) -> dict[str, Variant]:
    return named(table_of(text, label="t.csv"), job=job)


def pieces(*counts: int) -> dict[str, Variant]:
    """Variants that are named by how many pieces each is of."""
    return variants("name,order.pieces\n" + "".join(f"of-{n},{n}\n" for n in counts))


def make(
    out: Path, given: dict[str, Variant], hands: Hands, *, base: Base | None = None, **more: bool
) -> dict[str, Row]:
    return make_catalogue(base or base_of(PEGS), given, out=out, hands=hands, **more)


def folder(out: Path) -> Path:
    return out / f"{PEGS}-catalogue"


def table(out: Path) -> list[dict[str, str]]:
    text = (folder(out) / "catalogue.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(io.StringIO(text)))


# ------------------------------------------------------------------------------- the rows


def test_a_row_is_what_a_build_with_the_same_settings_says(tmp_path: Path) -> None:
    loads = pegs(TIGHT_AND_WIDE)
    rows = make(
        tmp_path, variants(TABLE), Counting(build=True), base=base_of(PEGS, loads=loads)
    )  # fmt: skip
    sets = {
        "small": ("name=small", "insert.diameter=28 mm", "piece.diameter=24 mm"),
        "large": ("name=large", "insert.diameter=32 mm"),
    }
    for name, row in rows.items():
        loaded = learn(load_job(PEGS, sets=sets[name]), loads)
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        alone = row_of(found, name=name, settings=row.settings)
        assert {k: getattr(row, k) for k in FIGURES} == {k: getattr(alone, k) for k in FIGURES}
        assert loaded.learned.castings > 0
    assert rows["small"].fingerprint != rows["large"].fingerprint


def test_a_conflict_and_what_cannot_be_worked_are_rows_too(tmp_path: Path) -> None:
    text = (
        "name,mould.gap,piece.diameter,resin.card\n"
        "narrow,0.1 mm,,\nmisread,many,,\nno-card,,,treacle\nreckless,,90 mm,\n"
    )
    rows = make(tmp_path, variants(text), Counting(build=True))

    assert list(rows) == ["narrow", "misread", "no-card", "reckless"]
    assert not rows["narrow"].ready
    assert rows["narrow"].must_fix
    assert rows["narrow"].gap_mm == 0.1
    assert rows["reckless"].gap_mm is None
    assert rows["reckless"].must_fix.startswith("Turn asks for at least 32.78 mm and heat allows")
    assert rows["reckless"].beds is rows["reckless"].net_ml is None
    assert rows["misread"].error.startswith("t.csv line 3 [mould] gap: ")
    assert rows["no-card"].error.startswith('t.csv line 4 [resin] card: there is no card "treacle"')
    assert {rows[name].trouble for name in ("misread", "no-card")} == {"refused"}
    told = table(tmp_path)
    assert [row["name"] for row in told] == list(rows)
    assert [row["error"] for row in told] == [row.error for row in rows.values()]


@pytest.mark.parametrize(
    ("problem", "trouble", "says"),
    [
        (ZeroDivisionError("by zero"), "bug", r"hit a bug, .* \(ZeroDivisionError: by zero"),
        (KernelError("an empty solid"), "bug", r"hit a bug, .* \(an empty solid"),
        (NoAnswerError("no room"), "refused", "no room"),
        (SurroundingsError("cannot be read", where="a.stl"), "surroundings", "a.stl: cannot be"),
        (MemoryError(), "memory", "needs more memory than a worker may take"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_what_goes_wrong_with_one_variant_is_its_row(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, problem: Exception, trouble: str, says: str
) -> None:
    def wrong(*_: object, **__: object) -> None:
        raise problem

    monkeypatch.setattr("mouldgen.build.build_moulds", wrong)
    (row,) = make(tmp_path, pieces(3), Counting(build=True)).values()

    assert row.trouble == trouble
    assert re.search(f"^t.csv line 2: .*{says}", row.error)


def test_a_worker_of_another_version_is_refused() -> None:
    (only,) = pieces(1).values()
    task = Task("a", (), base_of(PEGS).merged(only, name="a"), key="")
    with pytest.raises(SurroundingsError, match=r"a worker runs mouldgen .* and 0.0.1 was asked"):
        make_row(Bench("0.0.1", Path()), task)


def test_the_base_need_not_be_whole_but_must_have_a_name(tmp_path: Path) -> None:
    bare = tmp_path / "bare.toml"
    bare.write_text('format = 1\nname = "bare"\n[insert]\nshape = "rod"\n')
    assert base_of(str(bare)).name == "bare"
    bare.write_text('format = 1\nname = "No name"\n')
    with pytest.raises(JobError, match=r"bare.toml name: the job has no name that a folder"):
        base_of(str(bare))


def test_a_bare_number_has_the_unit_of_the_job(tmp_path: Path) -> None:
    rows = make(tmp_path, variants("insert.diameter\n30\n30 mm\n"), Counting(build=True))

    bare, said = rows.values()
    assert (bare.gap_mm, bare.net_ml) == (said.gap_mm, said.net_ml)


# -------------------------------------------------------------------------- order and bytes


def test_bytes_do_not_depend_on_how_many_work_or_who_is_done_first(tmp_path: Path) -> None:
    given = named(grid_of(["insert.diameter=29,30 mm", "order.pieces=6,12"]), job=PEGS)

    def backwards(tasks: Iterable[Task], bench: Bench) -> Iterator[Done]:
        yield from reversed(list(at_once(tasks, bench)))

    for hands, name in ((at_once, "forth"), (backwards, "back")):
        make(tmp_path / name, given, hands)
    for workers in (1, 2):
        make(
            tmp_path / str(workers),
            given,
            lambda tasks, bench, n=workers: with_crew(tasks, bench=bench, workers=n),  # type: ignore[misc]
        )
    for file in ("catalogue.csv", "report.json"):
        one, two, forth, back = (
            (folder(tmp_path / name) / file).read_bytes() for name in ("1", "2", "forth", "back")
        )
        assert one == two
        assert forth == back
    rows = table(tmp_path / "2")
    assert [row["name"] for row in rows] == [f"{PEGS}-{n}" for n in range(1, 5)]
    assert {row["ready"] for row in rows} == {"yes"}


def test_the_report_has_the_rows_of_the_table(tmp_path: Path) -> None:
    rows = make(tmp_path, pieces(3, 4), at_once)
    report = json.loads((folder(tmp_path) / "report.json").read_text(encoding="utf-8"))

    assert report["schema"] == 1
    assert (report["variants"], report["done"], report["ready"], report["failed"]) == (2, 2, 2, 0)
    assert [row["settings"] for row in report["rows"]] == [
        {"order.pieces": "3"},
        {"order.pieces": "4"},
    ]
    assert [row["gap_mm"] for row in report["rows"]] == [row.gap_mm for row in rows.values()]


def test_a_table_of_cells_that_would_break_it_is_read_back() -> None:
    row = Row(
        name="a", settings=(("resin.title", 'x, "y"\nz'),), error="no;\tway", gap_mm=0.1 + 0.2
    )
    (told,) = csv.DictReader(table_text([row]).splitlines())

    assert told["resin.title"] == 'x, "y" z'
    assert told["error"] == "no; way"
    assert told["gap_mm"] == "0.3"


# ------------------------------------------------------------------------------- rerunning


def test_a_rerun_makes_only_what_is_missing(tmp_path: Path) -> None:
    first, second, third = Counting(), Counting(), Counting()
    make(tmp_path, pieces(1, 2, 3), first)
    rows = make(tmp_path, pieces(2, 5, 3, 6), second)
    before = (folder(tmp_path) / "catalogue.csv").read_bytes()
    make(tmp_path, pieces(2, 5, 3, 6), third)

    assert first.given == ["of-1", "of-2", "of-3"]
    assert second.given == ["of-5", "of-6"]
    assert list(rows) == ["of-2", "of-5", "of-3", "of-6"]
    assert third.given == []
    assert (folder(tmp_path) / "catalogue.csv").read_bytes() == before


def test_again_makes_all_of_it(tmp_path: Path) -> None:
    make(tmp_path, pieces(1, 2), at_once)
    again = Counting()
    make(tmp_path, pieces(2), again, anew=True)

    assert again.given == ["of-2"]
    assert (folder(tmp_path) / FILE).read_bytes().count(b"\n") == 1


def test_a_row_counts_only_where_all_that_it_rests_on_is_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, presets = tmp_path / "pegs.toml", tmp_path / "presets"
    text = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
    job.write_text(text)
    presets.mkdir()
    monkeypatch.setenv("MOULDGEN_PRESETS", str(presets))

    def made(**more: object) -> int:
        hands = Counting()
        base = base_of(str(job), **more)  # type: ignore[arg-type]
        make(tmp_path, pieces(1, 2), hands, base=base)
        return len(hands.given)

    assert made() == 2
    assert made() == 0
    assert made(sets=("pour.shop=18 C",)) == 2
    assert made() == 0  # what was there before is there still
    assert made(loads=pegs(TIGHT_AND_WIDE)) == 2
    job.write_text(f"# a remark\n{text}")
    assert made() == 0
    job.write_text(text.replace('"20 N"', '"25 N"'))
    assert made() == 2
    (presets / "shop.toml").write_text('[pour]\nmix = "5 min"\n')
    assert made() == 2
    monkeypatch.setattr("mouldgen.__version__", "0.1.1")
    assert made() == 2
    assert made() == 0


def test_a_scan_counts_by_its_bytes(tmp_path: Path) -> None:
    job = tmp_path / "scan.toml"
    job.write_text('format = 1\nname = "s"\n[insert]\nshape = "scan"\nfile = "a.stl"\n')
    (tmp_path / "a.stl").write_bytes(b"one")
    base = base_of(str(job))
    (only,) = pieces(1).values()
    before = base.key(base.merged(only, name="a"))
    assert base.key(base.merged(only, name="a")) == before
    assert base.key(base.merged(only, name="b")) != before
    (tmp_path / "a.stl").write_bytes(b"two")

    assert base.key(base.merged(only, name="a")) != before


def test_what_failed_is_tried_again(tmp_path: Path) -> None:
    def failing(given: Iterable[Task], bench: Bench) -> Iterator[Done]:
        del bench
        for task in given:
            yield task, Row(name=task.name, settings=(), error="it died", trouble="died")

    rows = make(tmp_path, pieces(1), failing)
    assert rows["of-1"].error == "t.csv line 2: it died"
    hands = Counting()
    assert make(tmp_path, pieces(1), hands)["of-1"].error == ""
    assert hands.given == ["of-1"]


def test_an_interrupted_run_keeps_and_tells_what_is_done(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt):
        make(tmp_path, pieces(1, 2, 3, 4), Counting(stop_after=2))
    report = json.loads((folder(tmp_path) / "report.json").read_text(encoding="utf-8"))
    rest = Counting()
    rows = make(tmp_path, pieces(1, 2, 3, 4), rest)

    assert (report["variants"], report["done"]) == (4, 2)
    assert [row["name"] for row in report["rows"]] == ["of-1", "of-2"]
    assert rest.given == ["of-3", "of-4"]
    assert len(rows) == 4


def test_two_runs_into_one_folder_at_once_are_refused(tmp_path: Path) -> None:
    with (
        locked(folder(tmp_path)),
        pytest.raises(SurroundingsError, match="is being written by another run"),
    ):
        make(tmp_path, pieces(1), at_once)


# ------------------------------------------------------------------------------- the sets


def test_sets_are_written_as_build_does_and_made_again_where_one_is_gone(tmp_path: Path) -> None:
    text = "name,mould.gap\ngood,\nnarrow,0.1 mm\n"
    make(tmp_path, variants(text), at_once)  # rows without sets are not enough
    hands = [Counting(build=True) for _ in range(3)]
    rows = make(tmp_path, variants(text), hands[0], sets=True)
    sets = folder(tmp_path) / "sets"
    report = json.loads((sets / "good" / "report.json").read_text(encoding="utf-8"))
    assert report["fingerprint"] == rows["good"].fingerprint
    assert all((sets / "good" / file).is_file() for file in report["files"])
    assert not (sets / "narrow").exists()  # it must be fixed first
    make(tmp_path, variants(text), hands[1], sets=True)
    shutil.rmtree(sets / "good")
    make(tmp_path, variants(text), hands[2], sets=True)

    assert [each.given for each in hands] == [["good", "narrow"], [], ["good"]]
    assert (sets / "good" / "report.json").is_file()


def test_a_set_that_cannot_be_written_stops_the_run(tmp_path: Path) -> None:
    folder(tmp_path).mkdir()
    (folder(tmp_path) / "sets").write_text("a file")
    with pytest.raises(SurroundingsError, match="sets"):
        make(tmp_path, pieces(1, 2), Counting(build=True), sets=True)

    assert json.loads((folder(tmp_path) / "report.json").read_text())["done"] == 0


# ------------------------------------------------------------------------------ the journal


def test_a_row_comes_back_from_the_journal_as_it_was(tmp_path: Path) -> None:
    row = Row(
        name="a", settings=(("insert.diameter", '7/8"'),), ready=True, gap_mm=0.1 + 0.2, beds=3
    )
    with Journal(tmp_path / FILE) as journal:
        journal.keep("k", row, sets=True)
    with Journal(tmp_path / FILE) as journal:
        back = journal.known["k"]
        assert row_data(back) == row_data(row)
        assert journal.with_sets == {"k"}
    assert row_data(row_from(json.loads(json.dumps(row_data(row))))) == row_data(row)


@pytest.mark.parametrize("cut", range(1, 60, 7))
def test_a_torn_last_line_is_left_out_and_the_next_one_is_whole(tmp_path: Path, cut: int) -> None:
    path = tmp_path / FILE
    with Journal(path) as journal:
        for key in ("a", "b"):
            journal.keep(key, Row(name=key, settings=()), sets=False)
    path.write_bytes(path.read_bytes()[:-cut])
    with Journal(path) as journal:
        assert list(journal.known) == ["a"]
        journal.keep("c", Row(name="c", settings=()), sets=False)
    with Journal(path) as journal:
        assert list(journal.known) == ["a", "c"]


def test_a_damaged_line_costs_itself_only(tmp_path: Path) -> None:
    path = tmp_path / FILE
    with Journal(path) as journal:
        for key in ("a", "b"):
            journal.keep(key, Row(name=key, settings=()), sets=False)
    first, second = path.read_bytes().splitlines(keepends=True)
    bad = [
        b"\0" * 40,
        b"[]",
        b"7",
        b'{"key": "x"}',
        b'{"key": "x", "row": {"name": 1}}',
        b"\xff\xfe",
    ]
    path.write_bytes(first + b"".join(line + b"\n" for line in bad) + second)
    with Journal(path) as journal:
        assert list(journal.known) == ["a", "b"]
