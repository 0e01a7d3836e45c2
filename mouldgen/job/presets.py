"""Where cards are: the user's folder first, then what is shipped."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from mouldgen.errors import PresetError
from mouldgen.job.toml import read_toml
from mouldgen.job.words import is_name, is_reserved, nearest, one_line

KINDS = ("jobs", "plastics", "pots", "printers", "resins", "rubbers", "threads", "woods")


def shipped_folder() -> Path:
    """The presets of this installation: inside the wheel, or beside the package in a checkout."""
    package = Path(__file__).parent.parent
    inside = package / "presets"
    return inside if inside.is_dir() else package.parent / "presets"


def user_folder(
    environment: Mapping[str, str] | None = None, *, system: str = sys.platform
) -> Path | None:
    """The user's own presets, there or not; None where the system names no home.

    environment : the variables to look at; those of the process where None.
    system : as ``sys.platform`` names it.

    `MOULDGEN_PRESETS` comes first, then the folder that the system keeps for settings.
    """
    given = os.environ if environment is None else environment
    if given.get("MOULDGEN_PRESETS"):
        return Path(given["MOULDGEN_PRESETS"])
    if system == "win32":
        base = Path(given["APPDATA"]) if given.get("APPDATA") else None
    elif system == "darwin":
        base = Path(given["HOME"]) / "Library/Application Support" if given.get("HOME") else None
    elif given.get("XDG_CONFIG_HOME"):
        base = Path(given["XDG_CONFIG_HOME"])
    else:
        base = Path(given["HOME"]) / ".config" if given.get("HOME") else None
    return base / "mouldgen" / "presets" if base else None


def find_card(kind: str, name: str) -> Path:
    """The file of a card; the user's own goes before a shipped one of the same name.

    kind : one of `KINDS`.
    name : such as ``casting-epoxy-slow``.

    Raises PresetError with the nearest name where no folder has it.
    """
    if is_name(name) and not is_reserved(name):
        for folder in _folders():
            path = folder / kind / f"{name}.toml"
            if path.is_file():
                return path
    known = names(kind)
    near = nearest(name, known)
    raise PresetError(
        f'there is no card "{one_line(name)}"',
        where=f"presets {kind}",
        allowed=", ".join(known),
        try_=f"Did you mean {near}?" if near else "",
    )


def find_scan(name: str) -> Path | None:
    """The file of a shipped scan, the user's own first; None where no folder has it.

    name : of the file, without a folder.
    """
    return next(
        (path for folder in _folders() if (path := folder / "scans" / name).is_file()), None
    )


def read_card(kind: str, name: str) -> dict[str, Any]:
    """A card as TOML gives it, its table of bases included.

    Raises PresetError where it is not there or cannot be read.
    """
    path = find_card(kind, name)
    return read_toml(path, label=f"{kind}/{name}.toml", error=PresetError)


def read_table(name: str) -> dict[str, Any]:
    """A preset that stands by itself, such as ``allowances``; the user's own goes first.

    Raises PresetError where no folder has it or it cannot be read.
    """
    path = next(
        (path for path in (folder / f"{name}.toml" for folder in _folders()) if path.is_file()),
        None,
    )
    if path is None:
        raise PresetError("there is no such file among the presets", where=f"{name}.toml")
    return read_toml(path, label=f"{name}.toml", error=PresetError)


def names(kind: str) -> tuple[str, ...]:
    """The names of all cards of a kind, sorted.  Raises PresetError for a kind there is not."""
    if kind not in KINDS:
        raise PresetError(f'there are no presets "{kind}"', allowed=", ".join(KINDS))
    found = {
        path.stem
        for folder in _folders()
        if (folder / kind).is_dir()
        for path in (folder / kind).glob("*.toml")
        if is_name(path.stem)
    }
    return tuple(sorted(found))


def _folders() -> tuple[Path, ...]:
    own = user_folder()
    return (own, shipped_folder()) if own else (shipped_folder(),)
