"""A table of a job as it would be under a setting, read as the command line reads one."""

from __future__ import annotations

import json
from typing import TypeVar

from mouldgen.job.keys import CARDS, TABLES
from mouldgen.job.load import setting_value
from mouldgen.job.merge import Merged, with_cards
from mouldgen.job.presets import read_card
from mouldgen.job.table import Table

T = TypeVar("T", bound=Table)


def with_setting(table: T, key: str, text: str) -> T:
    """A table with one key changed.

    key : as a job file writes it; ``card`` starts the table anew from that card.
    text : its value, as behind ``--set table.key=``.

    Raises what pydantic raises where the value does not fit.
    """
    if key == "card":
        return from_card(type(table), text)
    model = type(table)
    parsed = model.__pydantic_validator__.validate_assignment(
        model.model_construct(), key, setting_value(text)
    )
    found = parsed[0] if isinstance(parsed, tuple) else vars(parsed)
    return table.model_copy(update={key: found[key]})


def to_card(name: str, card: str) -> tuple[tuple[str, str], ...]:
    """The settings that put a card in the place of a whole table.

    The card and all that it says: a setting for one of its keys would else outlive the change.

    name : of the table in the job file.
    card : to change to.

    Raises PresetError where it is not there or is broken.
    """
    says = read_card(CARDS[name], card)
    kept = [
        (f"{name}.{key}", value if isinstance(value, str) else json.dumps(value))
        for key, value in says.items()
        if key not in ("card", "title", "basis")
    ]
    return ((f"{name}.card", card), *kept)


def from_card(model: type[T], name: str) -> T:
    """A table that says nothing but its card.

    model : of the table, one that may start from a card.
    name : of the card.

    Raises JobError for a card that is not there, PresetError for a broken one.
    """
    table = next(table for table in CARDS if TABLES[table] is model)
    merged = with_cards(Merged("", {table: {"card": name}}, {}))
    return model.model_validate(merged.data[table])
