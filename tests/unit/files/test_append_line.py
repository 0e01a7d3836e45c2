"""A line at the end of a maker's own file: every byte stays, all of it or nothing."""

import os
import stat
from pathlib import Path

import pytest

from mouldgen.errors import InputError, SurroundingsError
from mouldgen.files.append import append_line, read_text
from mouldgen.files.folder import locked


def append(path: Path, line: str = "B,2", check=str) -> None:
    append_line(path, line, heading="a,b", check=check)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b"a,b\n# \xc3\xbc note\n\n A , 1 \n", b"B,2\n"),
        (b"a,b\r\nA,1\r\n", b"B,2\r\n"),
        (b"\xef\xbb\xbfa,b\nA,1", b"\nB,2\n"),
        (b"a,b\r\nA,1", b"\r\nB,2\r\n"),
        (b"", b"a,b\nB,2\n"),
    ],
    ids=["comments", "crlf", "no-end-and-mark", "crlf-no-end", "empty"],
)
def test_every_byte_that_was_there_stays(tmp_path: Path, before: bytes, after: bytes) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(before)
    append(path)

    assert path.read_bytes() == before + after


def test_a_new_file_gets_its_heading(tmp_path: Path) -> None:
    append(tmp_path / "log.csv")

    assert (tmp_path / "log.csv").read_bytes() == b"a,b\nB,2\n"
    assert sorted(p.name for p in tmp_path.iterdir()) == [".log.csv.lock", "log.csv"]


def test_what_the_check_refuses_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"a,b\nA,1")

    def refuse(text: str) -> None:
        assert text == "a,b\nA,1\nB,2\n"
        raise InputError("line 3 will not do")

    with pytest.raises(InputError, match="line 3 will not do"):
        append(path, check=refuse)
    assert path.read_bytes() == b"a,b\nA,1"


def test_a_second_writer_is_told_to_wait(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    append(path)
    with locked(path), pytest.raises(SurroundingsError, match=r"written by another run.*try again"):
        append(path)
    assert path.read_bytes() == b"a,b\nB,2\n"


def test_a_run_that_fails_half_way_leaves_the_old_file(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "log.csv"
    append(path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SurroundingsError, match="cannot be written: No space left on device"):
        append(path, "C,3")
    assert path.read_bytes() == b"a,b\nB,2\n"
    assert not (tmp_path / ".log.csv.new").exists()


@pytest.mark.skipif(os.name == "nt", reason="rights and links of another kind")
def test_rights_and_links_stay(tmp_path: Path) -> None:
    real, link = tmp_path / "real.csv", tmp_path / "link.csv"
    real.write_bytes(b"a,b\n")
    real.chmod(0o640)
    link.symlink_to(real)
    append(link)

    assert link.is_symlink()
    assert real.read_bytes() == b"a,b\nB,2\n"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_folder_a_wrong_name_and_no_text_are_told(tmp_path: Path) -> None:
    (tmp_path / "latin.csv").write_bytes(b"\xfc\n")
    with pytest.raises(InputError, match="is no text in UTF-8"):
        append(tmp_path / "latin.csv")
    for use in (append, read_text):
        with pytest.raises(InputError, match="is a folder"):
            use(tmp_path)
    with pytest.raises(InputError, match="there is no such file"):
        read_text(tmp_path / "none.csv")
    with pytest.raises(SurroundingsError, match="cannot be written"):
        append(tmp_path / "none" / "log.csv")
