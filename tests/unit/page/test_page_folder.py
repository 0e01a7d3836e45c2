"""The folder that is served: nothing outside it, nothing by halves, nothing overwritten unseen."""

from __future__ import annotations

import contextlib
import os
import stat
import threading
from pathlib import Path

import pytest

from mouldgen.errors import JobError, SurroundingsError, UsageError
from mouldgen.page.folder import MOST_TEXT_BYTES, Folder, stamp_of
from mouldgen.page.problem import ConflictError, TooLargeError

TEXT = '# my pegs\nformat = 1\nname = "pegs"  # short\n'

NO_NAMES = [
    "", ".toml", "..toml", "../pegs.toml", "a/../pegs.toml", "/etc/pegs.toml", "sub/pegs.toml",
    "sub\\pegs.toml", "..\\pegs.toml", "C:pegs.toml", "C:\\pegs.toml", "\\\\host\\x\\pegs.toml",
    "pegs.toml\0.txt", "pegs\n.toml", "pegs.toml:stream", "pegs.txt", "pegs", "pegs.toml.exe",
    "con.toml", "NUL.toml", "com1.toml", "lpt9.toml", "a..b.toml", "-pegs.toml", " pegs.toml",
    ".hidden.toml", "~pegs.toml", "$HOME.toml", "%2e%2e.toml", "pegs.toml/", "pegs.toml.",
    "pegs.toml ", "p\u200begs.toml", "pegs\u2024toml", "x" * 80 + ".toml",
]  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    (tmp_path / "outside.toml").write_text(TEXT)
    return Folder(jobs)


@pytest.mark.parametrize("name", NO_NAMES)
def test_what_is_no_name_is_neither_read_nor_written(folder: Folder, name: str) -> None:
    before = sorted(path.name for path in folder.path.parent.rglob("*"))

    with pytest.raises(UsageError, match="is no name of a file that is used here"):
        folder.open(name)
    with pytest.raises(UsageError, match="is no name of a file that is used here"):
        folder.save(name, TEXT, stamp="", over=True)
    with pytest.raises(UsageError, match="is no name of a file that is used here"):
        folder.take_scan(name.replace("toml", "stl") if ".toml" in name else name, [b""])

    assert sorted(path.name for path in folder.path.parent.rglob("*")) == before


def test_the_shops_own_file_is_not_a_job(folder: Folder) -> None:
    for name in ("shop.toml", "Shop.TOML"):
        with pytest.raises(UsageError, match="the shop's own file, not a job"):
            folder.save(name, TEXT, stamp="", over=True)


@pytest.mark.skipif(os.name != "posix", reason="links need rights elsewhere")
def test_a_link_out_of_the_folder_is_not_followed(folder: Folder) -> None:
    outside = folder.path.parent / "outside.toml"
    (folder.path / "link.toml").symlink_to(outside)

    assert folder.names() == []
    with pytest.raises(UsageError, match="a link to another place"):
        folder.open("link.toml")
    with pytest.raises(UsageError, match="a link to another place"):
        folder.save("link.toml", "format = 1\n", stamp="", over=True)
    assert outside.read_text() == TEXT


def test_only_what_looks_like_a_job_is_offered(folder: Folder) -> None:
    for name, text in (
        ("b.toml", TEXT), ("A job (2).toml", TEXT), ("shop.toml", "format = 1\n"),
        ("other.toml", "[tool]\nx = 1\n"), ("pegs.txt", TEXT), (".c.toml", TEXT),
    ):  # fmt: skip
        (folder.path / name).write_text(text)
    (folder.path / "d.toml").mkdir()

    assert folder.names() == ["A job (2).toml", "b.toml"]


def test_a_file_is_opened_to_the_byte(folder: Folder) -> None:
    content = TEXT.replace("\n", "\r\n").encode()
    (folder.path / "pegs.toml").write_bytes(b"\xef\xbb\xbf" + content)

    found = folder.open("pegs.toml")

    assert found.text.encode() == content
    assert found.stamp == stamp_of(b"\xef\xbb\xbf" + content)


