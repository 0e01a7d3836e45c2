"""What pot cards are known by: every byte that they are reckoned from, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.castings import card_key as of
from mouldgen.castings.card_key import card_key
from mouldgen.castings.records import Load
from mouldgen.errors import JobError
from tests.castings_drafts import as_loads, load_draft, result_draft

SCAN = 'format = 1\nname = "burls"\n[insert]\nshape = "scan"\nfile = "burl.stl"\n'


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder with a job of a scan, and a folder of presets beside it."""
    for name in ("here", "mine/scans"):
        (tmp_path / name).mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "mine"))
    # Whoever runs the tests may be writing the program.
    monkeypatch.setattr(of, "_program", lambda: b"this one")
    Path("burls.toml").write_text(SCAN, "utf-8")
    return tmp_path


def key(*sets: str, loads: tuple[Load, ...] = (), job: str = "burls.toml") -> str:
    found = card_key(job, sets=sets, loads=loads)
    assert found is not None
    assert found.job == "burls"
    return found.key


def test_it_is_the_same_wherever_the_folder_lies_and_whenever_it_was_written() -> None:
    first = key()
    Path("burls.toml").write_text(SCAN, "utf-8")
    assert key() == first
    Path("elsewhere").mkdir()
    Path("burls.toml").rename("elsewhere/burls.toml")
    assert key(job="elsewhere/burls.toml") == first


def test_the_scan_counts_beside_the_job_and_among_the_presets(here: Path) -> None:
    seen = {key()}
    for place in (Path("burl.stl"), here / "mine/scans/burl.stl"):
        for content in (b"", b"solid a", b"solid b"):
            place.write_bytes(content)
            seen.add(key())
    assert len(seen) == 7


def test_other_files_that_no_job_reads_do_not_count(here: Path) -> None:
    first = key()
    Path("notes.txt").write_text("anything", "utf-8")
    (here / "mine/castings.sqlite").write_bytes(b"rows")
    (here / "mine/scans/other.stl").write_bytes(b"solid")
    assert key() == first


@pytest.mark.parametrize(
    "name", ["shop.toml", "resins/mine.toml", "woods/oak.toml", "cost.toml", "jobs/pegs.toml"]
)
def test_every_card_and_table_of_the_maker_counts(name: str, here: Path) -> None:
    seen = {key()}
    path = here / "mine" / name
    path.parent.mkdir(exist_ok=True)
    for text in ("a = 1\n", "a = 2\n"):
        path.write_text(text, "utf-8")
        seen.add(key())
    assert len(seen) == 3


def test_settings_count_in_their_order() -> None:
    first, second = "order.pieces=3", "order.pieces=4"
    seen = {key(), key(first), key(second), key(first, second), key(second, first)}
    assert len(seen) == 5
    assert len({key("a.b=1,c.d=2"), key("a.b=1", "c.d=2")}) == 2


@pytest.mark.parametrize(
    "setting", ["name=other", " name = other", "insert.file=x.stl", "insert={file = 'x.stl'}"]
)
def test_settings_that_name_a_file_or_the_job_have_none(setting: str) -> None:
    assert card_key("burls.toml", sets=(setting,), loads=()) is None


@pytest.mark.parametrize("name", ["../burls", "con", "", "Burls"])
def test_a_job_whose_name_is_none_has_none(name: str) -> None:
    Path("burls.toml").write_text(SCAN.replace('"burls"', f'"{name}"'), "utf-8")
    assert card_key("burls.toml", sets=(), loads=()) is None


def test_a_job_that_is_not_there_is_refused() -> None:
    with pytest.raises(JobError, match="there is no such job"):
        card_key("burl.toml", sets=(), loads=())


def test_only_what_castings_teach_counts() -> None:
    own = load_draft(1, 2, job="burls")
    other = load_draft(1, 2)
    weighed = load_draft(1, 2, job="burls", mixed_g=90.0, left_g=4.0)
    result, scrapped = result_draft(1), result_draft(1, outcome="scrapped")

    # Open loads teach nothing, nor does what was mixed where nobody says what was left.
    nothing = [(own, ()), (other, ()), (load_draft(1, job="burls", mixed_g=90.0), ())]
    assert len({key(loads=as_loads(nothing[:n])) for n in range(4)}) == 1
    teaching = [
        [(own, (result,))],
        [(own, (scrapped,))],
        [(own, (result, result_draft(2)))],
        [(other, (result,))],
        [(weighed, ())],
        [(load_draft(1, 2, job="burls", mixed_g=90.0, left_g=5.0), ())],
        [(load_draft(1, 2, mixed_g=90.0, left_g=4.0), ())],
        [(own, (result,)), (other, (result,))],
    ]
    seen = {key(loads=as_loads(each)) for each in [[], *teaching]}
    assert len(seen) == 1 + len(teaching)
    # The second pour of a day, after loads that teach something.
    assert key(loads=as_loads([*teaching[-1], (own, ())])) == key(loads=as_loads(teaching[-1]))
