"""A grid of variants: every value of one key with every value of the others."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

from mouldgen.catalogue.variant import Variant, as_told, check_count, split_key, values_of
from mouldgen.errors import InputError
from mouldgen.job.typed import typed
from mouldgen.job.words import one_line
from mouldgen.job.written import Written, written

WHERE = "--grid"
ALLOWED = 'table.key=value,value,…, such as insert.diameter="20,22,24 mm"'


def grid_of(texts: Sequence[str]) -> tuple[Variant, ...]:
    """The product of all axes, the last one changing fastest.

    texts : an axis each, such as ``insert.diameter=20,22,24 mm``; a unit that is written once goes
        for the values before it.

    Raises InputError for what is no axis, for a key or a value that is there twice and for more
    variants than are allowed, JobError for a key that no job has.
    """
    axes: dict[str, list[Any]] = {}
    for text in texts:
        key, values = _axis(text)
        if key in axes:
            raise InputError(f"{key} is there twice", where=WHERE, allowed="a key once")
        axes[key] = values
    check_count(math.prod(len(values) for values in axes.values()), where=WHERE)
    return tuple(
        Variant(
            number,
            "",
            f"{WHERE} variant {number}",
            tuple((key, as_told(value)) for key, value in zip(axes, values, strict=True)),
            values_of(zip(axes, values, strict=True)),
        )
        for number, values in enumerate(itertools.product(*axes.values()), start=1)
    )


def _axis(text: str) -> tuple[str, list[Any]]:
    name, equals, said = (part.strip() for part in text.partition("="))
    if not (equals and said):
        raise InputError(f'"{one_line(text)}" is no row of values', where=WHERE, allowed=ALLOWED)
    table, key = split_key(name, where=WHERE)
    here = f"{WHERE} {name}"
    kind = written(table, key)
    # Here a comma always stands between two values, also in 29,30 mm.
    apart = said if kind.kind == "list" else said.replace(",", "; ")
    values = typed(Written("list", items=(kind,)), apart)
    if not isinstance(values, list) or not values:
        raise InputError(f'"{one_line(said)}" is no row of values', where=here, allowed=ALLOWED)
    told = [as_told(value) for value in values]
    twice = next((one for at, one in enumerate(told) if one in told[:at]), None)
    if twice is not None:
        raise InputError(f'the value "{one_line(twice)}" is there twice', where=here)
    return name, values