def test_what_cannot_be_opened_is_told(folder: Folder) -> None:
    (folder.path / "latin.toml").write_bytes(b'name = "\xe9"')
    (folder.path / "large.toml").write_bytes(b"#" * (MOST_TEXT_BYTES + 1))
    (folder.path / "sub.toml").mkdir()

    with pytest.raises(JobError, match="not UTF-8"):
        folder.open("latin.toml")
    with pytest.raises(TooLargeError, match="at most 256 kB"):
        folder.open("large.toml")
    for name in ("gone.toml", "sub.toml"):
        with pytest.raises(JobError, match="there is no such file"):
            folder.open(name)


def test_a_job_is_saved_as_it_is(folder: Folder) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)

    assert (folder.path / "pegs.toml").read_bytes() == TEXT.encode()
    assert stamp == folder.open("pegs.toml").stamp
    assert [path.name for path in folder.path.iterdir()] == ["pegs.toml"]


def test_a_saved_job_is_saved_again_with_its_stamp(folder: Folder) -> None:
    first = folder.save("pegs.toml", TEXT, stamp="", over=False)
    second = folder.save("pegs.toml", TEXT + "# more\n", stamp=first, over=False)

    assert second != first
    assert folder.open("pegs.toml").text.endswith("# more\n")


def test_a_file_that_someone_else_changed_is_not_written_over(folder: Folder) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)
    (folder.path / "pegs.toml").write_text("# by hand\n")

    with pytest.raises(ConflictError, match="changed by someone else"):
        folder.save("pegs.toml", TEXT, stamp=stamp, over=False)
    assert (folder.path / "pegs.toml").read_text() == "# by hand\n"

    folder.save("pegs.toml", TEXT, stamp=stamp, over=True)
    assert (folder.path / "pegs.toml").read_text() == TEXT


def test_a_new_name_that_is_taken_is_not_written_over(folder: Folder) -> None:
    (folder.path / "pegs.toml").write_text("# mine\n")

    with pytest.raises(ConflictError, match="a file of this name already"):
        folder.save("pegs.toml", TEXT, stamp="", over=False)
    assert (folder.path / "pegs.toml").read_text() == "# mine\n"


def test_a_file_that_went_away_is_told(folder: Folder) -> None:
    with pytest.raises(ConflictError, match="no longer there"):
        folder.save("pegs.toml", TEXT, stamp="0" * 32, over=False)


@pytest.mark.skipif(os.name != "posix", reason="rights of files are another thing elsewhere")
def test_the_rights_of_a_file_stay(folder: Folder) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)
    (folder.path / "pegs.toml").chmod(0o640)
    folder.save("pegs.toml", TEXT + "#\n", stamp=stamp, over=True)

    assert stat.S_IMODE((folder.path / "pegs.toml").stat().st_mode) == 0o640


@pytest.mark.parametrize("over", [False, True])
def test_a_file_that_is_protected_against_writing_stays(folder: Folder, *, over: bool) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)
    path = folder.path / "pegs.toml"
    path.chmod(0o444)

    with pytest.raises(SurroundingsError, match=r"pegs\.toml: the file is protected"):
        folder.save("pegs.toml", "# new\n", stamp=stamp, over=over)
    assert {p.name: p.read_text() for p in folder.path.iterdir()} == {"pegs.toml": TEXT}

    path.chmod(0o644)
    folder.save("pegs.toml", "# new\n", stamp=stamp, over=over)
    assert path.read_text() == "# new\n"


def test_a_save_that_fails_leaves_what_was_there(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SurroundingsError, match=r"cannot be written \(No space left on device\)"):
        folder.save("pegs.toml", "# new\n", stamp=stamp, over=False)

    assert {p.name: p.read_text() for p in folder.path.iterdir()} == {"pegs.toml": TEXT}


