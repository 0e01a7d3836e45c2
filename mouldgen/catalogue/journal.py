"""What is done, kept line by line while it is being done, so that a rerun goes on from there."""

from __future__ import annotations

import contextlib
import json
import os
from io import FileIO
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Any

import mouldgen
from mouldgen.catalogue.row import Row, row_data, row_from

FILE = "rows.jsonl"
_SYNC_S = 1.0  # a power cut costs the rows of so long; a killed program none


class Journal:
    """The file of rows of one catalogue, open for more; its folder is locked.

    path : of the file.
    anew : leave out what an earlier run has kept.
    known : the rows that are there, by what they are known by; of two alike the later one.
    with_sets : those of them whose set was asked for too.
    """

    def __init__(self, path: Path, *, anew: bool = False) -> None:
        self.known: dict[str, Row] = {}
        self.with_sets: set[str] = set()
        whole = 0
        if path.exists() and not anew:
            whole = self._read(path)
        # Without a buffer: what could not be written must not be tried again by its closing.
        self._file: FileIO = path.open("ab", buffering=0)
        self._file.truncate(whole)  # what a kill or a full disk left of a line
        self._synced = monotonic()

    def _read(self, path: Path) -> int:
        """Take in the rows that can be read; the bytes of all whole lines."""
        whole = 0
        with path.open("rb") as file:
            for line in file:
                if not line.endswith(b"\n"):
                    break
                whole += len(line)
                with contextlib.suppress(ValueError, KeyError, TypeError, RecursionError):
                    self._take(json.loads(line))  # else damaged or of another version: made anew
        return whole

    def _take(self, kept: dict[str, Any]) -> None:
        key, row = str(kept["key"]), row_from(kept["row"])
        self.known[key] = row
        (self.with_sets.add if kept["sets"] is True else self.with_sets.discard)(key)

    def keep(self, key: str, row: Row, *, sets: bool) -> None:
        """One row more.

        key : what it is known by.
        row : the row.
        sets : whether its set was asked for too.

        Raises OSError where it cannot be written whole; then it is not read again either.
        """
        kept = {"key": key, "sets": sets, "version": mouldgen.__version__, "row": row_data(row)}
        line = json.dumps(kept, ensure_ascii=False)
        data = line.encode() + b"\n"
        while data:
            data = data[self._file.write(data) :]
        if monotonic() - self._synced > _SYNC_S:
            os.fsync(self._file.fileno())
            self._synced = monotonic()

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        try:
            if kind is None:
                os.fsync(self._file.fileno())
        finally:
            self._file.close()
