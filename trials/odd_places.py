"""Commands started in odd surroundings: no home, no place to be, no ears, a narrow terminal."""

from __future__ import annotations

import os
import pty
import random
import shlex
import shutil
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from select import select

from trials.chores import CHORES, JOB, known, typed
from trials.runs import PATIENCE_S, Ran, leftovers, surroundings, things, workshop

_READ = (
    ("gap", JOB), ("resin", JOB), ("plan", JOB), ("beds", JOB), ("log",), ("presets",), ("--help",),
    ("buy", JOB), ("pot", JOB), ("heat", JOB), ("quote", JOB), ("tune", JOB), ("build", "nothing"),
)  # fmt: skip
_WRITE = ("fresh", "over", "cards", "pour", "save", "new")
_NAMES = ("with a blank", "møbler", "наши формы", "a\nb", "'\"$(x)", "x" * 200, "-rf", "🪵")

Settings = dict[str, str]


def odd(chance: random.Random) -> str:
    """Start a command where something is not as it usually is."""
    setting = chance.choice(tuple(_ODD))
    return f"odd places, {_ODD[setting](chance)}"


def _homeless(chance: random.Random) -> str:
    """Without a home, or a place for what is temporary, or one of these that may not be used."""

    def settle(folder: Path, settings: Settings) -> None:
        for name in chance.sample(("HOME", "TMPDIR", "XDG_CONFIG_HOME", "XDG_DATA_HOME"), 2):
            match chance.choice(("none", "missing", "file", "empty", "closed")):
                case "none":
                    settings.pop(name, None)
                case "missing":
                    settings[name] = "/no/such/folder"
                case "file":
                    settings[name] = "/etc/hosts"
                case "empty":
                    settings[name] = ""
                case _:
                    settings[name] = "/proc"
        del settings["MOULDGEN_PRESETS"], folder

    return _writes(chance, settle)


