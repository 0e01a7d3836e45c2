"""Layers of tables: what the shop file says, over it the job file, over it the settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from mouldgen.errors import JobError, PresetError
from mouldgen.job import keys
from mouldgen.job.presets import names, read_card
from mouldgen.job.words import nearest, one_line
from mouldgen.units import LENGTH_UNITS


@dataclass(frozen=True, eq=False)
class Layer:
    """One source of tables.

    label : what messages call it.
    data : its tables; bare lengths already carry their unit.
    unit : the unit of its bare lengths, or None.
    """

    label: str
    data: dict[str, Any]
    unit: str | None = None


@dataclass(frozen=True, eq=False)
class Merged:
    """All layers in one.

    label : what messages call the job file.
    data : the tables.
    origins : for each (table, key) the label of the layer that said it; top keys under table "".
    given : the keys that were said by a person, such as ``pot.rating``.
    """

    label: str
    data: dict[str, Any]
    origins: dict[tuple[str, str], str]
    given: tuple[str, ...] = ()

    def place(self, table: str, key: str | None = None, item: int | None = None) -> str:
        """Where a key stands, for messages: ``pegs.toml [insert] diameter``."""
        if not table:
            return keys.place(self.origins.get(("", key or ""), self.label), "", key)
        outer, _, list_key = table.partition(".")  # a list of tables inside a table is a key of it
        of = ("", table) if table in keys.LISTS else (table, key or "")
        if table in keys.NESTED:
            of = (outer, list_key)
        return keys.place(self.origins.get(of, self.label), table, key, item)


def layer(data: dict[str, Any], *, label: str, unit: str | None) -> Layer:
    """A file's tables with its unit written behind every bare length."""
    if unit not in LENGTH_UNITS:
        return Layer(label, data, None)
    told = {
        name: {key: _told(name, key, value, unit) for key, value in table.items()}
        if isinstance(table, dict) and name in keys.TABLES  # else it is refused later
        else table
        for name, table in data.items()
    }
    return Layer(label, told, unit)


def _told(table: str, key: str, value: Any, unit: str) -> Any:
    nested = f"{table}.{key}"
    if nested in keys.NESTED and isinstance(value, list):
        return [
            {k: _told(nested, k, v, unit) for k, v in entry.items()}
            if isinstance(entry, dict)
            else entry
            for entry in value
        ]
    mark = keys.quantity_of(keys.fields(table)[key])
    return _with_unit(value, unit) if mark and mark.unit == "mm" else value


def _with_unit(value: Any, unit: str) -> Any:
    if isinstance(value, list):
        return [_with_unit(item, unit) for item in value]
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return value
    text = value.strip() if isinstance(value, str) else repr(value)
    return f"{text} {unit}" if text[-1:].isdigit() or text[-1:] == "." else value


def merge(layers: Sequence[Layer], *, label: str) -> Merged:
    """Lower layers first; each key is the highest layer's.

    A table that names another card than the layers below starts anew: what they say there
    belongs to their card.
    """
    data: dict[str, Any] = {}
    origins: dict[tuple[str, str], str] = {}
    for one in layers:
        for name, value in one.data.items():
            if not isinstance(value, dict):
                data[name] = value
                origins["", name] = one.label
                continue
            below = data.get(name, {})
            if name in keys.CARDS and "card" in value and value["card"] != below.get("card"):
                below = {}
            data[name] = {**below, **value}
            origins.update({(name, key): one.label for key in value})
    return Merged(label, data, origins, given=_given(data))


def _given(data: dict[str, Any]) -> tuple[str, ...]:
    found: list[str] = []
    for name, value in data.items():
        found.extend([f"{name}.{key}" for key in value] if isinstance(value, dict) else [name])
    return tuple(found)


def with_cards(merged: Merged) -> Merged:
    """The same with every card's keys below those of its table.

    Raises JobError for a card that is not there, PresetError for a broken one.
    """
    data = dict(merged.data)
    origins = dict(merged.origins)
    for table, kind in keys.CARDS.items():
        given = data.get(table, {})
        if "card" not in given:
            continue
        card = _card(kind, given["card"], merged.place(table, "card"))
        data[table] = {**card, **given}
        label = f"card {kind}/{given['card']}.toml"
        origins.update({(table, key): label for key in card if key not in given})
    return Merged(merged.label, data, origins, merged.given)


def _card(kind: str, name: Any, where: str) -> dict[str, Any]:
    known = names(kind)
    if not isinstance(name, str) or name not in known:
        near = nearest(str(name), known)
        raise JobError(
            f'there is no card "{one_line(str(name))}"',
            where=where,
            allowed=f"{', '.join(known)}; or no card and your own numbers",
            try_=f"Did you mean {near}?" if near else "",
        )
    card = read_card(kind, name)
    table = next(table for table, of in keys.CARDS.items() if of == kind)
    for key in card:
        if key == "card" or key not in keys.fields(table):
            raise PresetError(
                f"there is no key {key} on a card of this kind",
                where=f"{kind}/{name}.toml",
                allowed=", ".join(k for k in keys.fields(table) if k != "card"),
            )
    bases = card.get("basis", "")
    if isinstance(bases, dict):  # one for each number, told as one text
        card["basis"] = "; ".join(f"{key}: {text}" for key, text in bases.items())
    return card
