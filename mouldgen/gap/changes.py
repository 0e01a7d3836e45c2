"""A question as it would be under changed settings, each written as for ``--set``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError
from mouldgen.job.changes import with_setting
from mouldgen.job.load import setting_value
from mouldgen.size.question import GROOVE_MM
from mouldgen.units import length

if TYPE_CHECKING:
    from mouldgen.gap.question import GapQuestion

Change = tuple[str, str]  # a key such as pour.close, and its value such as 4 min


def changed(question: GapQuestion, changes: tuple[Change, ...]) -> GapQuestion:
    """The question that the job would ask under these settings.

    changes : in the order in which they are applied.

    Raises InternalError for a setting whose way to the question is not known.
    """
    for name, text in changes:
        table, _, key = name.partition(".")
        if table not in _TABLES:
            raise InternalError(f"no question follows from the setting {name}")
        question = _TABLES[table](question, key, text)
    if question.pour.sequence == "bottom-feed" or question.sizes.has_runner:
        from mouldgen.gap.runner import as_poured  # late: most moulds have none

        return as_poured(question)
    return question


def _pour(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("pour", key, ("sequence", "layers", "batch", "shop", "close", "push", "push_time"))
    return replace(question, pour=with_setting(question.pour, key, text))


def _resin(question: GapQuestion, key: str, text: str) -> GapQuestion:
    resin = with_setting(question.resin, key, text)
    return replace(question, resin=resin, sizes=replace(question.sizes, shrinkage=resin.shrinkage))


def _plastic(question: GapQuestion, key: str, text: str) -> GapQuestion:
    return replace(question, plastic=with_setting(question.plastic, key, text))


def _printer(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("printer", key, ("width", "depth", "diameter", "height"))
    return replace(question, printer=with_setting(question.printer, key, text))


def _pot(question: GapQuestion, key: str, text: str) -> GapQuestion:
    if question.pot is None:
        raise InternalError("a pot that there is not cannot be changed")
    return replace(question, pot=with_setting(question.pot, key, text))


def _piece(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("piece", key, ("cover",))
    return replace(question, piece=with_setting(question.piece, key, text))


def _mould(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("mould", key, ("vent_grooves",))
    grooves = int(text)
    sizes = replace(question.sizes, groove_mm=GROOVE_MM if grooves else 0.0)
    return replace(question, vent_grooves=grooves, sizes=sizes)


def _insert(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("insert", key, ("measured",))
    scale = question.insert.reading_scale
    readings = tuple(length(reading) * scale for reading in setting_value(text))
    insert = replace(question.insert, measured_mm=readings)
    return replace(question, insert=insert)


def _order(question: GapQuestion, key: str, text: str) -> GapQuestion:
    _known("order", key, ("resin_budget",))
    return replace(question, resin_budget=float(text))


def _known(table: str, key: str, keys: tuple[str, ...]) -> None:
    """Other keys change more of the question than its own table."""
    if key not in keys:
        raise InternalError(
            f"no question follows from the setting {table}.{key}", allowed=", ".join(keys)
        )


_TABLES: dict[str, Callable[[GapQuestion, str, str], GapQuestion]] = {
    "order": _order,
    "insert": _insert,
    "piece": _piece,
    "mould": _mould,
    "pour": _pour,
    "resin": _resin,
    "plastic": _plastic,
    "printer": _printer,
    "pot": _pot,
}
