"""A mesh file that anybody made, read with suspicion."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.errors import MeshFileError, SurroundingsError

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

MOST_BYTES = 1_000_000_000
FORMATS = "an STL or a 3MF file"
_ZIP = b"PK"


def read_meshes(path: Path) -> tuple[tuple[str, Mesh], ...]:
    """The solids that a file holds, each with its name; an STL's is empty.

    path : its ending says what it is, and where it says nothing its content does.

    Raises MeshFileError for what is missing, a folder, empty, too large, damaged or of another
    format; SurroundingsError where the system refuses to read.
    """
    from mouldgen.solid.stl import read_stl
    from mouldgen.solid.threemf import read_3mf

    data = _bytes(path)
    kind = _kind(path, data)
    if kind == "3mf":
        return read_3mf(data, name=str(path))
    return (("", read_stl(data, name=str(path))),)


def _bytes(path: Path) -> bytes:
    where = str(path)
    try:
        if path.is_dir():
            raise MeshFileError("is a folder", where=where, allowed=FORMATS)
        size = path.stat().st_size
        if not path.is_file():
            raise MeshFileError("is no ordinary file", where=where, allowed=FORMATS)
        if size == 0:
            raise MeshFileError("is empty", where=where, try_="Export the part again.")
        if size > MOST_BYTES:
            raise MeshFileError(
                f"is {size / 1e9:.1f} GB large", where=where, allowed="at most 1 GB"
            )
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise MeshFileError("there is no such file", where=where, allowed=FORMATS) from None
    except MeshFileError:
        raise
    except ValueError:  # a null byte in the name
        raise MeshFileError("no file can have this name", where=repr(where)) from None
    except OSError as problem:
        raise SurroundingsError(
            f"the file cannot be read ({problem.strerror or problem})", where=where
        ) from problem


def _kind(path: Path, data: bytes) -> str:
    ending = path.suffix.casefold()
    if ending in {".stl", ".3mf"}:
        return ending[1:]
    if data.startswith(_ZIP):
        return "3mf"
    if data[:5].lower() == b"solid" or len(data) == _stl_size(data):
        return "stl"
    raise MeshFileError(
        "is of a format that is not read", where=str(path), allowed=FORMATS,
        try_="Export the part as STL or 3MF.",
    )  # fmt: skip


def _stl_size(data: bytes) -> int:
    """How long a binary STL with this header is [bytes]; -1 for what is too short for one."""
    return 84 + 50 * int.from_bytes(data[80:84], "little") if len(data) >= 84 else -1