def test_what_a_killed_page_left_half_written_goes_with_the_next_save(folder: Folder) -> None:
    left = [".pegs.toml.0a1b2c3d.new", ".scan.stl.ffffffff.new"]
    mine = [".notes.new", ".pegs.toml.old", "pegs.toml.0a1b2c3d.new", ".pegs.toml.0A1B2C3D.new"]
    for name in (*left, *mine):
        (folder.path / name).write_text("half of a")

    folder.save("pegs.toml", TEXT, stamp="", over=False)

    assert sorted(path.name for path in folder.path.iterdir()) == sorted([*mine, "pegs.toml"])


def test_of_many_who_save_a_new_file_at_once_one_does(folder: Folder) -> None:
    lost: list[int] = []
    here = threading.Barrier(8)

    def save(number: int) -> None:
        here.wait()
        # A folder each, so that no lock of this process keeps them apart.
        try:
            Folder(folder.path).save("pegs.toml", f"# {number}\n" * 1000, stamp="", over=False)
        except ConflictError:
            lost.append(number)

    threads = [threading.Thread(target=save, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    (won,) = set(range(8)) - set(lost)
    assert (folder.path / "pegs.toml").read_text() == f"# {won}\n" * 1000
    assert [path.name for path in folder.path.iterdir()] == ["pegs.toml"]


@pytest.mark.skipif(os.name != "posix", reason="no lock of folders elsewhere")
def test_of_many_who_saw_the_same_file_one_writes_it(folder: Folder) -> None:
    """Two pages on one folder: whoever is told that it was saved must find it there."""
    for turn in range(20):
        name = f"pegs{turn}.toml"
        seen = folder.save(name, TEXT, stamp="", over=False)
        won: list[int] = []
        here = threading.Barrier(4)

        def save(number: int, *, name: str = name, seen: str = seen) -> None:
            here.wait()  # noqa: B023 - all are joined before the next turn
            with contextlib.suppress(ConflictError):
                Folder(folder.path).save(name, f"# {number}\n", stamp=seen, over=False)
                won.append(number)  # noqa: B023

        threads = [threading.Thread(target=save, args=(number,)) for number in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

        (only,) = won
        assert (folder.path / name).read_text() == f"# {only}\n"


def test_a_file_that_is_changed_while_it_is_saved_stays(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp = folder.save("pegs.toml", TEXT, stamp="", over=False)

    def slow(descriptor: int) -> None:
        (folder.path / "pegs.toml").write_text("# by hand\n")

    monkeypatch.setattr(os, "fsync", slow)
    with pytest.raises(ConflictError, match="changed by someone else"):
        folder.save("pegs.toml", "# new\n", stamp=stamp, over=False)

    assert {p.name: p.read_text() for p in folder.path.iterdir()} == {"pegs.toml": "# by hand\n"}


def test_without_links_a_new_file_is_still_not_written_over(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(fresh: Path, path: Path) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", none)
    folder.save("pegs.toml", TEXT, stamp="", over=False)
    assert (folder.path / "pegs.toml").read_text() == TEXT

    monkeypatch.setattr(os.path, "lexists", lambda _: False)  # it came just after the look
    with pytest.raises(ConflictError, match="a file of this name already"):
        folder.save("pegs.toml", "# new\n", stamp="", over=False)
    assert {p.name: p.read_text() for p in folder.path.iterdir()} == {"pegs.toml": TEXT}


def test_a_text_that_is_no_jobs_size_is_not_saved(folder: Folder) -> None:
    with pytest.raises(TooLargeError, match="at most 256 kB"):
        folder.save("pegs.toml", "#" * (MOST_TEXT_BYTES + 1), stamp="", over=False)


def test_a_scan_is_taken_once(folder: Folder) -> None:
    assert folder.take_scan("my burl.STL", [b"ab", b"c"]) == 3
    assert (folder.path / "my burl.STL").read_bytes() == b"abc"

    with pytest.raises(ConflictError, match="a file of this name already"):
        folder.take_scan("my burl.STL", [b"x"])
    assert (folder.path / "my burl.STL").read_bytes() == b"abc"
