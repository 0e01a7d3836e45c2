"""Everything that pot cards are reckoned from, as one hash: the same hash, the same cards.

Files count with all their bytes.  The program itself counts by its version and by size and age of
its files, and so do the libraries that it reckons with, so that a changed program reckons anew.  A
hash that differs for no good reason costs a second; one that is the same for no good reason would
write a wrong row, so what is in doubt has none.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.job.find import find_job, find_shop
from mouldgen.job.presets import KINDS, find_scan, shipped_folder, user_folder
from mouldgen.job.toml import read_toml
from mouldgen.job.words import is_name, is_reserved

if TYPE_CHECKING:
    from mouldgen.castings.records import Load

_PACKAGE = Path(__file__).parent.parent
_LIBRARIES = ("manifold3d", "numpy", "pydantic")  # whose numbers and rules a card rests on


@dataclass(frozen=True, eq=False)
class CardKey:
    """What pot cards are known by.

    job : the name that the job's file gives it.
    key : hexadecimal digits.
    """

    job: str
    key: str


def card_key(source: str, *, sets: Sequence[str], loads: Sequence[Load]) -> CardKey | None:
    """What the pot cards of a job are known by; None where they are better reckoned anew.

    source, sets : as `mouldgen.job.load.load_job` takes them.
    loads : of the castings file that the job learns from.

    Raises what finding and reading the job file raises, OSError where another file cannot be read.
    """
    if any(_renames(setting) for setting in sets):
        return None
    path, _ = find_job(source)
    data = read_toml(path, label=source)
    name, insert = data.get("name"), data.get("insert")
    if not isinstance(name, str) or not is_name(name) or is_reserved(name):
        return None
    shop = find_shop(path)
    state = hashlib.blake2b(digest_size=20)
    for part in (
        _program(),
        path.read_bytes(),
        b"" if shop is None else shop.read_bytes(),
        repr(tuple(sets)).encode("utf-8", "surrogateescape"),
        *_presets(user_folder()),
        b"shipped",
        *_presets(shipped_folder()),
        *_scan(insert, path.parent),
        _lessons(name, loads),
    ):
        state.update(b"%d:" % len(part) + part)
    return CardKey(name, state.hexdigest())


def _renames(setting: str) -> bool:
    """Whether a setting may name the job or a file, which are looked up in the job file only."""
    return setting.partition("=")[0].strip().split(".")[0].strip() in {"name", "insert"}


def _program() -> bytes:
    """Version, size and age of the program and of what it reckons with."""
    version = (_PACKAGE / "__init__.py").read_bytes()  # it stands in there
    libraries = [_library(name) for name in _LIBRARIES]
    return repr((version, sys.version, libraries, sorted(_files(_PACKAGE)))).encode()


def _library(name: str) -> tuple[str, int, int]:
    """Place, size and age of its first file; it is not loaded for that."""
    found = find_spec(name)
    place = None if found is None else found.origin
    if place is None:
        return name, 0, 0
    about = Path(place).stat()
    return place, about.st_size, about.st_mtime_ns


def _files(folder: Path | str) -> Iterator[tuple[str, int, int]]:
    for entry in os.scandir(folder):
        if entry.is_dir():
            if entry.name != "__pycache__":
                yield from _files(entry.path)
        else:
            about = entry.stat()
            yield entry.path, about.st_size, about.st_mtime_ns


def _presets(folder: Path | None) -> Iterator[bytes]:
    """Names and bytes of all cards and tables of a folder of presets."""
    if folder is None:
        return
    for kind in ("", *KINDS):
        for path in _sorted((folder / kind).glob("*.toml")):
            yield f"{kind}/{path.name}".encode("utf-8", "surrogateescape")
            yield path.read_bytes()


def _sorted(paths: Iterable[Path]) -> list[Path]:
    return sorted(path for path in paths if path.is_file())


def _scan(insert: Any, folder: Path) -> Iterator[bytes]:
    """The bytes of the file that a job names for its insert, at each place where it may lie."""
    file = insert.get("file") if isinstance(insert, dict) else None
    if not isinstance(file, str):
        return
    beside = folder / Path(file).expanduser()
    for place in (beside, find_scan(Path(file).name)):
        there = place is not None and place.is_file()
        yield _of_file(place) if there and place is not None else b"none"


def _of_file(path: Path) -> bytes:
    """A hash of a file's bytes, which may be many."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "blake2b").digest()


def _lessons(job: str, loads: Sequence[Load]) -> bytes:
    """What `mouldgen.learn` takes from castings: those with a result, and this job's weighed loads.

    A load that is open and was not weighed teaches nothing: the cards of a day stay what they are
    while it is poured.
    """
    noted = [one for load in loads for one in load.castings if one.result is not None]
    weighed = [load for load in loads if load.left_g is not None]
    mine = [load for load in weighed if load.job == job]
    return repr((noted, bool(weighed), mine)).encode("utf-8", "surrogateescape")
