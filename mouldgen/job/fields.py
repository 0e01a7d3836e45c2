"""What can be said of a job, key by key: what the file says, what else holds, what it means."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from mouldgen.job import keys
from mouldgen.job.allowances import allowances_for
from mouldgen.job.find import SHOP_FILE
from mouldgen.job.key_words import key_words
from mouldgen.job.presets import names, read_card, read_table
from mouldgen.job.shapes import sizes_that_do_not
from mouldgen.job.threads import thread_names
from mouldgen.job.toml import parse_toml
from mouldgen.job.written import written
from mouldgen.units import format_length

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob

_CARDED = {("insert", "wood"), ("piece", "thread")}  # named after cards too, without a table
_LEARNED = {  # what castings teach, and the job then has as its own
    ("order", "yield"): "yield_",
    ("order", "fills"): "fills",
    ("resin", "loss"): "loss",
}


@dataclass(frozen=True, eq=False)
class Field:
    """One key of the job file.

    key : such as ``piece.diameter`` or ``colour.1.name``, lists counted from one.
    said : what the job file says, as a person would type it; empty where it says nothing.
    kind : as `mouldgen.job.written.Kind`, or ``card`` for the name of a card.
    choices : words that it may be.
    usual : what holds without it, in the words of a job file; empty where that is no one value.
    hint : what it means, in one short sentence.
    source : who says what holds: ``job``, ``shop``, ``card``, ``usual``, or empty for nobody.
    """

    key: str
    said: str
    kind: str
    choices: tuple[str, ...]
    usual: str
    hint: str
    source: str

    @property
    def shown(self) -> str:
        """What holds, in the words of a job file."""
        return self.said or self.usual

    def told(self) -> dict[str, Any]:
        """The field as JSON tells it."""
        return {
            "key": self.key,
            "said": self.said,
            "shown": self.shown,
            "kind": self.kind,
            "choices": self.choices,
            "usual": self.usual,
            "hint": self.hint,
            "from": self.source,
        }


def fields_of(loaded: LoadedJob, text: str) -> tuple[Field, ...]:
    """Every key that may be said of a job, in the order of the docs.

    loaded : the job, as `mouldgen.job.load` reads that text.
    text : of the job file.

    Sizes that another shape of insert would have are left out unless they are said, and so is
    the table of rubber for a mould that is printed.
    """
    return tuple(_Fields(loaded, parse_toml(text.encode(), label=loaded.source)).all())


def said_text(value: object) -> str:
    """A value of a file as a person would type it; `mouldgen.job.typed` reads it back.

    value : as TOML gives it.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        if len({isinstance(one, str) for one in _flat(value)}) > 1:  # 29.7 beside "30 mm"
            return json.dumps(value, ensure_ascii=False)
        between = "; " if value and isinstance(value[0], list) else ", "
        return between.join(said_text(one) for one in value)
    if isinstance(value, dt.time):
        return f"{value:%H:%M}"
    return value.isoformat() if isinstance(value, dt.date) else str(value)


def _flat(values: list[Any]) -> Iterator[Any]:
    for one in values:
        yield from _flat(one) if isinstance(one, list) else (one,)


