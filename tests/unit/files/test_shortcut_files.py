"""The files of a shortcut: their places, what a system reads in them, and that none is lost."""

from __future__ import annotations

import configparser
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from mouldgen.errors import SurroundingsError, UsageError
from mouldgen.files.own_files import MARK, OwnFile, is_own, put_own, remove_own
from mouldgen.files.shortcut import shortcut_files
from mouldgen.files.shortcut_linux import desktop_folder
from mouldgen.files.shortcut_windows import batch_file, windows_shortcut

SYSTEMS = ["linux", "darwin", "win32"]
# Every character that one of the formats treats as its own.
AWKWARD = 'J ö\'$HOME`x`"q"\\%d&;#=(1)'


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A user's folder with a desktop, under a name that needs every kind of quoting."""
    folder = tmp_path / AWKWARD
    (folder / "Desktop").mkdir(parents=True)
    return folder


def files(home: Path, system: str = "linux", *words: str, **variables: str) -> tuple[OwnFile, ...]:
    return shortcut_files(
        words or ("python", "-V"), home=home, environment=variables, system=system
    )


def test_each_system_has_its_places(home: Path) -> None:
    """XDG Base Directory Specification 0.8: $XDG_DATA_HOME, else .local/share of the home."""
    told = {
        system: [file.path.relative_to(home).as_posix() for file in files(home, system)]
        for system in SYSTEMS
    }

    assert told == {
        "linux": [
            ".local/share/mouldgen/open-page.sh",
            ".local/share/icons/hicolor/scalable/apps/mouldgen.svg",
            ".local/share/applications/mouldgen.desktop",
            "Desktop/mouldgen.desktop",
        ],
        "darwin": ["Desktop/mouldgen.command"],
        "win32": ["Desktop/mouldgen.cmd"],
    }


def test_folders_that_variables_name_go_first_but_for_relative_ones(
    home: Path, tmp_path: Path
) -> None:
    """The specification: "All paths set in these environment variables must be absolute. If an
    implementation encounters a relative path … it should consider the path invalid and ignore it."
    """
    script, *_ = files(home, XDG_DATA_HOME=str(tmp_path / "data"))
    assert script.path == tmp_path / "data/mouldgen/open-page.sh"
    script, *_ = files(home, XDG_DATA_HOME="data")
    assert script.path == home / ".local/share/mouldgen/open-page.sh"


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ('XDG_DESKTOP_DIR="$HOME/Schreibtisch"', "Schreibtisch"),
        ('# XDG_DESKTOP_DIR="$HOME/x"\n XDG_DESKTOP_DIR = "$HOME/Schreibtisch"\n', "Schreibtisch"),
        ('XDG_DESKTOP_DIR="$HOME/x"\nXDG_DESKTOP_DIR="$HOME/Schreibtisch"', "Schreibtisch"),
        (r'XDG_DESKTOP_DIR="$HOME/Mein \"Tisch\""', 'Mein "Tisch"'),
        ('XDG_DOWNLOAD_DIR="$HOME/Schreibtisch"', "Desktop"),
        ("", "Desktop"),
        ('XDG_DESKTOP_DIR="$HOME/"', None),  # the manual: "To disable a directory, point it to
        ('XDG_DESKTOP_DIR="$HOME"', None),  # the homedir."
        ('XDG_DESKTOP_DIR="$HOME/not-there"', None),
        ('XDG_DESKTOP_DIR="Schreibtisch"', None),  # neither of the two forms there are
    ],
)
def test_the_desktop_is_where_the_users_folders_say(
    home: Path, told: str, expected: str | None
) -> None:
    """xdg-user-dirs, whose file is a shell script of lines XDG_DESKTOP_DIR="$HOME/name"."""
    config = home / ".config"
    config.mkdir()
    for name in ("Schreibtisch", 'Mein "Tisch"'):
        (home / name).mkdir()
    (config / "user-dirs.dirs").write_text(told, encoding="utf-8")

    assert desktop_folder(home, config) == (home / expected if expected else None)


def test_a_desktop_elsewhere_is_named_by_its_whole_path(home: Path, tmp_path: Path) -> None:
    config = home / ".config"
    config.mkdir()
    (tmp_path / "desk").mkdir()
    (config / "user-dirs.dirs").write_text(f'XDG_DESKTOP_DIR="{tmp_path}/desk"', encoding="utf-8")

    assert desktop_folder(home, config) == tmp_path / "desk"


def test_without_a_desktop_it_is_among_the_programs_only(home: Path) -> None:
    (home / "Desktop").rmdir()

    assert [file.path.name for file in files(home)][2:] == ["mouldgen.desktop"]


# ------------------------------------------------------- what a system makes of them


def entry_of(home: Path) -> configparser.SectionProxy:
    (desktop,) = (file for file in files(home) if file.path.parent.name == "Desktop")
    read = configparser.ConfigParser(interpolation=None, delimiters=("=",), comment_prefixes=("#",))
    read.optionxform = str  # type: ignore[assignment,method-assign]
    read.read_string(desktop.text)
    return read["Desktop Entry"]


def words_of(value: str) -> list[str]:
    """The words of an Exec line: a string's escapes first, then quotes, then field codes.

    A POSIX shell undoes the quotes: within them the same four characters are escaped there.
    """
    line = value.replace("\\\\", "\\")
    split = subprocess.run(
        ["/bin/sh", "-c", f"printf '%s\\n' {line}"], capture_output=True, check=True, text=True
    )
    return [word.replace("%%", "%") for word in split.stdout.splitlines()]