def _letters(chance: random.Random) -> str:
    """Without UTF-8, or with a language that is none."""

    def settle(folder: Path, settings: Settings) -> None:
        del folder
        settings |= chance.choice(
            (
                {"LANG": "C", "LC_ALL": "C"},
                {"LC_ALL": "POSIX", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
                {"LC_ALL": "xx_YY.nothing", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
                {"PYTHONIOENCODING": "ascii"},
                {"PYTHONIOENCODING": "latin-1"},
                {"COLUMNS": "x", "TERM": "dumb"},
            )
        )

    return _writes(chance, settle)


def _writes(chance: random.Random, settle: Callable[[Path, Settings], None]) -> str:
    """A command that writes does the very same there."""
    chore = CHORES[chance.choice(_WRITE)]
    will = known(chore)
    with will.again() as folder:
        settings = surroundings(folder)
        settle(folder, settings)
        ran = _started(chore.words, folder, settings, typed=typed(chore))
        if ran.code != chore.code or things(folder) != will.after or leftovers(folder):
            raise AssertionError(f"{settings}\n{ran.told()}")
    return f"{chore.kind}: done"


def _named(chance: random.Random) -> str:
    """In a folder of an odd name, with letters that the system may not have."""
    chore = CHORES[chance.choice(("fresh", "pour", "new"))]
    will = known(chore)
    with workshop() as top:
        folder = top / chance.choice(_NAMES)
        shutil.copytree(will.folder, folder)
        settings = surroundings(folder)
        if chance.random() < 0.5:
            settings |= {"LC_ALL": "POSIX", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
        out = str(folder / "out")
        words = (*chore.words, "--out", out) if chore.kind == "build" else chore.words
        ran = _started(words, folder, settings, typed=typed(chore))
        if ran.code != chore.code or things(folder) != will.after:
            raise AssertionError(f"{folder.name!r}\n{ran.told()}")
    return f"{chore.kind}: done"


def _closed(chance: random.Random) -> str:
    """With some of the three streams closed, as a program that starts it may have them."""
    ends = chance.choice(("<&-", ">&-", "2>&-", "<&- >&-", ">&- 2>&-", "<&- >&- 2>&-"))
    chore = CHORES[chance.choice(("fresh", "over", "pour", "result", "save", "cards", "catalogue"))]
    will = known(chore)
    with will.again() as folder:
        command = shlex.join((sys.executable, "-m", "mouldgen", *chore.words))
        ran = _shell(f"{command} {ends}", folder)
        if ran.code != chore.code or things(folder) != will.after or leftovers(folder):
            raise AssertionError(f"{ends}\n{ran.told()}")
        asked = _shell(f"{shlex.join((sys.executable, '-m', 'mouldgen', 'new'))} {ends}", folder)
        if asked.code != 2 or "Traceback" in asked.err or "bug" in asked.err:
            raise AssertionError(f"{ends}\n{asked.told()}")
    return "closed: done"


def _left(chance: random.Random) -> str:
    """Its reader leaves after a line, or at once."""
    words = chance.choice(_READ)
    reader = chance.choice(("head -1", "true", "head -c 10"))
    with workshop() as folder:
        command = shlex.join((sys.executable, "-m", "mouldgen", *words))
        ran = _shell(f"set -o pipefail; {command} | {reader}", folder)
        if ran.code not in (0, 1, 2) or "Traceback" in ran.err or "Broken" in ran.err:
            raise AssertionError(f"{words} | {reader}\n{ran.told()}")
    return "its reader left"


def _nowhere(chance: random.Random) -> str:
    """In a folder that is no longer there."""
    words = chance.choice((*_READ, *(CHORES[name].words for name in ("fresh", "pour", "save"))))
    with workshop() as folder:
        gone = folder / "gone"
        gone.mkdir()
        command = shlex.join((sys.executable, "-m", "mouldgen", *words))
        ran = _shell(f"rmdir {gone}; {command}", gone)
        if ran.code not in (0, 1, 2, 3) or "Traceback" in ran.err or "bug" in ran.err:
            raise AssertionError(f"{words}\n{ran.told()}")
        if list(folder.iterdir()):
            raise AssertionError(str(list(folder.iterdir())))
    return f"nowhere: {'told' if ran.code else 'answered'}"


def _narrow(chance: random.Random) -> str:
    """On a terminal of few columns, or of none that it tells."""
    words = chance.choice(_READ)
    columns = chance.choice((0, 1, 20, 39, 500))
    with workshop() as folder:
        code, said = _on_terminal(words, folder, columns)
    if code not in (0, 1, 2) or b"Traceback" in said or b"bug" in said or not said:
        raise AssertionError(f"{words} on {columns}\n{said.decode(errors='replace')}")
    return "narrow: answered"


_ODD = {
    "homeless": _homeless, "letters": _letters, "named": _named, "closed": _closed, "left": _left,
    "nowhere": _nowhere, "narrow": _narrow,
}  # fmt: skip


# ------------------------------------------------------------------------ starting


def _started(words: tuple[str, ...], folder: Path, settings: Settings, *, typed: str) -> Ran:
    done = subprocess.run(
        [sys.executable, "-m", "mouldgen", *words],
        cwd=folder, env=settings, input=typed.encode(), capture_output=True, timeout=PATIENCE_S,
        check=False,
    )  # fmt: skip
    out, err = (each.decode(errors="replace") for each in (done.stdout, done.stderr))
    ran = Ran(done.returncode, out, err)
    if "Traceback" in ran.err:
        raise AssertionError(f"{settings}\n{ran.told()}")
    return ran


def _shell(line: str, folder: Path) -> Ran:
    done = subprocess.run(
        ["bash", "-c", line], cwd=folder, env=surroundings(folder), capture_output=True, text=True,
        timeout=PATIENCE_S, check=False,
    )  # fmt: skip
    if "Traceback" in done.stderr:
        raise AssertionError(f"{line}\n{done.stderr}")
    return Ran(done.returncode, done.stdout, done.stderr)


def _on_terminal(words: tuple[str, ...], folder: Path, columns: int) -> tuple[int, bytes]:
    import fcntl
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    settings = surroundings(folder)
    settings.pop("COLUMNS", None)
    process = subprocess.Popen(
        [sys.executable, "-m", "mouldgen", *words],
        cwd=folder, env=settings, stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True,
    )  # fmt: skip
    os.close(theirs)
    said = b""
    try:
        while select([ours], [], [], PATIENCE_S)[0]:
            said += (more := os.read(ours, 65_536))
            if not more:
                break
    except OSError:  # the terminal's other end is closed
        pass
    finally:
        os.close(ours)
    return process.wait(PATIENCE_S), said
