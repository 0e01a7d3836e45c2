"""The job that all variants start from, read once, and what a variant of it is known by."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import mouldgen
from mouldgen.catalogue.variant import Variant
from mouldgen.errors import JobError
from mouldgen.job import merge
from mouldgen.job.find import find_job
from mouldgen.job.load import layers_of, merge_layers
from mouldgen.job.presets import find_scan, shipped_folder, user_folder
from mouldgen.job.words import NAME_ALLOWED, is_name, is_reserved
from mouldgen.memo import digest

if TYPE_CHECKING:
    from mouldgen.castings.records import Load

ROW_FORMAT = 1  # of what is kept of a row: another one is made anew


@dataclass(frozen=True, eq=False)
class Base:
    """A job before it is varied.

    name : of the job.
    label : what messages call its file.
    folder : of that file.
    layers : what the maker wrote, the lowest first.
    loads : of the castings file, which every variant learns from.
    known_by : a hash of all else that a row depends on: the program, the presets, the castings.
    """

    name: str
    label: str
    folder: Path
    layers: tuple[merge.Layer, ...]
    loads: tuple[Load, ...]
    known_by: bytes

    def merged(self, variant: Variant, *, name: str) -> merge.Merged:
        """The tables of a variant.

        variant : what it sets.
        name : of its job.

        Raises JobError for a card that is not there, PresetError for a broken one.
        """
        unit = next((one.unit for one in reversed(self.layers) if one.unit), None)
        own = merge.layer({"name": name, **variant.values}, label=variant.where, unit=unit)
        return merge_layers((*self.layers, own), label=self.label)

    def key(self, merged: merge.Merged) -> str:
        """What a row is known by, as hexadecimal digits: the same key, the same row.

        merged : tables of the variant.

        Raises OSError where the file of a scan cannot be read.
        """
        said = (self.known_by, merged.data, merged.given, self._scan(merged))
        return digest(said).hex()

    def _scan(self, merged: merge.Merged) -> tuple[bytes, ...]:
        """The file that the insert names, at each place where it may lie."""
        insert = merged.data.get("insert")
        file = insert.get("file") if isinstance(insert, dict) else None
        if not isinstance(file, str) or "\0" in file:
            return ()
        there = Path(file).expanduser()
        places = (self.folder / there, there, find_scan(there.name))
        return tuple(_hash(path) for path in places if path is not None and path.is_file())


def base_of(source: str, *, sets: Sequence[str] = (), loads: Sequence[Load] = ()) -> Base:
    """The job that variants start from.

    source, sets : as `mouldgen.job.load.load_job` takes them.  The job need not be whole: what it
        lacks the variants may say.
    loads : of the castings file; none where nothing is learned.

    Raises JobError for what cannot be read, for a key that there is not and for a name that is
    none, SurroundingsError where the system refuses to read.
    """
    path, label = find_job(source)
    layers = tuple(layers_of(source, sets=sets))
    name = merge.merge(layers, label=label).data.get("name")
    if not isinstance(name, str) or not is_name(name) or is_reserved(name):
        raise JobError(
            "the job has no name that a folder can have",
            where=f"{label} name",
            allowed=NAME_ALLOWED,
        )
    taught = [load for load in loads if load.left_g is not None or _noted(load)]
    known_by = digest((ROW_FORMAT, mouldgen.__version__, _presets(), taught))
    return Base(name, label, path.parent, layers, tuple(loads), known_by)


def _noted(load: Load) -> bool:
    return any(casting.result is not None for casting in load.castings)


def _presets() -> bytes:
    """Of all cards and tables, the user's own too; jobs among them change little and cost less."""
    state = hashlib.blake2b(digest_size=16)
    for folder in (user_folder(), shipped_folder()):
        if folder is None:
            continue
        for path in sorted(folder.rglob("*.toml")):
            if path.is_file():
                name = path.relative_to(folder).as_posix().encode("utf-8", "surrogateescape")
                for part in (name, path.read_bytes()):
                    state.update(b"%d:" % len(part) + part)
        state.update(b"/")
    return state.digest()


def _hash(path: Path) -> bytes:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "blake2b").digest()