def test_the_entry_starts_the_script_whatever_the_folder_is_called(home: Path) -> None:
    script, icon, *_ = files(home)
    entry = entry_of(home)

    assert words_of(entry["Exec"]) == ["sh", str(script.path)]
    assert entry["Icon"].replace("\\\\", "\\") == str(icon.path)
    assert (entry["Type"], entry["Name"], entry["Terminal"]) == ("Application", "mouldgen", "true")


@pytest.mark.skipif(not shutil.which("desktop-file-validate"), reason="desktop-file-utils")
def test_the_entry_is_one_for_the_systems_own_reader(home: Path) -> None:
    put_own(files(home))
    read = subprocess.run(
        ["desktop-file-validate", str(home / "Desktop/mouldgen.desktop")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert (read.returncode, read.stdout) == (0, "")


@pytest.mark.parametrize("system", ["linux", "darwin"])
def test_the_script_runs_its_words_unharmed(home: Path, system: str) -> None:
    show = "import sys; print('\\n'.join(sys.argv[1:]))"
    words = (sys.executable, "-c", show, "--folder", str(home))
    put_own(files(home, system, *words))
    script = files(home, system)[0].path
    run = subprocess.run([script], capture_output=True, check=True, text=True)

    assert run.stdout.splitlines()[1:] == ["--folder", str(home)]
    assert "Press Enter" not in run.stdout


@pytest.mark.parametrize(("code", "waits"), [(0, False), (130, False), (2, True), (3, True)])
def test_the_window_stays_after_a_failure_until_it_was_read(
    home: Path, code: int, *, waits: bool
) -> None:
    put_own(files(home, "linux", sys.executable, "-c", f"raise SystemExit({code})"))
    script = files(home)[0].path
    run = subprocess.run([script], capture_output=True, check=False, text=True, input="\n")

    assert run.returncode == code
    assert ("Press Enter to close this window." in run.stdout) is waits


def test_the_batch_file_quotes_every_word_and_ends_its_lines_as_windows_does() -> None:
    """By the system's manual, not run there: %% for a percent sign, CRLF, code page 65001."""
    told = batch_file(["C:\\Programs\\Jörg & Co\\python.exe", "-m", "mouldgen", "D:\\", "50 %"])

    assert told.splitlines() == [
        "@echo off",
        f"rem {MARK}; to remove it: mouldgen shortcut --remove",
        "chcp 65001 >nul",
        "title mouldgen",
        "echo Close this window when you are done: the page ends with it.",
        '"C:\\Programs\\Jörg & Co\\python.exe" "-m" "mouldgen" "D:\\." "50 %%"',
        "if errorlevel 1 pause",
    ]
    assert told.count("\r\n") == told.count("\n") == 7


def test_a_desktop_of_windows_that_was_moved_is_taken(home: Path, tmp_path: Path) -> None:
    moved = tmp_path / "moved"
    with pytest.raises(SurroundingsError, match=r"moved: is not there.*mouldgen page"):
        windows_shortcut(["python"], home=home, desktop=moved)
    moved.mkdir()

    (file,) = windows_shortcut(["python"], home=home, desktop=moved)
    assert file.path == moved / "mouldgen.cmd"


def test_the_icon_is_a_square_picture(home: Path) -> None:
    icon = files(home)[1]
    drawn = ET.fromstring(icon.text)

    assert drawn.tag == "{http://www.w3.org/2000/svg}svg"
    assert drawn.get("viewBox") == "0 0 128 128"


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("path", ["two\nlines", "bell\a", "bytes\udcff"])
def test_a_path_that_no_shortcut_can_hold_is_refused(home: Path, system: str, path: str) -> None:
    with pytest.raises(UsageError, match="a shortcut cannot hold the path"):
        files(home, system, "python", path)


# --------------------------------------------------------------- nothing of others is lost


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_file_has_the_mark_and_is_written_and_removed_again(home: Path, system: str) -> None:
    before = sorted(home.rglob("*"))
    made = files(home, system)
    put_own(made)

    assert all(is_own(file.path) for file in made)
    assert [file.path.read_bytes().decode("utf-8") for file in made] == [f.text for f in made]
    assert [bool(file.path.stat().st_mode & 0o111) for file in made] == [f.runs for f in made]
    put_own(made)  # over its own
    assert remove_own([file.path for file in made]) == (tuple(f.path for f in made), ())
    assert [path for path in sorted(home.rglob("*")) if not path.is_dir()] == [
        path for path in before if not path.is_dir()
    ]
    assert remove_own([file.path for file in made]) == ((), ())


@pytest.mark.parametrize("taken", ["file", "folder", "dead link", "large file"])
def test_what_somebody_else_made_stays_and_nothing_is_written(home: Path, taken: str) -> None:
    *_, last = files(home)
    if taken == "file":
        last.path.write_text("mine", encoding="utf-8")
    elif taken == "large file":
        last.path.write_text(MARK + "x" * 100_000, encoding="utf-8")
    elif taken == "folder":
        last.path.mkdir()
    else:
        last.path.symlink_to(home / "nowhere")
    before = {path: path.lstat().st_mtime_ns for path in home.rglob("*")}

    with pytest.raises(SurroundingsError, match="not made by mouldgen, so it stays as it is"):
        put_own(files(home))
    assert {path: path.lstat().st_mtime_ns for path in home.rglob("*")} == before
    assert remove_own([last.path]) == ((), (last.path,))


def test_a_folder_that_takes_no_files_is_told(home: Path) -> None:
    (home / ".local").write_text("", encoding="utf-8")

    with pytest.raises(SurroundingsError, match=r"open-page\.sh: cannot be written: Not a dir"):
        put_own(files(home))
