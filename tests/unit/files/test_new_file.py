"""A new file: whole or not there, and never over another."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from mouldgen.errors import SurroundingsError
from mouldgen.files import alone
from mouldgen.files.alone import alone_in
from mouldgen.files.new_file import move_new, put_new


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_file_is_written_and_never_over_another(tmp_path: Path) -> None:
    path = tmp_path / "pegs.toml"
    put_new(path, b"one\n")
    assert path.read_bytes() == b"one\n"
    with pytest.raises(FileExistsError):
        put_new(path, b"two\n")
    assert path.read_bytes() == b"one\n"
    assert names(tmp_path) == ["pegs.toml"]


def test_a_link_to_nothing_is_a_file_too(tmp_path: Path) -> None:
    path = tmp_path / "pegs.toml"
    path.symlink_to("elsewhere.toml")
    with pytest.raises(FileExistsError):
        put_new(path, b"one\n")
    assert names(tmp_path) == ["pegs.toml"]


@pytest.mark.parametrize("problem", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_what_ends_half_way_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, problem: BaseException
) -> None:
    def ended(_: int) -> None:
        raise problem

    monkeypatch.setattr(os, "fsync", ended)
    with pytest.raises(type(problem)):
        put_new(tmp_path / "pegs.toml", b"one\n")
    monkeypatch.undo()

    assert names(tmp_path) == []
    put_new(tmp_path / "pegs.toml", b"one\n")


def test_what_a_killed_run_left_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / ".other.toml.0a1b2c3d.new").write_bytes(b"half of a file")
    (tmp_path / ".mine.new").write_bytes(b"a maker's own")
    put_new(tmp_path / "pegs.toml", b"one\n")
    assert names(tmp_path) == [".mine.new", "pegs.toml"]


@pytest.mark.skipif(os.name == "nt", reason="a folder is no lock there")
def test_who_waits_for_long_is_told_and_what_is_being_written_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(alone, "_PATIENCE_S", 0.05)
    with alone_in(tmp_path):
        (tmp_path / ".pegs.toml.0a1b2c3d.new").write_bytes(b"half of a file")
        with pytest.raises(SurroundingsError, match=r"another run is writing into this folder"):
            put_new(tmp_path / "pegs.toml", b"two\n")
        assert names(tmp_path) == [".pegs.toml.0a1b2c3d.new"]
    put_new(tmp_path / "pegs.toml", b"two\n")
    assert names(tmp_path) == ["pegs.toml"]


def test_of_many_at_once_one_writes_the_file(tmp_path: Path) -> None:
    def put(number: int) -> bool:
        try:
            put_new(tmp_path / "pegs.toml", str(number).encode() * 1000)
        except FileExistsError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        did = list(pool.map(put, range(40)))

    assert sum(did) == 1
    assert (tmp_path / "pegs.toml").read_bytes() == str(did.index(True)).encode() * 1000
    assert names(tmp_path) == ["pegs.toml"]


def test_a_folder_that_is_not_there_is_for_the_caller_to_tell(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        put_new(tmp_path / "no" / "pegs.toml", b"one\n")


def test_without_links_a_place_that_is_taken_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", refuse)
    fresh, path = tmp_path / "fresh", tmp_path / "pegs.toml"
    fresh.write_bytes(b"one")
    path.write_bytes(b"mine")
    with pytest.raises(FileExistsError):
        move_new(fresh, path)
    assert path.read_bytes() == b"mine"
    path.unlink()
    move_new(fresh, path)
    assert path.read_bytes() == b"one"
    assert names(tmp_path) == ["pegs.toml"]
