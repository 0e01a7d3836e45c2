"""One file in a job's folder, put there whole or not at all; what lies beside it stays."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from pathlib import Path

from mouldgen.files.folder import beside, clear_leftovers, locked, told_of
from mouldgen.files.signed import signed

PLOTS = "plots"  # what single commands draw: apart from the set, which it need not agree with


def put_plots(folder: Path, contents: Mapping[str, bytes], *, fingerprint: str) -> tuple[Path, ...]:
    """Write what a command has drawn into the plots of a job's folder; builds leave it alone.

    folder : the job's; it is made where it is not there.
    contents : bytes by file name; a picture gets the fingerprint, a table has it.
    fingerprint : of the job.

    Returns the paths written.  Raises as `put_file` does.
    """
    for name, data in contents.items():
        put_file(folder, plot_name(Path(name)), signed(name, data, fingerprint=fingerprint))
    return tuple(folder / PLOTS / name for name in contents)


def plot_name(path: Path) -> str:
    """A plot's path in the job's folder, with forward slashes."""
    return f"{PLOTS}/{path.name}"


def put_file(folder: Path, name: str, data: bytes) -> None:
    """Write a file beside its place and move it there.

    folder : the job's, which is locked; it is made where it is not there.
    name : the file's path in it, with forward slashes.
    data : what it will hold.

    Raises SurroundingsError where it cannot be written or another run is writing the folder.
    """
    path = folder.joinpath(*name.split("/"))
    with told_of(path):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with locked(folder):
            clear_leftovers(folder)
            path.parent.mkdir(parents=True, exist_ok=True)
            _put(path, data)


def _put(path: Path, data: bytes) -> None:
    fresh = beside(path)
    try:
        fresh.write_bytes(data)
        fresh.replace(path)
    finally:
        with contextlib.suppress(OSError):
            fresh.unlink(missing_ok=True)
