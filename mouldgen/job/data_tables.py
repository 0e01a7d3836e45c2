"""Numbers of a preset that stands by itself, such as ``presets/lathe.toml``, read one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mouldgen.errors import PresetError, UnitError
from mouldgen.job.presets import read_table


@dataclass(frozen=True, eq=False)
class DataTables:
    """The tables of such a file.

    name : of the file, such as ``lathe``.
    tables : by name, as TOML gives them.
    """

    name: str
    tables: dict[str, Any]

    def value(self, table: str, key: str, reader: Callable[[object], float]) -> float:
        """The number of one key.

        table, key : where it stands.
        reader : of its value; raises UnitError for one that does not fit.

        Raises PresetError where the file lacks the key or the value cannot be read.
        """
        where = f"{self.name}.toml [{table}] {key}"
        row = self.tables.get(table)
        if not isinstance(row, dict) or key not in row:
            raise PresetError(f"the key {key} is missing", where=where)
        try:
            return reader(row[key])
        except UnitError as problem:
            raise PresetError(problem.what, where=where, allowed=problem.allowed) from None


def data_tables(name: str) -> DataTables:
    """The tables of a preset that stands by itself; the user's own goes first.

    name : of the file, such as ``lathe``.

    Raises PresetError where no folder has it or it cannot be read.
    """
    return DataTables(name, read_table(name))
