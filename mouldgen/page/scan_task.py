"""A scan that is put into the folder: whether it can be read and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from mouldgen.errors import ScanError

if TYPE_CHECKING:
    from mouldgen.page.work import Shop


def scan(shop: Shop, values: Mapping[str, Any]) -> Iterator[dict[str, Any]]:  # noqa: ARG001
    """First that it can be read, then what is to be said of it.

    shop : of the process.
    values : ``name`` and ``data`` of the file.

    Raises MeshFileError where it cannot be read, in the words of ``mouldgen check``.
    """
    from mouldgen.desk.insert_line import InsertTold
    from mouldgen.desk.scan_answer import found_words
    from mouldgen.job.scan import scan_of
    from mouldgen.solid.scan_file import joined, read_any

    name = values["name"]
    solids = read_any(values["data"], name=name)
    yield {"sound": True, "said": ""}
    try:
        found = scan_of(joined(solids), name=name)
    except ScanError as problem:  # a job may state its unit or have it mended
        yield {"sound": False, "said": str(problem)}
        return
    told = InsertTold({"file": name}, across_mm=2.0 * found.radius_mm, length_mm=found.length_mm)
    yield {"sound": True, "said": found_words(told)}
