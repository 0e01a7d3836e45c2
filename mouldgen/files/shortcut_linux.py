"""The shortcut on Linux: an entry in the list of programs and the same on the desktop.

Formats: Desktop Entry Specification 1.0 and XDG Base Directory Specification 0.8
(specifications.freedesktop.org), and the file of xdg-user-dirs, which names the desktop's folder.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from mouldgen.files.own_files import MARK, OwnFile
from mouldgen.files.shortcut_icon import ICON
from mouldgen.files.shortcut_shell import shell_script

_ENTRY = "mouldgen.desktop"
_LINE = re.compile(r'^\s*XDG_DESKTOP_DIR\s*=\s*"((?:[^"\\]|\\.)*)"', re.MULTILINE)


def linux_shortcut(
    words: Sequence[str], *, home: Path, environment: Mapping[str, str]
) -> tuple[OwnFile, ...]:
    """The script that opens the page, its picture, the entry, and that on the desktop if any.

    words : the program, by its whole path, and the words that follow it.
    home : the user's folder.
    environment : variables of the process.
    """
    data = _base(environment, "XDG_DATA_HOME", home / ".local" / "share")
    config = _base(environment, "XDG_CONFIG_HOME", home / ".config")
    script = data / "mouldgen" / "open-page.sh"
    icon = data / "icons" / "hicolor" / "scalable" / "apps" / "mouldgen.svg"
    entry = _entry(script, icon)
    places = [data / "applications" / _ENTRY]
    desktop = desktop_folder(home, config)
    if desktop is not None:
        places.append(desktop / _ENTRY)
    return (
        OwnFile(script, shell_script(words), runs=True),
        OwnFile(icon, ICON),
        *(OwnFile(place, entry, runs=True) for place in places),
    )


def desktop_folder(home: Path, config: Path) -> Path | None:
    """The folder that the desktop shows; None where there is none, or it was switched off.

    home : the user's folder; a desktop that is the home itself is switched off.
    config : the folder of settings.
    """
    try:
        told = (config / "user-dirs.dirs").read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        told = ""
    named = _LINE.findall(told)
    folder = home / "Desktop"
    if named:
        # The last one holds, as in the shell script that the file is.
        path = re.sub(r"\\(.)", r"\1", named[-1].removeprefix("$HOME"))
        inside = named[-1].startswith("$HOME")
        folder = home / path.lstrip("/") if inside else Path(path)
    usable = folder.is_absolute() and folder.is_dir() and folder.resolve() != home.resolve()
    return folder if usable and str(folder).isprintable() else None


def _base(environment: Mapping[str, str], name: str, usual: Path) -> Path:
    """A folder as a variable names it; one that is not absolute is to be passed over."""
    given = Path(environment.get(name, ""))
    return given if given.is_absolute() else usual


def _entry(script: Path, icon: Path) -> str:
    return f"""\
# {MARK}; to remove it: mouldgen shortcut --remove
[Desktop Entry]
Type=Application
Version=1.0
Name=mouldgen
Comment=Moulds and resin for a casting job
Exec=sh {_value(_argument(str(script)))}
Icon={_value(str(icon))}
Terminal=true
Categories=Graphics;Engineering;
"""


def _argument(word: str) -> str:
    """A word of Exec, in quotes; a percent sign would begin a field code."""
    return '"{}"'.format(re.sub(r'(["`$\\])', r"\\\1", word).replace("%", "%%"))


def _value(text: str) -> str:
    """A string as the file holds it: this rule comes on top of the one for words."""
    return text.replace("\\", "\\\\")
