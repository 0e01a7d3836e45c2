"""One variant of a job: its name and what it sets, and the refusals that come before any work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from mouldgen.errors import InputError
from mouldgen.job import keys
from mouldgen.job.words import NAME_ALLOWED, is_name, is_reserved, one_line

MOST = 100_000  # variants; a row takes about half a second of one core
KEYS_ALLOWED = "table.key, such as insert.diameter or resin.card"


@dataclass(frozen=True, eq=False)
class Variant:
    """One variant as it was asked for.

    number : its place in the table or the grid, from 1.
    name : of its job; empty for the running number.
    where : what messages call its place, such as ``sizes.csv line 3``.
    settings : what it sets, key by key, as it was typed.
    values : the same as the values of a job file, table by table.
    """

    number: int
    name: str
    where: str
    settings: tuple[tuple[str, str], ...]
    values: dict[str, dict[str, Any]]


def split_key(text: str, *, where: str) -> tuple[str, str]:
    """Table and key of a name such as ``insert.diameter``.

    text : as it was typed.
    where : for messages.

    Raises InputError for what is no such name, JobError for a key that no job has.
    """
    table, dot, key = text.partition(".")
    if not (dot and table and key) or "." in key:
        raise InputError(
            f'"{one_line(text)}" is not the name of a key', where=where, allowed=KEYS_ALLOWED
        )
    if table in keys.LISTS:
        raise InputError(f"{table} cannot be set key by key", where=where, allowed=KEYS_ALLOWED)
    keys.check_keys({table: {key: 0}}, label=where)
    return table, key


def values_of(settings: Iterable[tuple[str, Any]]) -> dict[str, dict[str, Any]]:
    """Values by table and key.

    settings : names such as ``insert.diameter`` and their values.
    """
    found: dict[str, dict[str, Any]] = {}
    for name, value in settings:
        table, _, key = name.partition(".")
        found.setdefault(table, {})[key] = value
    return found


def as_told(value: Any) -> str:
    """A value as a cell shows it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        inner = [as_told(one) for one in value]
        return ("; " if any(isinstance(one, list | tuple) for one in value) else ", ").join(inner)
    return value.isoformat() if isinstance(value, dt.date) else str(value)


def named(variants: Iterable[Variant], *, job: str) -> dict[str, Variant]:
    """The variants by the names of their jobs, in their order.

    variants : as they were read.
    job : name of the job, which goes before a running number.

    Raises InputError for a name that no job may have, and for one that is there twice.
    """
    found: dict[str, Variant] = {}
    for variant in variants:
        name = variant.name or f"{job}-{variant.number}"
        if not is_name(name) or is_reserved(name):
            raise InputError(
                f'"{one_line(name)}" cannot be the name of a variant',
                where=f"{variant.where} name",
                allowed=NAME_ALLOWED,
                try_="" if variant.name else "Give names of your own in a column called name.",
            )
        if name in found:
            raise InputError(
                f'the name "{one_line(name)}" is there twice',
                where=f"{variant.where} name",
                allowed="a name once",
                try_=f"It is that of {found[name].where} too.",
            )
        found[name] = variant
    return found


def check_count(count: int, *, where: str) -> None:
    """Refuse none, and more than anybody waits for.

    count : of variants.
    where : for messages.

    Raises InputError.
    """
    if count == 0:
        raise InputError("there is no variant", where=where, allowed=f"1 to {MOST:,}")
    if count > MOST:
        raise InputError(
            f"there are {count:,} variants",
            where=where,
            allowed=f"at most {MOST:,}",
            try_="Share them out among several tables.",
        )