class _Fields:
    """The fields of one job."""

    def __init__(self, loaded: LoadedJob, data: dict[str, Any]) -> None:
        self.job, self.data, self.learned = loaded.job, data, loaded.learned
        self.merged = {} if loaded.merged is None else loaded.merged.data
        self.shop = next((one.data for one in loaded.layers if _is_shop(one.label)), {})
        self.cards = _card_names()
        self.presets = {name: read_table(name).get(name, {}) for name in ("work", "cost")}
        self.by_size = self._by_size()

    def all(self) -> Iterator[Field]:
        for key in ("name", "unit"):
            yield self._field("", key, key, self.data)
        for table in keys.TABLES:
            if (
                table == "rubber"
                and self.job.mould.family != "master"
                and "rubber" not in self.data
            ):
                continue
            if table == "colour":
                yield from self._list("colour", self.data.get("colour", []))
                continue
            said = self.data.get(table, {})
            other = self._of_other_inserts() if table == "insert" else frozenset()
            for key in keys.fields(table):
                if f"{table}.{key}" in keys.LISTS:
                    yield from self._list(f"{table}.{key}", said.get(key, []))
                elif key not in other or key in said:
                    yield self._field(table, key, f"{table}.{key}", said)

    def _of_other_inserts(self) -> frozenset[str]:
        """Sizes that this insert does not have; the length of a scan is measured on it."""
        other = sizes_that_do_not(self.job.insert)
        return other | {"length"} if self.job.insert.shape == "scan" else other

    def _list(self, table: str, entries: list[dict[str, Any]]) -> Iterator[Field]:
        for number, said in enumerate(entries, 1):
            other: frozenset[str] = frozenset()
            if table == "insert.member":
                other = sizes_that_do_not(self.job.insert.member[number - 1])
            for key in keys.fields(table):
                if key not in other or key in said:
                    yield self._field(table, key, f"{table}.{number}.{key}", said)

    def _field(self, table: str, key: str, name: str, said: Mapping[str, Any]) -> Field:
        kind, choices, hint, default = _fixed(table, key)
        usual, source = self._usual(table, key, said, default)
        return Field(
            key=name,
            said=said_text(said[key]) if key in said else "",
            kind=kind,
            choices=self.cards.get((table, key), choices),
            usual=usual,
            hint=hint,
            source="job" if key in said else source,
        )

    def _usual(
        self, table: str, key: str, said: Mapping[str, Any], default: str
    ) -> tuple[str, str]:
        """What holds where the job file says nothing, and who says that."""
        below = self.shop.get(table, {}) if table else self.shop
        if key != "card" and said.get("card", below_card := _card(below)) != below_card:
            below = {}  # it belongs to the shop's own card
        if table not in keys.LISTS and key in below:
            return said_text(below[key]), "shop"
        if key == "basis":  # too long for a line
            return "", "card" if key in self._merged(table) else ""
        if (told := self._taught(table, key)) or (told := self._on_card(table, key, said)):
            return told
        if key not in said and key in (found := self._merged(table)):
            return said_text(found[key]), "usual"  # by the family of moulds
        own = self.presets.get(table, {}).get(key, self.by_size.get((table, key)))
        if (table, key) == ("shop", "wage"):
            own = self.presets["cost"].get(key)
        usual = default if own is None else said_text(own)
        return usual, "usual" if usual else ""

    def _merged(self, table: str) -> Mapping[str, Any]:
        found = self.merged.get(table, {}) if table not in keys.LISTS else {}
        return found if isinstance(found, dict) else {}

    def _taught(self, table: str, key: str) -> tuple[str, str] | None:
        """What castings teach goes before a card and before belief."""
        name = _LEARNED.get((table, key))
        if name is None or getattr(self.learned, name) is None:
            return None
        return f"{getattr(self.learned, name):.3g}", "usual"

    def _on_card(self, table: str, key: str, said: Mapping[str, Any]) -> tuple[str, str] | None:
        card = self._merged(table).get("card")
        if table not in keys.CARDS or card is None or key == "card":
            return None
        says = read_card(keys.CARDS[table], card) if key in said else self._merged(table)
        return (said_text(says[key]), "card") if key in says else None

    def _by_size(self) -> dict[tuple[str, str], str]:
        """What the trade allows for a piece of this size."""
        found = allowances_for(self.job.piece.diameter)
        lengths = {
            ("piece", "turning"): found.turning_mm,
            ("piece", "facing"): found.facing_mm,
            ("mould", "head"): found.head_mm,
        }
        inches = self.job.unit == "in"
        return {key: format_length(mm, inches=inches) for key, mm in lengths.items()}


def _is_shop(label: str) -> bool:
    return label.endswith(SHOP_FILE)


def _card(table: Mapping[str, Any]) -> Any:
    return table.get("card")


@cache
def _fixed(table: str, key: str) -> tuple[str, tuple[str, ...], str, str]:
    """Kind, choices, hint and default of a key, the same for every job."""
    how, words = written(table, key), key_words(table, key)
    carded = (table, key) in _CARDED or (key == "card" and table in keys.CARDS)
    return "card" if carded else how.kind, how.choices, words.hint, words.usual_value


def _card_names() -> dict[tuple[str, str], tuple[str, ...]]:
    """The names that a key may have, as people write them; the user's own cards among them."""
    found = {(table, "card"): names(kind) for table, kind in keys.CARDS.items()}
    found["insert", "wood"] = tuple(wood.replace("-", " ") for wood in names("woods"))
    found["piece", "thread"] = _threads(names("threads"))
    return found


@cache
def _threads(cards: tuple[str, ...]) -> tuple[str, ...]:
    """Their names; the cards are read anew only once there are others."""
    return thread_names() if cards else ()
