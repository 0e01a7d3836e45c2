"""A mesh file that anybody made, read with suspicion."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.errors import MeshFileError, SurroundingsError

if TYPE_CHECKING:
    from mouldgen.solid.mesh import Mesh

MOST_BYTES = 1_000_000_000
FORMATS = "an STL, 3MF, OBJ, PLY, OFF or GLB file"


def read_meshes(path: Path, *, unit_mm: float | None = None) -> tuple[tuple[str, Mesh], ...]:
    """The solids that a file holds, each with its name; an STL's is empty.

    path : its ending says what it is, and where it says nothing its content does.
    unit_mm : length of the file's unit [mm]; None for what the format says.

    Raises MeshFileError for what is missing, a folder, empty, too large, damaged or of another
    format; SurroundingsError where the system refuses to read.
    """
    from mouldgen.solid.scan_file import read_any

    return read_any(_bytes(path), name=str(path), unit_mm=unit_mm)


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
