"""One file beside others: whole or not at all, under the folder's lock, nothing else touched."""

from __future__ import annotations

import fcntl
from pathlib import Path

import pytest

from mouldgen import __version__
from mouldgen.errors import SurroundingsError
from mouldgen.files.folder import replace_folder
from mouldgen.files.single import plot_name, put_file, put_plots


def names(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


def test_it_lies_beside_an_earlier_set_and_leaves_it_alone(tmp_path: Path) -> None:
    pegs = tmp_path / "pegs"
    replace_folder(pegs, {"report.json": b"{}", "parts/body.stl": b"solid"})
    before = (pegs / "report.json").stat().st_mtime_ns

    put_file(pegs, "gap.svg", b"<svg/>")

    assert names(pegs) == {"report.json", "parts/body.stl", "gap.svg"}
    assert (pegs / "gap.svg").read_bytes() == b"<svg/>"
    assert (pegs / "report.json").stat().st_mtime_ns == before


def test_folders_are_made_and_an_earlier_file_is_replaced(tmp_path: Path) -> None:
    pegs = tmp_path / "out" / "pegs"
    put_file(pegs, "plots/gap.svg", b"one")
    put_file(pegs, "plots/gap.svg", b"two")

    assert (pegs / "plots" / "gap.svg").read_bytes() == b"two"
    assert names(pegs.parent) == {".pegs.lock", "pegs/plots/gap.svg"}


def test_plots_lie_in_one_folder_of_their_own(tmp_path: Path) -> None:
    drawn = {"sweep.csv": b"1", "sweep.svg": b"2"}
    written = put_plots(tmp_path / "pegs", drawn, fingerprint="5f0c")

    told = f"2\n<!-- mouldgen {__version__}, job 5f0c -->\n".encode()
    assert [path.read_bytes() for path in written] == [b"1", told]
    assert names(tmp_path / "pegs") == {"plots/sweep.csv", "plots/sweep.svg"}
    assert [plot_name(path) for path in written] == ["plots/sweep.csv", "plots/sweep.svg"]


def test_a_file_of_ours_may_be_read_by_others(tmp_path: Path) -> None:
    put_file(tmp_path / "pegs", "plots/gap.svg", b"x")
    (tmp_path / "plain").write_bytes(b"x")

    assert (tmp_path / "pegs/plots/gap.svg").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_a_set_that_a_killed_run_set_aside_comes_back_first(tmp_path: Path) -> None:
    pegs = tmp_path / "pegs"
    replace_folder(pegs, {"report.json": b"{}"})
    pegs.rename(tmp_path / ".pegs.old")

    put_file(pegs, "gap.svg", b"x")

    assert names(pegs) == {"report.json", "gap.svg"}


def test_while_another_run_writes_the_folder_it_waits_for_nobody(tmp_path: Path) -> None:
    with (tmp_path / ".pegs.lock").open("a+b") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        with pytest.raises(SurroundingsError, match="is being written by another run"):
            put_file(tmp_path / "pegs", "plots/gap.svg", b"x")

    assert not (tmp_path / "pegs").exists()


def test_what_cannot_be_replaced_is_told_and_leaves_no_half_file(tmp_path: Path) -> None:
    path = tmp_path / "pegs" / "gap.svg"
    path.mkdir(parents=True)

    with pytest.raises(SurroundingsError, match=r"gap\.svg: cannot be written: .*--out folder"):
        put_file(path.parent, path.name, b"x")

    assert [p.name for p in path.parent.iterdir()] == ["gap.svg"]


def test_a_file_where_the_folder_should_go_is_told(tmp_path: Path) -> None:
    (tmp_path / "pegs").write_bytes(b"mine")

    with pytest.raises(SurroundingsError, match="pegs: is a file where a folder should go"):
        put_file(tmp_path / "pegs", "plots/gap.svg", b"x")

    assert (tmp_path / "pegs").read_bytes() == b"mine"
